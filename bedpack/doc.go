// Package bedpack puts parts onto plates and plates onto printers. It knows
// a part by its outlines, one for each way up it may stand, by its height and
// by the hours each printer would take; it never sees a mesh.
//
// Lengths are millimetres, areas mm², times hours, angles plane.Angle. Places
// are in the printer frame (see package printer): origin at the bed's
// front-left corner, X right, Y back. Pure: no goroutine, file, clock or
// package state; the same printers and items give the same arrangement, in
// whichever order the items come.
//
// How Arrange goes about it:
//
//  1. Each item gets, for each printer, the first of its options that the
//     printer can take. Whether a hull fits an oblong bed at any angle is
//     solved, not sampled (fit.go), so that a part which fits only within a
//     fraction of a degree is found. An item that fits nowhere is refused,
//     with the least it misses by.
//  2. Items are shared out so that the largest sum of hours over the printers
//     is small (share.go).
//  3. Each printer's items are put onto its plates, large ones first, each
//     where and as turned as it stays nearest to the front left corner
//     (fill.go, search.go): on a raster of the bed in which every cell that
//     an outline, grown by half the gap, so much as touches is taken
//     (canvas.go, stamp.go). Holes and bays are free cells like any other.
//  4. Each part then slides to where it all but touches the gap (slide.go);
//     whether it may is decided on the true outlines. So rasters decide how
//     well a plate is filled, never whether it is right.
//  5. Plates are saved (squeeze.go): the parts of a printer's emptiest plate
//     are put onto its others, overlapping, and all move until none overlaps
//     or Settings.Effort is spent. Rasters play no part in this.
//
// PackStrip fills a strip of fixed height by the same search; it is there to
// hold the packer against published figures (command stripbench).
//
// How the search goes about it: a crowd is a set of parts in a room, at any
// places (crowd.go). Parts are sets of convex lobes (lobe.go), so how deep
// two of them are in each other has a closed form at any spin (depth.go).
// Round after round each part that overlaps moves to the best of some places
// tried (probe.go, push.go), where overlaps count the more the longer they
// have lasted (separate.go); if that leads nowhere, two large parts change
// places (upset.go).
//
// Called by worker. It does not choose between options of a part by what they
// cost (that is orient's order), does not plan the times of plates (package
// nights does), and does not touch what is already on a plate.
package bedpack
