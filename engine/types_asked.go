package engine

import (
	"gusset/engine/choose"
	"gusset/engine/odds"
)

// Choosing among what given values may be. Package choose has what they hold.
type (
	// ChooseQuestion is what Choose is asked.
	//
	// Fields: Vary, Goals, Without, Keep, Odds, Seed, Progress, Drawing.
	ChooseQuestion = choose.Question
	// ChooseGoal is a number that is to be as small or as large as can be.
	//
	// Fields: Name, Most.
	ChooseGoal = choose.Goal
	// ChooseAnswer is what came of a ChooseQuestion.
	//
	// Fields: Varied, Goals, Now, Without, Total, Tried, Hold, Fail, Unknown, NotLaidOut, Stopped, RuledOut, Untouched,
	// Unmoved, Unranked, Best, Front, FrontSize, FrontCut, Nearest, Looked, LookedOf, OddsStopped.
	ChooseAnswer = choose.Answer
	// Varied is a given value that was varied.
	//
	// Fields: Name, Count, Now.
	Varied = choose.Varied
	// RuledOut tells how often a check rules a combination out.
	//
	// Fields: Check, Count, Alone, NoValue, LastAsked.
	RuledOut = choose.RuledOut
	// Combination is one choice of each varied value, with what comes of it.
	//
	// Fields: Settings, Chosen, Changed, Goals, OnGuess, Outside, Tightest, Margin, Unmet, Odds. Methods: Changes.
	Combination = choose.Combination
)

// MaxChooseOdds is of how many combinations Choose finds out how sure they are.
const MaxChooseOdds = choose.MaxOdds

// What is drawn. Package odds has what they hold.
type (
	// Odds is what the give or take of the given values does to results and checks.
	//
	// Fields: Builds, Seed, Steady, Stopped, Drawn, Results, Checks, All, Outside, Looked, Texts, Kept.
	Odds = odds.Odds
	// OddsOptions is what is asked for: without Names the checks, and what nothing else uses.
	//
	// Fields: Names, Builds, Parts, Seed, Progress.
	OddsOptions = odds.Options
	// OddsResult is what it does to a number.
	//
	// Fields: Entry, Mean, SD, Low, High, First, Remark, None, Waits, NoneWhy, Strip, Shares, Undeclared.
	OddsResult = odds.Result
	// CheckOdds is how often a check holds.
	//
	// Fields: Cell, Outcome.
	CheckOdds = odds.CheckOdds
	// Outcome is in which share of builds a check, or all of them at once, holds, fails, waits, or has no result.
	//
	// Fields: Holds, Fails, Waits, None, Margin, Spread, OnlySpread, Undeclared.
	Outcome = odds.Outcome
	// FirstOrder is the spread of a result as its slopes have it.
	//
	// Fields: SD, Low, High.
	FirstOrder = odds.FirstOrder
	// Share is how much of the doubt in a result comes from one given value.
	//
	// Fields: Name, Place, Share, Known, Guess, Dim.
	Share = odds.Share
	// Strip is how often a result is where.
	//
	// Fields: From, To, Shares.
	Strip = odds.Strip
	// Drawn is a given value that was drawn for each build.
	//
	// Fields: Name, Place, Guess, Off, Spread, Crosses.
	Drawn = odds.Drawn
	// OddsOutside is a formula that some builds use outside the range where it is to be trusted.
	//
	// Fields: Formula, Names, Share, Now.
	OddsOutside = odds.Outside
	// Undeclared is a given value of which nobody says how far off it may be. A limit that is written as a formula is
	// not given, and is exact.
	//
	// Fields: Name, Place, Moves.
	Undeclared = odds.Undeclared
)

// OddsRemark says why the range to first order is not the range that holds 95 of 100 builds.
type OddsRemark = odds.Remark

// The remarks.
const (
	OddsAgree   = odds.Agrees
	OddsFlat    = odds.Flat
	OddsCurved  = odds.Curved
	OddsAtLimit = odds.AtLimit
	OddsStepped = odds.Stepped
	OddsFlip    = odds.Flips
	OddsMissing = odds.Missing
)
