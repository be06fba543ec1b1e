// Package buy makes the purchasing plan of one batch: which offers to order, in
// which quantities, so that the whole run's landed cash is least.
//
// The steps:
//
//  1. [New] reads a [Problem]: suppliers with their charges, parts with their
//     offers. Money becomes whole minor units, prices and rates exact ratios.
//  2. [Solver.Solve] takes the demands and the goods that are fixed (boards,
//     assembly fees) of one batch and finds the plan.
//  3. [Solver.Why] tells what the next best offer of each part would cost the
//     run, and what leaving out each supplier would.
//
// The landed cash of a plan is, over all orders: goods, delivery (waived from
// a threshold on), top-up to the minimum order, duty, import tax and handling
// with their limits, line fees, and a consignment fee for each machine-placed part that
// the assembler does not buy for us itself. Charges go by order, by line (a fee, a duty of
// its own) and by steps in value: up to a limit duty is flat for each different heading;
// fees, top-ups and what others send to the assembler count to the value.
//
// The plan is proven cheapest by branch and bound. Parts meet only in the
// totals of the orders, so those links are relaxed with one price per supplier
// (Lagrangian relaxation; Geoffrion, Mathematical Programming Study 2, 1974,
// cited from memory): each part then picks its cheapest options alone and each
// order its cheapest total alone, and the sum bounds every plan from below. The
// prices are found by a bundle method; they are negative where an order has to
// reach a threshold with goods that cost it nothing. Where a proof is hard, an order whose
// customs go by another value than its goods has a second price, of that value.
// Of goods that an order below its minimum takes in place of a top-up, only the
// roundings matter: options that are no luckier than smaller ones are
// dropped.
// Orders are split at their thresholds until the bound meets the best plan, all together
// at the number of parts that pay a consignment fee, which is whole; small orders
// where duty is flat by what stands under a heading or does not, and those in which the
// share of the delivery in the duty of lines is open by their value. Orders that a
// threshold holds in place are divided at every minor unit of their value, so that no
// rounding is left to relax; and those whose goods count for nothing are left out of
// account, which settles what hangs on the others alone. Once the
// gap is narrow, all options of each part that a better plan can hold are listed
// (reduced cost fixing), and their combinations run through from both ends of the
// parts: a tree of the halves' totals finds the pairs that can be cheap enough. Where
// they are too many the lists are divided, each part of them with prices of its own.
// Every quantity of every offer is listed that could still lie in a better plan, so
// that a screw more which saves the delivery, or a piece less which stays below a
// customs threshold, is found without special cases.
//
// Of plans that cost the same, the one whose surplus is worth most is looked for, then the
// one with the fewest orders and pieces. That is not proven: a few in a thousand small runs
// miss it.
//
// The package reads no clock: the proof ends where [Problem.Effort] is spent, a
// number of steps that is counted. The same problem gives the same plan, on any
// machine, whatever was solved before it and whatever the order of its parts and
// offers.
//
// At most 64 suppliers, and 64 offers of one part, can be planned together.
//
// It does not decide what is needed (demands come in), whether prices are old,
// or who pays.
package buy
