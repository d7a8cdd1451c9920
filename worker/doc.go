// Package worker turns a folder of part files into a job list: it reads and
// checks the parts, has each searched for orientations, has them packed onto
// plates, and writes the results whole or not at all.
//
// It is the only place with disk, clock, goroutines and a logger; what it calls
// is pure. One bad part, even one that makes the program panic, costs that part
// and no other.
//
// Called by cmd/platewright. It decides nothing about geometry.
package worker
