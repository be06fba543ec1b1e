// Package table turns the bytes of a CSV file, an XLSX workbook or a spreadsheet
// of OpenDocument (ODS) into tables of cells, each with its true place.
//
// Read and Open do it in these steps:
//
//  1. The kind is told by the first bytes, never by the file's name.
//  2. Text is decoded (UTF-8, UTF-16, else Shift-JIS, Windows-1251 or Windows-1252), its
//     separator is found (comma, semicolon, tab, bar, or what a first line
//     "sep=" says), and the records are taken apart.
//  3. Of a workbook every part is read to its end, so that damage is found
//     before a figure is used; the list of sheets, the number formats and the
//     date system come first.
//  4. The cells of each sheet come from a walk of our own over the whole of its
//     XML. The rows that excelize streams carry neither the kind of a cell nor
//     its format, move cells that stand out of order to another column, and end
//     without a word where the XML is damaged.
//  5. Of OpenDocument the one part that holds all sheets is walked in the same
//     way; nothing else in the package bears on the cells.
//
// What may be told apart only by meaning (which row is the heading, which
// figure is a price) is left to the readers of the tables.
//
// All input is taken to be hostile: every size is bounded by Limits before it
// costs memory or time, and nothing is written to disk.
package table
