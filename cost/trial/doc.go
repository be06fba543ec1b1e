// Package trial tells what a run may turn out to cost. An estimate stands for one course of
// events; here its batches are worked out many times more, each time with other figures and
// other luck.
//
//  1. An estimate gives a [cost.Replay] of each batch: the same purchases and starts, with
//     what may turn out otherwise as inputs.
//  2. [Run] draws them as often as is asked for: figures between their low and high, boards,
//     units and plates that come out good or fail. Each input draws from a stream of its own,
//     so that the same seed gives the same figures whatever else is drawn.
//  3. [Chances] hold for each batch P10, P50 and P90 of unit cost and cash, how often a budget
//     suffices and enough units come out good, and which input carries how much of it.
//
// It plans nothing anew: what would be bought otherwise at other prices is not asked.
package trial
