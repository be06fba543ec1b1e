// Package cost computes what a run costs. It is pure: it opens no file, reads no
// clock and keeps no state, and the same [Run] gives the same [Estimate].
//
//  1. A [Run] is a unit, a price sheet, a level, batch sizes and rules.
//  2. [Compute] works out each batch: how many are started, what is needed of each
//     part, what is bought where, printed, fitted by hand, packed and posted, and
//     who pays. Problems say what is wrong or uncertain; what has no price is unknown
//     in the estimate and never 0.
//  3. What-ifs have rooms of their own, which compute a run again: [tenoff/cost/sweep] at
//     many batch sizes, [tenoff/cost/trial] with other figures and luck,
//     [tenoff/cost/waysout] in every way out where a part runs short,
//     [tenoff/cost/rulecost] with each of its rules alone,
//     [tenoff/cost/revision] from one run to another change by change.
//
// The sums are those of README, "Sums"; money is decimal, and each amount is
// rounded once, where it is stated.
package cost
