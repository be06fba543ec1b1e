// Package cutting cuts leads of several lengths from rings of one length, of which it
// takes as few as it can: the one-dimensional cutting-stock problem.
//
//  1. [Make] begins with the longest lead first, each into the first ring that still holds
//     it. Then it fills ring after ring as full as the leads that are left can, by the sums of
//     lengths that can be had (bounded subset sum), so that no ring can be filled better by
//     what comes after it.
//  2. Where that takes more rings than a bound says are needed, it fills rings by values of
//     the lengths that are corrected from one attempt to the next by how well the rings turned
//     out which they lie in (sequential value correction), as long as that is cheap.
//
// Lengths are whole numbers of any one unit. What a cut itself takes is not counted.
package cutting
