// Package orient finds which way up a part should print.
//
// It proposes orientations (the faces a part can rest on, the directions its
// surface favours, a near-uniform sphere of directions), scores them with
// package support, refines the promising ones, and returns a choice set: the
// best orientation first, then those that no other beats on all counts.
//
// An orientation is an up vector in the part's own file frame; the spin about
// it is left to packing. Lengths are millimetres, angles plane.Angle.
//
// The package is pure: the caller hands in a Runner that spreads independent
// work over goroutines or does it in a row, and the answer is the same either
// way. It reads no files and knows no other part of the build.
package orient
