// Package sum states sums once and uses each statement four ways.
//
// A [Sheet] holds figures that were read or decided, and results worked out from
// them. Stating a sum evaluates it at once, exactly, in decimals ([Sheet.Value]).
// The same statement is
//
//   - drawn: [Sheet.Compile] makes a flat programme in float64 of what rests on
//     figures that may turn out otherwise;
//   - written: [Writer.Formula] gives a spreadsheet formula, in which a result or
//     figure that has a cell stands as its address and any other is written out;
//   - told: [Sheet.Explain] gives the tree of a result down to the figures it
//     rests on.
//
// The operations: +, −, ×, ÷, round to a number of decimals, round up to a step,
// least, greatest, if at least, if more, if equal, the row of a table that holds
// at a quantity, the sum of what belongs to something, share by largest remainder.
//
// A figure that nobody knows makes unknown all that rests on it; the values then
// hold what is known.
//
// The package knows nothing of boards, parts or payers: keys name what a result is.
package sum
