// Package revision tells what each change between two runs costs: two revisions of a
// bill of materials, two price sheets, or both.
//
// [Compare] pairs the lines and the rows of the price sheets, applies the changes one by
// one and computes the batches after each; the steps sum exactly to the difference
// between the runs. A change that leaves something that cannot be bought is taken
// together with the next ones. Products of a run file are paired by their names, in the plans
// of the new one.
package revision
