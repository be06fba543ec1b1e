// Package sweep computes a run again at other batch sizes and levels.
//
//  1. [Run] computes every size of a range: a [Curve] of what each costs, and the jumps of
//     its cash from one size to the next.
//  2. The curve is asked where the unit cost is lowest, from where on it is flat, which
//     size is better value than a wanted one, and which sizes come under a price.
//  3. [BreakEven] tells what given prices bring, and which sizes of a curve they are enough
//     for; [BreakEvenSizes] is the range that is looked at where none is given.
//  4. [Levels] computes the batches of a run at every level, side by side.
//
// Each size is what an estimate of it alone gives; days are not planned.
package sweep
