// Package toolpath reads the toolpath file of a printed part, G-code as
// RS-274/NGC (NIST IR 6556) with the extruder axis E, and works out what it
// takes: filament, hours, size, layers.
//
//  1. Lines are parted into words.
//  2. An interpreter keeps position, units, offsets and tools and turns words into
//     moves.
//  3. A planner looks ahead over the moves and lets each speed up, cruise and slow
//     down within the limits of the printer, taking corners at the speed of the
//     junction deviation.
//  4. The times are summed.
//
// [Read] does all of it in one pass; memory does not depend on the length of the
// file.
//
// Comments are ignored, whatever a program writes into them, so the result
// rests on the moves alone. Words that are not known are counted and named in a
// note; a line that moves the filament in a way that is not known is an error.
//
// The size is that of the piece, for packing pieces on a plate: the bounds, along
// the middle of the lines, of what stands above the two lowest heights at which
// something is printed level, and of what hangs together with it in the second. So
// a skirt and a purge line do not count, which stand apart, nor a brim, which is in
// the lowest layer alone: the spacing on the plate keeps room for it, and a note
// says how wide it is. A thin base, a raft and supports count, and so does what
// stands beside the piece above the first layers, such as a tower to wipe the
// nozzle on. Where nothing stands above the first layers all that is printed
// counts.
//
// Where files for printers differ from RS-274/NGC, or where it is silent, the
// common practice of printers is followed (no source):
//
//   - G0 goes at the feed rate like G1, at the printer's limits where no feed
//     rate was ever given.
//   - G2 and G3 may have radii that differ by 0.05 mm at their ends, since files
//     round to two decimals (RS-274/NGC: 0.002 mm).
//   - G4 waits P milliseconds or S seconds.
//   - G10 and G11 without L and P retract and return the filament, by what M207 and
//     M208 say; their lift is not counted in coordinates.
//   - G28 goes to machine zero in the axes it names, or all. G12, G27, G29, G30,
//     G32 to G35, and G80 with axis words, wipe, park and level: their lines are
//     ignored.
//   - G92 without axes makes all of them zero, as the documentation of many printers
//     has it; some do nothing then, and RS-274/NGC makes it an error.
//   - M82 and M83 make E absolute or relative and hold over G90; while G91
//     holds, E is relative.
//   - M201, M203, M204 and M205 set the limits of speed (mm/s), acceleration
//     (mm/s²), instantaneous speed change (mm/s) and junction deviation (J, mm)
//     from there on, as the printer would take them.
//   - M220 and M221 scale speed and extrusion in per cent; M200 D makes E count
//     mm³.
//   - Behind a G or M word that neither moves nor extrudes, and behind one that is
//     not known, may stand a text: the rest of the line is ignored where it is one.
//   - A word whose number is a template's mark that was never filled in, such as
//     Z[height] or F{speed}, is ignored; in place of E it is an error.
//   - T with a number over 31 or below 0 is the printer's own and changes no tool.
//   - Comments in parentheses may hold others, where all are closed (RS-274/NGC
//     allows none).
//   - *57 at the end of a line is the exclusive or of the bytes before it.
//
// Heating and levelling take what the printer takes, which the file does not say:
// waits for heat are not timed.
package toolpath
