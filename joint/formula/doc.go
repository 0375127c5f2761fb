// Package formula is how the textbook writes a formula down: once, as a value
// beside the function that computes it. A [Record] holds the text that people
// read, its symbols with their units, its source, a worked example and the
// function. So text, figure and function can be held against each other: see
// [Record.Check].
//
//	record.go     the record and its check
//	procedure.go  what has no closed form, in words
//	parse.go      the text of a formula as an expression that can be evaluated
//	symbols.go    the symbols that the chapters share
//
// The package knows nothing of joints.
package formula
