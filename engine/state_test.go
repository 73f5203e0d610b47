package engine

import (
	"context"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/bind"
	"gusset/engine/code"
	"gusset/engine/explain"
	"gusset/engine/state"
)

// TestRangesThatCannotBeSearched tells what is wrong with the ends of a range, and does not search it.
func TestRangesThatCannotBeSearched(t *testing.T) {
	for _, tt := range []struct{ ends, reason string }{
		{"from low to low", "the range to search is empty"},
		{"from 5 to low", "the range to search runs from the larger value to the smaller"},
		{"from 0 to big * big", "waits for big * big, which has no result"},
		{"from 0 - big * big to 5", "waits for 0 - big * big, which has no result"},
		{"from 0 - big * big to big * big", "waits for 0 - big * big and big * big, which have no result"},
		{"from 0 to 1 / (low - low)", "waits for 1 / (low - low), which has no result"},
		{"from unknown to 5", "waits for unknown"},
	} {
		m := loadWrong(t, "low : 1\nbig : 1e200\nunknown :\nadjust x "+tt.ends+" so x * 2 = 3\n")
		v, err := m.Value("x")
		require.NoError(t, err)
		assert.Equal(t, tt.reason, v.Reason, tt.ends)
		assert.NotEqual(t, OK, v.Status, tt.ends)
	}
}

// TestNotesOfTheFirstRow: what is wrong in a row says what that row holds, in the first one as in the others.
func TestNotesOfTheFirstRow(t *testing.T) {
	for sheet, want := range map[string]string{
		"table t\n  part | w\n  a | 0\n  b | 1\n  inv = 1 / w\n": `t["a"].w is 0 (line 3)`,
		"table t\n  part | w\n  a | 1\n  b | 0\n  inv = 1 / w\n": `t["b"].w is 0 (line 4)`,
	} {
		problems := loadWrong(t, sheet).Problems()
		require.Len(t, problems, 1)
		assert.Contains(t, problems[0].Notes, want)
	}
}

// TestValuesWithWordsAroundThem: what a sheet says of a value that is typed with words, setting it says too.
func TestValuesWithWordsAroundThem(t *testing.T) {
	m := load(t, "span [in] : 3\nhollow : no\n")
	for typed, want := range map[string]string{
		"about 50":     "span: what is not sure has a ? after it (write 50 ?)",
		"? 50":         "span: the ? of a guess comes after the value (write 50 ?)",
		"50 ? ?":       "span: one ? is enough for a guess (write 50 ?)",
		"50 ± 1 or so": "span: what is not sure has a ? after it (write 50 ± 1 ?)",
		"50 ± 1 abc":   "span: unknown unit abc",
		"tbd":          "span: what is not known yet is left out (write nothing)",
		"± 3":          "span: there is no value before the give or take (write nothing)",
		"4 oz":         "span: 4 oz is a mass, but [in] is a length",
		"yes":          "span: this needs a length, not yes or no",
		`"balsa"`:      "span: this needs a length, not a text",
	} {
		assert.EqualError(t, m.Set("span", typed), want)
	}
	assert.EqualError(t, m.Set("hollow", "about 50"), "hollow: this needs yes or no")
	for _, typed := range []string{"yes", "no"} {
		require.NoError(t, m.Set("hollow", typed))
		v, err := m.Value("hollow")
		require.NoError(t, err)
		assert.Equal(t, typed, v.Text)
	}
}

// TestSheetAsItStandsIsNotWorkedOutAgain: going back to it from itself runs nothing.
func TestSheetAsItStandsIsNotWorkedOutAgain(t *testing.T) {
	m := load(t, "span : 3\nhalf = span / 2\nvariant \"v\"\n  span : 4\n")
	runs := m.st.Runs
	require.NoError(t, m.UseVariant(""))
	assert.Equal(t, runs, m.st.Runs)
	require.NoError(t, m.Set("span", "5"))
	require.NoError(t, m.UseVariant(""))
	assert.Equal(t, "1.5", shown(t, m, "half"))
}

// TestNearOfASearch: how far apart the sides are half a shown step beside the value found, where they cross least
// steeply: 1000 x / (x + 1) = 500 at 1, where the line to the upper end, 409.09 at 10, is the flatter one.
func TestNearOfASearch(t *testing.T) {
	m := load(t, "adjust x [1, 0.1] from 0 to 10 so 1000 * x / (x + 1) = 500\n")
	require.Empty(t, m.Mistakes())
	v, err := m.Value("x")
	require.NoError(t, err)
	s, ok := m.Search(v.Place)
	require.True(t, ok)
	assert.InDelta(t, 0.05*(1000*10/11.0-500)/9, s.Near, 1e-9)
}

// TestNoStateWhenItsTimeIsUp: a context that is done before a program is worked out leaves no state.
func TestNoStateWhenItsTimeIsUp(t *testing.T) {
	src := Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte("a = 1\n")}}}
	p, err := bind.Sheet(t.Context(), src, "x.gusset")
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	st, err := state.New(ctx, code.New(p), explain.Reasons)
	assert.ErrorIs(t, err, context.Canceled)
	assert.Nil(t, st)
}

// TestWhatIsMeasuredNeedsATolerance: a given number is measured unless it is counted, paid or not known.
func TestWhatIsMeasuredNeedsATolerance(t *testing.T) {
	m := load(t, `span [in] : 46
share [%] : 30
ratio : 1.5
cells [1, 1] : 3
price [$] : 12
price_of_wood [$/sq in] : 0.1
hollow : yes
stock : "balsa"
unknown [in] :
chord [in] = span / 6
table parts
  part | weight [oz] | pieces [1, 1]
  wing | 9           | 2
`)
	for name, want := range map[string]bool{
		"span": true, "share": true, "ratio": true, "cells": false, "price": false, "price_of_wood": false, "hollow": false,
		"stock": false, "unknown": false, "chord": false, `parts["wing"].weight`: true, `parts["wing"].pieces`: false,
	} {
		slot, err := m.st.FindSlot(name)
		require.NoError(t, err)
		assert.Equal(t, want, state.NeedsTolerance(m.st, slot), name)
	}
}

// TestReasonsFollowWhatIsSetMeanwhile: entries that are asked for one by one tell why there is no value as it is then.
func TestReasonsFollowWhatIsSetMeanwhile(t *testing.T) {
	m := load(t, "a : 1\nb :\nc :\nx = b * 2\ny = (b + c) * 2\n")
	reasons := map[string]string{}
	for e := range m.All() {
		reasons[e.Name] = e.Reason
		if e.Name == "x" {
			require.NoError(t, m.Set("b", "3"))
		}
	}
	assert.Equal(t, "waits for b", reasons["x"])
	assert.Equal(t, "waits for c", reasons["y"])
}
