// Package printing works out what a printed part takes from its mesh and a
// recipe, without making a toolpath, and corrects such figures by what finished
// prints took.
//
//  1. [Slice] cuts a solid at the middle of each layer and sums, over the
//     triangles that cross it, the length of the outline, the area inside, the
//     corners, and the area that lies open above and below.
//  2. [Compute] turns the sections into walls, solid layers, infill and skirt, and
//     those into filament and time.
//  3. [Correct] takes the ratios of measured to computed figures from a log of
//     prints, and [FromLog] the log from a price sheet.
//  4. [Measure] says what the files of a piece come to, toolpath and mesh, and
//     [Corrections.Apply] applies the ratios to it.
//
// How pieces are laid on beds stands in plates, when printers print in calendar.
//
// The figures are computed from the mesh, not measured: supports are an
// allowance, and what a printer's program does beyond the recipe is not known.
package printing
