// Package sheet turns tables into a bill of materials, a price sheet or a supplier's
// quote:
//
//  1. the heading row is found under title rows, and each heading is matched
//     with the documented columns of package bom;
//  2. rows of lists and quotes, which others write, become plain structs: gocsv fills
//     them from a cursor that knows the true place and kind of each cell, whether it
//     comes from CSV or a workbook; cells of our own tabs are fetched by their headings;
//  3. the cells are read as figures, dates and choices, and the rules that hold
//     within a row, a table and the whole sheet are checked.
//
// ReadBOM, ReadPrices and ReadQuote are the functions to call. They go on after a
// fault, so that one run shows all complaints; a result in which Problems holds
// an error is not fit to be computed with. The package opens no file: tables
// come from the caller.
package sheet
