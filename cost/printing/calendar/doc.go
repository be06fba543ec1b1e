// Package calendar says when plates are printed: on printers of which there are
// so many, which are attended at some hours of the day only. A plate is started
// in attended hours and runs on through the night.
//
// [FreeFirst] shares plates out among unlike printers. [Make] plans those of printers
// that are alike: it gives each plate to the one that is through with it first, the
// longest plate first (R. L. Graham, Bounds on Multiprocessing Timing Anomalies,
// SIAM Journal on Applied Mathematics 17, 1969: at most 4/3 − 1/(3m) of the
// best on m printers that are always attended), and then exchanges plates as long
// as that ends the run sooner. It also gives the time before which no plan ends.
//
// Times are whole seconds from midnight of the first day.
package calendar
