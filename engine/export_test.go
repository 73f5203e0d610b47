package engine

// Raced tells the tests outside the package that everything takes ten times as long.
const Raced = raced
