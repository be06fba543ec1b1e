// Package pricesheet writes offers, stock on hand and what a run has shown into the
// tabs of a price sheet that somebody keeps, and leaves all else in the file as it is:
//
//  1. Lay finds the cells that offers go into, LayRows those of rows of any tab, which
//     Carry and Learn work out: those of rows that are there, and rows added below
//     the last. NewTab is a tab that the sheet does not have, for AddSheet or NewCSV.
//  2. Edit.Write puts them into the bytes of the file. Of a workbook only the XML
//     of that sheet changes, and what has to follow from it (the range of a table
//     or a filter, the order of calculation); all other parts are copied byte for
//     byte. Of a CSV file nothing changes but the fields that are written.
//  3. Edit.Check holds the tables of the new file, read again, against those of the
//     old one: the cells that were laid, and not one besides, may differ.
//
// Where a file is laid out so that this cannot be done safely, an error says why,
// and nothing is written. The package reads and writes no file.
package pricesheet
