package xlsx

import "strconv"

// general is the format of a cell that has no other.
const general = "General"

// builtIn are the number formats that a workbook need not spell out (ISO/IEC 29500-1, 18.8.30).
var builtIn = map[int]string{
	0: general, 1: "0", 2: "0.00", 3: "#,##0", 4: "#,##0.00", 9: "0%", 10: "0.00%", 11: "0.00E+00", 12: "# ?/?",
	13: "# ??/??",
	14: "mm-dd-yy", 15: "d-mmm-yy", 16: "d-mmm", 17: "mmm-yy", 18: "h:mm AM/PM", 19: "h:mm:ss AM/PM", 20: "h:mm",
	21: "h:mm:ss",
	22: "m/d/yy h:mm", 37: "#,##0 ;(#,##0)", 38: "#,##0 ;[Red](#,##0)", 39: "#,##0.00;(#,##0.00)",
	40: "#,##0.00;[Red](#,##0.00)",
	45: "mm:ss", 46: "[h]:mm:ss", 47: "mmss.0", 48: "##0.0E+0", 49: "@",
}

// readStyles reads which number format each cell style has.
func (r *bookReader) readStyles(name string) error {
	own := map[int]string{}
	return r.read(name, "styleSheet", func(d *document) error {
		return d.each("", func(t tag) error {
			switch t.Name.Local {
			case "numFmts":
				return d.each("numFmt", func(t tag) error {
					id, err := strconv.Atoi(t.attr("numFmtId"))
					if err != nil {
						return damaged("the number format %s has no number", inQuotes(t.attr("formatCode")))
					}
					if own[id] = unescape(t.attr("formatCode")); len(own[id]) > maxFormat {
						return damaged("a number format has more than %d bytes", maxFormat)
					}
					return manyStyles(len(own))
				})
			case "cellXfs":
				return d.each("xf", func(t tag) error {
					r.formats = append(r.formats, formatOf(t.attr("numFmtId"), own))
					return manyStyles(len(r.formats))
				})
			}
			return nil
		})
	})
}

func manyStyles(n int) error {
	if n > maxStyles {
		return tooMuch("the workbook has over %d cell formats", maxStyles)
	}
	return nil
}

// formatOf returns the number format of an id, which the workbook's own formats come before.
func formatOf(id string, own map[int]string) string {
	n, err := strconv.Atoi(id)
	switch {
	case err != nil:
		return general
	case own[n] != "":
		return own[n]
	case n >= 27 && n <= 36 || n >= 50 && n <= 58:
		return "m/d/yyyy" // dates and times in the manner of the user's language
	case builtIn[n] != "":
		return builtIn[n]
	}
	return general
}
