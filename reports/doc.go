// Package reports turns an estimate into what people and programs read.
//
// Two functions do most of the work: Tables lays an estimate out as neutral
// tables, one for each sheet, and WriteJSON writes the estimate for programs.
//
//  1. A builder (UnitCost, Lines, ToBuy, …) picks the figures of one sheet out
//     of a cost.Estimate and puts them into a Table: columns with a heading, a
//     unit and a format, rows of values. A value is text, a number, a date,
//     nothing, or unknown, which every writer shows as "?" and never as 0.
//  2. A writer lays tables out and knows nothing of costs: WriteCSV here,
//     package terminal for screens, package workbook for spreadsheets.
//
// The package computes no costs: the only sums made here are those shown under
// a column of lines. Rows and columns carry keys that do not change with their
// wording, so that a writer can find the cell of a figure.
package reports
