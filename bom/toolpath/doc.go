// Package toolpath reads the toolpath file of a printed part, G-code as
// RS-274/NGC (NIST IR 6556) with the extruder axis E, and works out what it
// takes: filament by tool, hours, size, layers.
//
// 1. Lines are parted into words; 2. an interpreter keeps position, units,
// offsets and tools and turns words into moves; 3. a planner looks ahead over
// the moves and lets each speed up, cruise and slow down within the limits of
// the printer, taking corners at the speed of the junction deviation; 4. the
// times are summed. [Read] does all of it in one pass; memory does not depend
// on the length of the file.
//
// Comments are passed over, whatever a program writes into them, so the result
// rests on the moves alone. Words that are not known are counted and named in a
// warning.
//
// Where files for printers differ from RS-274/NGC, or where it is silent, the
// common practice of printers is followed (no source):
//
//   - G0 goes at the feed rate like G1, at the printer's limits where no feed
//     rate was ever given.
//   - G4 waits P milliseconds or S seconds.
//   - G10 and G11 without L and P retract and return the filament, by what M207 and
//     M208 say.
//   - G28 goes to machine zero in the axes it names, or all.
//   - M82 and M83 make E absolute or relative and hold over G90; while G91
//     holds, E is relative.
//   - M201, M203, M204 and M205 set the limits of speed (mm/s), acceleration
//     (mm/s²), instantaneous speed change (mm/s) and junction deviation (J, mm)
//     from there on, as the printer would take them.
//   - M220 and M221 scale speed and extrusion in per cent; M200 D makes E count
//     mm³.
//
// Heating takes what the printer takes, which the file does not say: waits for
// it are counted, not timed.
package toolpath
