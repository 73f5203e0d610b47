// Package page makes a web page of a worked sheet: one file that shows it, and works by itself in any browser, with no
// tool and no network.
//
// What is on it comes from package report; here is only how it looks. view.go puts it together, page.html writes it,
// page.css draws it, and pictures are lists of shapes (drawing.go) that are written as SVG. Every text of the sheet
// goes through html/template, and a content-security policy in the page itself allows nothing but the style and the
// script that are in it, by their hashes. ui.js is what it does in a browser; all numbers are there without scripts.
//
// data.go collects what the page works with: the compiled program as plain data (engine.Portable). numbers.js reads and
// shows workshop numbers, machine.js runs the instructions, walk.js finds reasons and what rests on what, model.js
// answers for the values of a sheet: what is shown of one, what a change does to the others. They are put together into
// one script (Script) and use nothing but the language, ES2020.
package page
