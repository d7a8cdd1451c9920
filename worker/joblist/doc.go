// Package joblist is what a plan comes to, as data: jobs.json version 1, read,
// checked and written, and the table and the text that are made from it.
//
// Units stand in the JSON keys; inside Go lengths are millimetres, areas mm²,
// volumes mm³, times hours, masses grams, and angles degrees, because a List is
// an edge where numbers leave Go. Every number is written with a fixed count of
// decimals, which stands beside its field in the tag `places`: 6 for lengths
// (mm), 3 for areas and volumes, 4 for hours and degrees, 2 for grams, 9 for
// the parts of unit vectors. That is finer than any printer or stopwatch, and
// coarse enough to hide the last bits in which two builds of one program
// differ. Equal lists give equal bytes.
//
// Called by worker, which fills a List, and by report and web, which show one.
// The package opens no file and plans nothing.
package joblist
