package main

import (
	"fmt"

	"gusset/engine"
)

// statusCode is a status in JSON and CSV.
func statusCode(s engine.Status) string {
	return [...]string{engine.OK: "ok", engine.Waits: "waits", engine.None: "none", engine.Absent: "absent"}[s]
}

// checkCode is how a check came out, in JSON and CSV.
func checkCode(s engine.CheckState) string {
	return [...]string{
		engine.CheckHolds: "holds", engine.CheckFails: "fails", engine.CheckWaits: "waits", engine.CheckNone: "none", engine.CheckAbsent: "absent",
	}[s]
}

// checkWord is how a check came out, as printed.
func checkWord(s engine.CheckState) string {
	return [...]string{
		engine.CheckHolds: "holds", engine.CheckFails: "fails", engine.CheckWaits: "waits", engine.CheckNone: noResult, engine.CheckAbsent: "absent",
	}[s]
}

// noResult is printed in the place of a value that cannot be worked out.
const noResult = "no result"

// checkCount says how many checks came out in one way: "1 holds", "2 hold", "1 has no result".
func checkCount(n int, s engine.CheckState) string {
	one := [...]string{
		engine.CheckHolds: "holds", engine.CheckFails: "fails", engine.CheckWaits: "waits", engine.CheckNone: "has no result", engine.CheckAbsent: "is absent",
	}[s]
	many := [...]string{
		engine.CheckHolds: "hold", engine.CheckFails: "fail", engine.CheckWaits: "wait", engine.CheckNone: "have no result", engine.CheckAbsent: "are absent",
	}[s]
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
