package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"gusset/engine"
)

// recordForm is the form in which results are printed for programs.
type recordForm struct {
	json bool
	csv  csvForm
}

// addTo adds the options that ask for a form; each tells what the lines of CSV are.
func (r *recordForm) addTo(f *pflag.FlagSet, what, each string) {
	f.BoolVar(&r.json, "json", false, "print "+what+" as JSON")
	f.Var(&r.csv, "csv", "print "+what+" as CSV"+each+"\n(--csv=semicolon: with ; and decimal commas)")
	f.Lookup("csv").NoOptDefVal = "true"
}

// isAsked reports whether one of the forms is asked for.
func (r recordForm) isAsked() bool { return r.json || r.csv.asked }

// check refuses both at once.
func (r recordForm) check() error {
	if r.json && r.csv.asked {
		return usage("--json or --csv, not both")
	}
	return nil
}

// print prints results in the form that is asked for: as an object, as lines of CSV, or else as people read them.
func (r recordForm) print(out sink, object func(*jsonPrinter), lines func(*csvPrinter), text func()) error {
	switch {
	case r.json:
		return printObject(out, object)
	case r.csv.asked:
		return asIOFailure(r.csv.print(out, lines))
	}
	text()
	return nil
}

// beside returns where it is said what a command has done: not among results that a program reads.
func (r recordForm) beside(cmd *cobra.Command) io.Writer {
	if r.isAsked() {
		return cmd.ErrOrStderr()
	}
	return cmd.OutOrStdout()
}

// csvForm is the value of --csv.
type csvForm struct{ asked, semicolon bool }

// Set takes --csv, or --csv=semicolon.
func (c *csvForm) Set(s string) error {
	if s != "true" && s != "semicolon" {
		return fmt.Errorf("it is --csv, or --csv=semicolon")
	}
	*c = csvForm{asked: true, semicolon: s == "semicolon"}
	return nil
}

func (c *csvForm) String() string { return "" }

// Type makes the help show it without a value.
func (c *csvForm) Type() string { return "bool" }

// csvPrinter prints lines of CSV.
type csvPrinter struct {
	*csv.Writer
	form csvForm
}

// print has lines of CSV put, and returns what went wrong.
func (c csvForm) print(out io.Writer, lines func(w *csvPrinter)) error {
	w := &csvPrinter{csv.NewWriter(out), c}
	if c.semicolon {
		w.Comma = ';'
	}
	lines(w)
	w.Flush()
	return w.Error()
}

// shownValue is a value that is put as it is shown.
type shownValue engine.Value

// put puts a line: values and numbers at full precision, and empty where there is none; texts so that a spreadsheet
// program takes none for a formula.
func (w *csvPrinter) put(fields ...any) {
	line := make([]string, len(fields))
	for i, f := range fields {
		line[i] = w.field(f)
	}
	w.Write(line)
}

func (w *csvPrinter) field(f any) string {
	switch x := f.(type) {
	case int:
		return strconv.Itoa(x)
	case float64:
		if math.IsNaN(x) {
			return ""
		}
		return w.decimal(strconv.FormatFloat(x, 'g', -1, 64))
	case shownValue:
		if x.IsText || x.Status != engine.OK {
			return csvSafe(x.Text)
		}
		return w.decimal(x.Text)
	case engine.Value:
		if x.IsBoolean && x.Status == engine.OK {
			return x.Text
		}
		return w.field(valueOf(x))
	case nil:
		return ""
	}
	return csvSafe(f.(string))
}

// decimal returns a number with the point or the comma that is asked for.
func (w *csvPrinter) decimal(number string) string {
	if w.form.semicolon {
		return strings.ReplaceAll(number, ".", ",")
	}
	return number
}

// csvSafe puts a ' before a text that a spreadsheet program would take for a formula: some take wide marks for plain
// ones.
func csvSafe(s string) string {
	if s == "" || strings.TrimLeft(s, "=+-@＝＋－＠\t\r") == s {
		return s
	}
	return "'" + s
}
