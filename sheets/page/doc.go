// Package page makes a web page of a worked sheet: one file that shows it, and works by itself in any browser, with no
// tool and no network.
//
// data.go collects what the page works with: the compiled program as plain data (engine.Portable). numbers.js reads and
// shows workshop numbers, machine.js runs the instructions, model.js answers for the values of a sheet: what is shown
// of one, what a change does to the others, why it is what it is. They are put together into one script (Script) and
// use nothing but the language, ES2020.
package page
