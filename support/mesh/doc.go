// Package mesh holds one part as an indexed triangle mesh: built, welded,
// checked, measured, turned.
//
// Conventions, said once for the whole project: lengths are millimetres,
// angles radians, the frame is right-handed, the plate is the plane z = 0 and
// +Z points up away from it. Facets are triangles whose corners run
// counter-clockwise seen from outside, so that the outward normal of a, b, c
// is (b−a)×(c−a). Points are gonum's r3.Vec.
//
// A Mesh never changes once built; goroutines may share it without locks.
// The package does no input or output and refuses to guess: what is damaged is
// reported in a Report, and mended only where one mending is possible.
package mesh
