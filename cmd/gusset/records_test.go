package main

// record is what show prints of a sheet with --json.
type record struct {
	Sheet    string             `json:"sheet"`
	File     string             `json:"file"`
	Variant  string             `json:"variant"`
	Cells    []cellRecord       `json:"cells"`
	Tables   []tableRecord      `json:"tables"`
	Charts   []chartRecord      `json:"charts"`
	Checks   []checkRecord      `json:"checks"`
	Used     []usedChecksRecord `json:"used_checks"`
	Cautions []string           `json:"cautions"`
	Mistakes int                `json:"mistakes"`
	First    string             `json:"first_mistake"`
}

type tableRecord struct {
	Name    string         `json:"name"`
	Page    string         `json:"page"`
	Columns []columnRecord `json:"columns"`
	Rows    []rowRecord    `json:"rows"`
}

type rowRecord struct {
	Name  string        `json:"name"`
	Cells []entryRecord `json:"cells"`
}

// rippleRecord is what ripple prints with --json.
type rippleRecord struct {
	Changes []changeRecord `json:"changes"`
	Models  []modelRecord  `json:"models"`
}

type changeRecord struct {
	File  string       `json:"file"`
	Moved []moveRecord `json:"moved"`
	Notes []string     `json:"notes"`
}

type modelRecord struct {
	Sheet  string       `json:"sheet"`
	File   string       `json:"file"`
	Uses   bool         `json:"uses"`
	Cells  int          `json:"cells"`
	Again  int          `json:"again"`
	Checks []flipRecord `json:"checks"`
	Moved  []moveRecord `json:"moved"`
	Stays  []stayRecord `json:"stays"`
}
