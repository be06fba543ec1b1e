// Package terminal shows reports as plain text in columns.
//
// Estimate shows the answer of a whole estimate; Print shows any table.
// Neither writes more columns than it is told, colour or control characters.
package terminal
