package report

import (
	"math"
	"slices"

	"gusset/engine"
	"gusset/sheets/text"
)

// Column is one column of a comparison: a sheet, or a variant of it.
type Column struct {
	File, Sheet, Variant string
	Title                string   // above it
	LeftOut              []string // variants of the sheet that are not compared, where none was asked for
	Problems             text.Diags
	Wrong                Wrong
	Unread               string // why nothing in it has a value; empty where that is not so
	Entries              []engine.Entry
	Checks               Checks
	Used                 []engine.UsedSheet // their checks
	Unknown              map[string]error   // why what was picked is not known here
	Reasons              map[string]string  // of its variant, for the values that it sets
	Model                *engine.Model      // as it was, where given values say that they may be off; else nil
}

// DoubtMark is after a change that is within what may be off.
const DoubtMark = "~"

// DoubtLegend says what DoubtMark means.
const DoubtLegend = DoubtMark +
	" after a change: to first order within what the ± of given values make of it, so it may be none"

// WithinDoubt reports, for each row of a comparison and each column, whether the change is within what may be off.
func WithinDoubt(rows []engine.ComparedRow, columns []Column) map[string][]bool {
	within := map[string][]bool{}
	for k := 1; k < len(columns); k++ {
		if columns[0].Model == nil || columns[k].Model == nil {
			continue
		}
		var of []engine.ComparedRow
		var before, after []engine.Place
		for _, r := range rows {
			was, is := r.Values[0], r.Values[k]
			if is.Differs && is.IsNumber() && !is.Given && !is.Unlike && was.Status == engine.OK && is.Status == engine.OK {
				of, before, after = append(of, r), append(before, was.Place), append(after, is.Place)
			}
		}
		for i, doubt := range engine.DoubtsOfDifferences(columns[0].Model, columns[k].Model, before, after) {
			was, is := of[i].Values[0], of[i].Values[k]
			if change := math.Abs(is.SI() - was.SI()); doubt > 0 && change <= doubt {
				if within[of[i].Name] == nil {
					within[of[i].Name] = make([]bool, len(columns))
				}
				within[of[i].Name][k] = true
			}
		}
	}
	return within
}

// ColumnOf takes down how a model stands: all of it, or what is picked, as far as it has that.
func ColumnOf(m *engine.Model, file string, picks []string) Column {
	c := Column{File: file, Sheet: m.Title(), Variant: m.Variant(), Unknown: map[string]error{},
		Reasons: map[string]string{}, Used: m.UsedChecks(), Unread: m.Unread(), Problems: m.Problems()}
	c.Wrong = FindWrong(m, c.Problems)
	if engine.MayBeOff(m) {
		c.Model = m.Fork()
	}
	c.Checks = ChecksOf(m.Checks(), c.Used...)
	for _, e := range setByVariant(m) {
		c.Reasons[e.Name] = e.Note
	}
	if len(picks) == 0 {
		c.Entries = m.Entries()
	}
	for _, p := range picks {
		list, err := m.EntriesOf(p)
		if err != nil {
			c.Unknown[p] = err
		}
		c.Entries = append(c.Entries, list...)
	}
	return c
}

// SetElsewhere returns the values of used sheets that variants set: what is changed comes before what that does to the
// sheet.
func SetElsewhere(m *engine.Model) []engine.Entry {
	aliases := m.Aliases()
	known := map[string]bool{}
	var list []engine.Entry
	for _, v := range m.Variants() {
		for _, s := range v.Settings {
			place, err := m.Target(s.Setting)
			if err != nil || known[s.Name] || aliases[place.Sheet] == "" {
				continue // its line has a mistake, it has been listed, or the sheet's own values are listed anyway
			}
			known[s.Name] = true
			if found, err := m.EntriesOf(s.Name); err == nil {
				list = append(list, found...)
			}
		}
	}
	return list
}

// NameColumns gives columns their titles: the variant where there is one sheet, else the sheet's title, or its file,
// as it is shown, where two have one title.
func NameColumns(columns []Column, shown func(file string) string) {
	titles, oneFile, clash := map[string]string{}, true, false
	for _, c := range columns {
		oneFile = oneFile && c.File == columns[0].File
		file, taken := titles[c.Sheet]
		clash = clash || taken && file != c.File
		titles[c.Sheet] = c.File
	}
	for i := range columns {
		c := &columns[i]
		c.Title = c.Sheet
		switch {
		case oneFile && c.Variant == "":
			c.Title = "as it stands"
			continue
		case oneFile:
			c.Title = c.Variant
			continue
		case clash:
			c.Title = shown(c.File)
		}
		if c.Variant != "" {
			c.Title += ", " + c.Variant
		}
	}
}

// SplitUnread splits the columns that were not read whole from the others: beside these everything in them would
// differ. Where fewer than two are left to be compared, they stay.
func SplitUnread(columns []Column) (whole, unread []Column) {
	isWhole := func(c Column) bool { return c.Unread == "" }
	unread = slices.DeleteFunc(slices.Clone(columns), isWhole)
	if len(columns)-len(unread) < 2 {
		return columns, nil
	}
	return slices.DeleteFunc(slices.Clone(columns), func(c Column) bool { return !isWhole(c) }), unread
}
