// Package settling compares a run that was made with its plan (standard costing).
//
//  1. [Settle] takes a plan with what was filled in ([bom.Actuals]) and gives a
//     [Settlement]: for each line what was planned and what it came to, and why they differ.
//
// All variances are actual − plan: what is over 0 cost more than was planned. They add up
// to the cent. What was left blank counts as planned. Nothing is read from anywhere else,
// and no price sheet is needed.
package settling
