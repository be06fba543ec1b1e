// Package waysout finds what can be done where a part runs short: each way out is the whole
// run, planned anew.
//
//  1. A part is short where the stock does not cover a batch ([cost.Model.Short]), or where it
//     would be bought from a supplier that is taken for dry ([cost.Scarcity]).
//  2. [Find] compares for each short part the offers that were left out, its substitutes, a mix
//     of both, waiting for what comes in, and fewer units, all other parts as if in stock.
//  3. Besides it chooses a way for several short parts together, by trying every choice,
//     or where there are too many of them by changing one at a time.
//
// What comes of a way is a [State]: units, unit cost, cash, the day the batch is ready.
package waysout
