// Package cost computes what a run costs. It is pure: it opens no file, reads no
// clock and keeps no state, and the same [Run] gives the same [Estimate].
//
//  1. A [Run] is a unit, a price sheet, a level, batch sizes and rules.
//  2. [Compute] works out each batch: how many are started, what is needed of each
//     part, what is bought where, printed, fitted by hand, packed and posted, and
//     who pays. Problems say what is wrong or uncertain; what has no price is unknown
//     in the estimate and never 0.
//  3. [tenoff/cost/sweep] computes many batch sizes, [tenoff/cost/trial] draws what could change,
//     [tenoff/cost/revision] compares two runs, [WaysOut] every way out where a part
//     runs short.
//
// The sums are those of README, "Sums"; money is decimal, and each amount is
// rounded once, where it is stated.
package cost
