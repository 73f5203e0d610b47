package workbook

import (
	"bufio"
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// A workbook is only right when an office suite says so: these tests let
// LibreOffice Calc open, change, recalculate and save what was written.

//go:embed testdata/office.py
var officeScript []byte

// An officeJob opens the workbook In, takes the steps, recalculates everything
// if asked to, and saves where a path is given.
type officeJob struct {
	In          string       `json:"in"`
	Loaded      bool         `json:"loaded"` // what is in it as it is loaded is asked for, too
	Unread      bool         `json:"unread"` // what is in it afterwards is not asked for: only what is saved
	Steps       []officeStep `json:"steps"`
	Recalculate bool         `json:"recalculate"` // every cell, whether it needs it or not
	XLSX        string       `json:"xlsx"`
	XLS         string       `json:"xls"` // the format of 1997
	PDF         string       `json:"pdf"`
}

// An officeStep is one change; the functions below make them.
type officeStep struct {
	Do       string  `json:"do"`
	Name     string  `json:"name"` // a defined name of the whole workbook
	Row      int     `json:"row"`  // of a named cell: rows below the first of the name; otherwise counted from 1
	Column   int     `json:"column"`
	Number   float64 `json:"number"`
	Text     string  `json:"text"`
	Sheet    string  `json:"sheet"`
	Count    int     `json:"count"`
	Position int     `json:"position"`
	From     string  `json:"from"`
	To       string  `json:"to"`
}

func setNumber(name string, number float64) officeStep {
	return officeStep{Do: "number", Name: name, Number: number}
}

func setText(name, text string) officeStep { return officeStep{Do: "text", Name: name, Text: text} }

// setFormula takes a formula as the office writes it: with "=", and ";" between arguments.
func setFormula(name, formula string) officeStep {
	return officeStep{Do: "formula", Name: name, Text: formula}
}

// typeIn is what a builder does: the office reads the text by the cell's format, so 1/2 may become a date.
func typeIn(name, text string) officeStep { return officeStep{Do: "type", Name: name, Text: text} }

func clearCell(name string) officeStep { return officeStep{Do: "clear", Name: name} }

// at moves a change away from the first cell of its name.
func (s officeStep) at(row, column int) officeStep {
	s.Row, s.Column = row, column
	return s
}

// unprotect must come before any change to locked cells, or of rows and places.
func unprotect(sheet string) officeStep { return officeStep{Do: "unprotect", Sheet: sheet} }

func insertRows(sheet string, row, count int) officeStep {
	return officeStep{Do: "insert rows", Sheet: sheet, Row: row, Count: count}
}

func deleteRows(sheet string, row, count int) officeStep {
	return officeStep{Do: "delete rows", Sheet: sheet, Row: row, Count: count}
}

func renameSheet(sheet, to string) officeStep {
	return officeStep{Do: "rename sheet", Sheet: sheet, To: to}
}

// moveSheet puts the sheet before the one that stands at the position, counted from 1.
func moveSheet(sheet string, position int) officeStep {
	return officeStep{Do: "move sheet", Sheet: sheet, Position: position}
}

// moveCells cuts a range such as B2:C4 and pastes it with its first cell at to.
func moveCells(sheet, from, to string) officeStep {
	return officeStep{Do: "move cells", Sheet: sheet, From: from, To: to}
}

type officeResult struct {
	Error  string     `json:"error"`
	Loaded officeBook `json:"loaded"` // as the file says, before anything was recalculated
	After  officeBook `json:"after"`  // after the steps and the recalculation
}

type officeBook struct {
	Sheets []officeSheet         `json:"sheets"`
	Names  map[string]officeName `json:"names"` // a name of one sheet only is written Sheet!name
}

type officeSheet struct {
	Name  string                `json:"name"`
	Cells map[string]officeCell `json:"cells"` // by address; empty cells are not in it
}

// An officeName tells the range that a defined name stands for. Only the
// content is set when it stands for none, or for none any more.
type officeName struct {
	Content string `json:"content"`
	Sheet   string `json:"sheet"`
	First   string `json:"first"` // address of the first cell
	Last    string `json:"last"`
}

// An officeCell has the zero kind when it is empty.
type officeCell struct {
	Kind    string  `json:"kind"`   // number, text, boolean (with Number 0 or 1) or error
	Number  float64 `json:"number"` // all digits
	Text    string  `json:"text"`   // of a text, or the error as it is shown: #N/A, #DIV/0!
	Formula string  `json:"formula"`
}

// sheet gives the cells of a sheet by address.
func (b officeBook) sheet(t testing.TB, name string) map[string]officeCell {
	t.Helper()
	for _, s := range b.Sheets {
		if s.Name == name {
			return s.Cells
		}
	}
	require.FailNow(t, "no sheet "+name)
	return nil
}

// at gives the cell so many rows and columns from the first of a defined name.
func (b officeBook) at(t testing.TB, name string, row, column int) officeCell {
	t.Helper()
	place, ok := b.Names[name]
	require.True(t, ok, "no name %s", name)
	require.NotEmpty(t, place.Sheet, "%s refers to no cell: %s", name, place.Content)
	x, y, err := excelize.CellNameToCoordinates(place.First)
	require.NoError(t, err)
	address, err := excelize.CoordinatesToCellName(x+column, y+row)
	require.NoError(t, err)
	return b.sheet(t, place.Sheet)[address]
}

// named gives the cell that a defined name stands for, or the first of its range.
func (b officeBook) named(t testing.TB, name string) officeCell {
	t.Helper()
	return b.at(t, name, 0, 0)
}

// office does the jobs in an office process. No job may fail.
func office(t *testing.T, jobs []officeJob) []officeResult {
	t.Helper()
	results := tryOffice(t, jobs)
	for i, r := range results {
		require.Empty(t, r.Error, jobs[i].In)
	}
	return results
}

func tryOffice(t *testing.T, jobs []officeJob) []officeResult {
	t.Helper()
	soffice, python := findOffice(t)
	folder := t.TempDir()
	in, err := json.Marshal(jobs)
	require.NoError(t, err)
	todo, done := filepath.Join(folder, "jobs.json"), filepath.Join(folder, "results.json")
	require.NoError(t, os.WriteFile(todo, in, 0o600))

	s := <-suites
	if s == nil {
		s, err = startSuite(python, soffice)
	}
	if err == nil {
		err = s.do(time.Minute+time.Duration(len(jobs))*time.Minute, todo, done)
	}
	if err != nil {
		suites <- nil
		s.stop()
		require.NoError(t, err)
	}
	suites <- s
	out, err := os.ReadFile(done)
	require.NoError(t, err)
	var results []officeResult
	require.NoError(t, json.Unmarshal(out, &results))
	require.Len(t, results, len(jobs))
	return results
}

// suite is an office process, which takes seconds to start: all tests use the same ones.
type suite struct {
	script   *exec.Cmd
	orders   io.WriteCloser
	answers  chan string // closed with the process
	messages bytes.Buffer
	folder   string
}

// suites are the office processes that nobody uses; nil stands for one that has not been started.
var suites = func() chan *suite {
	suites := make(chan *suite, 2)
	for range cap(suites) {
		suites <- nil
	}
	return suites
}()

func TestMain(m *testing.M) {
	code := m.Run()
	for range cap(suites) {
		(<-suites).stop()
	}
	os.Exit(code)
}

func startSuite(python, soffice string) (*suite, error) {
	folder, err := os.MkdirTemp("", "gusset-office")
	if err != nil {
		return nil, err
	}
	s := &suite{folder: folder, answers: make(chan string)}
	file := filepath.Join(folder, "office.py")
	if err := os.WriteFile(file, officeScript, 0o600); err != nil {
		return s, err
	}
	s.script = exec.Command(python, file, soffice, filepath.Join(folder, "profile"))
	// In the C locale the office is en-US, whoever runs the tests.
	s.script.Env = append(os.Environ(), "LC_ALL=C.UTF-8")
	s.script.Stderr = &s.messages
	if s.orders, err = s.script.StdinPipe(); err != nil {
		return s, err
	}
	out, err := s.script.StdoutPipe()
	if err != nil {
		return s, err
	}
	go func() {
		defer close(s.answers)
		for lines := bufio.NewScanner(out); lines.Scan(); {
			s.answers <- lines.Text()
		}
	}()
	return s, s.script.Start()
}

// do has the jobs of a file done.
func (s *suite) do(limit time.Duration, jobs, results string) error {
	order, err := json.Marshal([]string{jobs, results})
	if err != nil {
		return err
	}
	if _, err := fmt.Fprintf(s.orders, "%s\n", order); err != nil {
		return err
	}
	select {
	case answer := <-s.answers:
		if answer == "done" {
			return nil
		}
		return fmt.Errorf("the office process has ended: %s", &s.messages)
	case <-time.After(limit):
		return fmt.Errorf("not done within %s", limit)
	}
}

// stop closes the script's standard input. The script then ends the office process, as it also does when this process
// dies.
func (s *suite) stop() {
	if s == nil {
		return
	}
	if s.script != nil && s.script.Process != nil {
		s.orders.Close()
		for range s.answers {
		}
		_ = s.script.Wait()
	}
	os.RemoveAll(s.folder)
}

// asksAnother says that a test asks another program from here on, which it does not under -short.
func asksAnother(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("under -short no office suite, second program or other reader was asked: this was NOT tested")
	}
}

