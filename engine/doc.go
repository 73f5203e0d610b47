// Package engine works a sheet out, for programs that show it, try values in it and tell why: a command line, a
// club's web service.
//
// # Reading
//
// [Load] reads a sheet, with those that it uses, from any [fs.FS], and gives a [Model]. A sheet with mistakes loads
// too: Load's error says that the sheet itself could not be read, and [Model.Problems] what is wrong inside it. What
// cannot be worked out has no number, and says why.
//
//	m, err := engine.Load(engine.Sources{Files: os.DirFS("models"), Library: library.Pages()}, "sparrow.gusset")
//	v, err := m.Value("all_up") // v.Text, v.Number in v.Unit, v.Status, v.Reason
//
// A value is named as in a formula of the sheet: all_up, parts["wing"].weight, or in a sheet that it uses
// rack.stock["balsa"].price. The library's names can be read like the sheet's own, as far as the sheet asks for
// them; a Model from [LoadLibrary] has all of them. [Model.Value], [Model.Cell] and [Model.Table] read by name,
// [Model.EntriesOf] all that a name stands for, [Model.Pages] everything in the sheet's own order, [Model.All] one
// value after the other, [Model.Checks] the checks.
//
// A [Value] is as it was when it was asked for. Its Number is in its Unit; SI gives it in SI units. A number that is
// none is NaN, and Status and Reason say why there is none. What is shown (Text, Quantity) is rounded to the Step of
// the cell. Guess and Guesses say whether it rests on a guess, Remarks and Remarked whether it, or a value that it
// rests on, uses a formula outside the range where that is to be trusted: whoever shows a number shows these beside it.
//
// The types are aliases, of which go doc lists the fields. Each with its type and meaning is in the package that it
// comes from: go doc gusset/engine/explain.Value, also differ for Move and Comparison, state for Setting and Target,
// odds, choose, and program for Sources, Limits and Error. What is read is not to be changed: lists of choices and
// notes are the program's own, for all its forks.
//
// # Setting
//
// [Model.Set] takes a value as it is typed in a sheet, in any unit that fits: "4 ft 2 in", "8-1/4", "3/32", "yes",
// "". Only given values can be set, and only what depends on them is worked out again. [Model.SetAll] sets all or
// none. [Model.UseVariant] gives them what they have in one of the sheet's variants. [Model.Ripple] sets and tells what
// that moved. For one number that is set again and again, a [Handle] spares the name and the text.
//
// Examples of formulas are judged once, when the sheet is loaded, with the values that it has then: what is set
// later, or by a variant, makes no example wrong.
//
// Nothing of this touches the sheet's text. [Model.Target] tells on which line of which sheet a value stands, and
// Target.Write puts it there, leaving all else as it is. It refuses a text in which the value's place, or the unit
// that it is counted in, is not what it was when the sheet was loaded.
//
// # Forks
//
// A Model has one set of values. Where several users, or several trials, are each to have their own, each takes a
// [Model.Fork]: the sheet itself is shared and never written, and a fork costs a copy of its values. Forks work at
// the same time without waiting for one another; there is nothing to undo after a trial, since a fork is simply
// dropped. One Model may also be used from several goroutines; then changes wait their turn.
//
// A [Model.ForkContext] is a fork for one request: when its context is done, what it is changing stops and is taken
// back. What a request has set in time is kept by ForkContext(context.Background()) of it.
//
// # Asking
//
// [Model.Why] follows a number down to what was measured. [DoubtOf] tells how far it may be off, and [SlopesOf] by how
// much it moves with given numbers. [OddsOf] draws all that may be off again and again, and tells how often each check
// holds. [Choose] tries every combination of what some given values may be, and sets nothing. [Compare] puts what
// several models, or variants of one, say side by side, [Between] tells what moved from one to another, and
// [ChangesFrom] what was changed from a variant, and what each change did. [CutPlans] tells how pieces are cut from
// stock.
//
// # Limits
//
// Loading a stranger's sheet takes bounded time and memory; [Sources] may hold tighter [Limits]. What goes beyond these
// is an error of the kind ErrLimit where it is the sheet that was asked for, else a message in [Model.Problems].
// [LoadContext], [OddsOf] and [Choose] take a context, and changes have that of a ForkContext. A context is heard
// within what one text takes to read, or the sheet to be worked out once or twice, which Limits.Bytes and Limits.Steps
// bound. Reading has none: what finds reasons, such as [Model.Problems], [Model.Why], [Model.Ripple] after its change
// and the values themselves, ends after a number of steps that takes a second or so, whatever the sheet, and gives so
// many messages at most. Of values there may be two million; [Model.All] and [Model.Outline] give them as they are
// asked for, until the caller has enough, and [Model.Count] tells how many there are before [Model.Entries] and
// [Model.Pages] give all at once.
//
// # Errors and JSON
//
// Errors have a kind: errors.Is(err, engine.ErrNoSuchName), or an [*Error] with the name that it is about. Their
// text is for the builder, in the sheet's own words and units. Those of a file are also what the [fs.FS] returned, and
// those of a context its own: errors.Is(err, fs.ErrNotExist), errors.Is(err, context.Canceled). A Value beside an error
// is Absent, and its Number NaN.
//
// All that is read of a Model can be given to encoding/json; a number that is none becomes null, a unit its name, a
// state a word. Messages carry their place, not their sheet. What is given to a Model, such as a [Setting] or a
// [ChooseQuestion], can be read back from JSON.
//
// Nothing of this package panics on a nil Model, a zero value, or a [Place] of another Model.
//
// # Elsewhere
//
// Package units has the units of values and their way of writing numbers, text the sheet as a tree of lines, with its
// messages, library what Gusset knows, and page and workbook make a file of a Model to look at.
package engine
