package library_test

import (
	"os"
	"runtime/debug"
	"testing"
)

// TestMain lets memory grow further than usual: a third of the time would go into tidying what thousands of sheets leave.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	os.Exit(m.Run())
}
