// Package workbook writes estimates, and the tables that are filled in for
// them, as workbooks in Office Open XML (ECMA-376).
//
// Write makes the workbook of an estimate:
//
//  1. reports.Tables lays the estimate out as neutral tables;
//  2. every computed figure gets a formula over the input cells of the same
//     workbook, beside the value that the estimate has; amounts that are shared
//     out get a sheet of their own, Shares;
//  3. the first sheet shows the answer in large figures, the table of costs by
//     category, a chart of it, and a row that tells whether all still adds up;
//     each other table becomes a sheet of its own;
//  4. the parts of the file are packed in a fixed order, so that the same
//     estimate gives the same bytes.
//
// Inputs are tinted: the offer and the quantity in To buy, prices and breaks in
// Offers, charges in Suppliers, settings, rates, times and masses in Prices used.
// What the batch needs, how many are started and what learning saves are figures:
// for another batch size the estimate is made again.
//
// Numbers are numeric cells that hold the exact digits of the estimate; text is
// text, whatever it starts with. WriteQuote writes the quote alone. WriteInputs writes the tables a person fills
// in. Nothing here reads a clock or computes a cost.
package workbook
