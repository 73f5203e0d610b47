// Package differ tells what differs between values: of several sheets or variants side by side, and of one sheet before
// and after something was set.
//
// It is given entries, which package explain makes: a value with its name, unit and step as it stood when it was asked
// for. From two entries of one name comes a Move (move.go): whether they are the same, by how much the one is more than
// the other, in its unit and in percent, and both as texts that show it. Four things are made of Moves:
//
//   - Compare and CompareDiffering (compare.go) hold columns of entries against the first, name by name, and list what
//     only some of them have.
//   - Moves lists what moved from one state of a sheet to another, what is new and what is gone.
//   - Of (ripple.go) sets values in a State and tells what that moved; Between is the same for a sheet that was loaded
//     again. Both also name what did not move since a given value stands in its place: weighed ?? estimated.
//   - ChangesFrom (changes.go) makes each change from a variant to the sheet by itself, and all of them together.
//
// These hold. Two numbers are the same exactly when a formula that compares them says so. Values of a Move are in one
// unit, that of the later, where they measure the same; the difference of the two texts, as a reader works it out, is
// ChangeText. Readings such as [degC] differ by K. Nothing here knows how anything is printed.
//
// To follow a value through a ripple: Of finds with the plan of the State what a setting can bear on, notes what that
// is worth, sets, and compares: a span of 48 in that is set to 4.5 ft is "54 in" after "48 in", a change of "+6" and
// "+12.5 %". So it goes with each value that rests on it, in the order of the text.
package differ
