// Package plates fills the beds of printers.
//
//  1. [Pack] lays pieces, by the rectangle round each, on as few plates as it
//     can, with a spacing between them and quarter turns. It says how few plates the
//     area alone would allow.
//  2. [PerPlate] tells how many equal pieces one plate holds.
//
// Pieces that are printed together must share material, recipe and printer;
// whether they fit in height is not looked at here.
package plates
