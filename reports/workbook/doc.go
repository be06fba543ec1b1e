// Package workbook writes estimates, and the tables that are filled in for
// them, as workbooks in Office Open XML (ECMA-376).
//
// Write makes the workbook of an estimate:
//
//  1. reports.Tables lays the estimate out as neutral tables;
//  2. the first sheet shows the answer in large figures, the table of costs by
//     category and a chart of it; each other table becomes a sheet of its own;
//  3. the parts of the file are packed in a fixed order, so that the same
//     estimate gives the same bytes.
//
// Numbers are numeric cells that hold the exact digits of the estimate; text is
// text, whatever it starts with. WriteInputs writes the tables a person fills
// in. Nothing here reads a clock or computes a cost.
package workbook