// findOffice gives the office program and a Python that can drive it. Only the
// system's own Python knows the module uno.
func findOffice(t *testing.T) (soffice, python string) {
	t.Helper()
	asksAnother(t)
	soffice, err := exec.LookPath("soffice")
	if err != nil {
		require.NotEqual(t, "true", os.Getenv("CI"), "libreoffice-calc must be installed here")
		t.Skip("no office suite: workbooks were NOT opened and recalculated; install libreoffice-calc and python3-uno")
	}
	return soffice, findPython(t, "uno", "python3-uno")
}

// findTool gives a program that a test needs, and the package that it comes in when it is missing.
func findTool(t *testing.T, name, pkg string) string {
	t.Helper()
	asksAnother(t)
	path, err := exec.LookPath(name)
	if err != nil {
		require.NotEqual(t, "true", os.Getenv("CI"), "%s must be installed here", pkg)
		t.Skipf("no %s: this was NOT tested; install %s", name, pkg)
	}
	return path
}

// findPython gives a Python that knows a module.
func findPython(t *testing.T, module, pkg string) string {
	t.Helper()
	asksAnother(t)
	for _, python := range []string{"/usr/bin/python3", "python3"} {
		if exec.Command(python, "-c", "import "+module).Run() == nil {
			return python
		}
	}
	require.NotEqual(t, "true", os.Getenv("CI"), "%s must be installed here", pkg)
	t.Skipf("no Python that knows %s: this was NOT tested; install %s", module, pkg)
	return ""
}

// run gives what a program prints.
func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).Output()
	require.NoError(t, err)
	return string(out)
}
