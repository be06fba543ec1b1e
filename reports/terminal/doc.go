// Package terminal shows reports as plain text in columns.
//
// Estimate shows the answer of a run, Detail what it is made of, Print any table.
// None writes more columns than it is told, colour or control characters.
package terminal
