// Package bom holds what is read: the lines of a unit, the price sheet, printed
// files, and the place of every figure in them.
//
//  1. An [Assembly] is one bill of materials: its [Line] values, some of which hold
//     the assembly of a board or of a part of the unit in Sub.
//  2. [Prices] is the price sheet, a slice for each tab.
//  3. [Problems] is what was wrong, assumed or of note. Each has a [Place] (file,
//     sheet, row, column), what stands there, and what would be right; a record
//     that was complained of is not used.
//
// The words of the trade are read here too: figures ([ParseFigure]), designators
// ([ExpandDesignators]), values, dates, currencies, names of packages
// ([ReadPackage]) and descriptions ([ReadDescription]); and the schema of all
// tables, with headings, units and what they are for ([BOMTab], [PriceTabs]).
//
// The packages below read files: table (CSV, XLSX, ODS), sheet (lists, price
// sheets, quotes), mesh and toolpath (printed parts), and load, which reads a
// whole run.
package bom
