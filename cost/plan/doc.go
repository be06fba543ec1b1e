// Package plan tells when a job of many tasks is done, by the critical path
// method (J. E. Kelley and M. R. Walker, Critical-Path Planning and Scheduling,
// Proceedings of the Eastern Joint Computer Conference, 1959).
//
//  1. [Make] takes tasks with their days and what each waits for. A pass forward
//     gives the earliest each can start and end; a pass backward from the end of
//     the last gives how long each could be put off.
//  2. [InTurn] tells in which order one pair of hands does tasks so that the last
//     of them ends soonest.
//  3. [Direct] leaves out what a task waits for anyway.
//
// A [Week] says on which days those tasks go on that are tied to working days.
//
// Times are days in exact millionths, so that sums along a path have no noise.
package plan
