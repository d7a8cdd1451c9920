// Package plane is the geometry of the plate: outlines in two dimensions and
// the angles they are turned by.
//
// Units are millimetres, square millimetres and radians. X runs right, Y runs
// back, turns are counter-clockwise seen from above. Points are gonum's
// r2.Vec. Everything is a plain value: nothing here keeps state, and every
// function is safe for concurrent use.
//
// A Ring is one closed polygon, an Outline a set of rings that together bound
// a region: outer rings run counter-clockwise, holes clockwise, rings of one
// outline do not cross. Whether edges meet, and on which side of a line a
// point lies, is decided exactly, however close the case; distances and areas
// are rounded as usual. Coordinates must be finite. Asked about the same
// outline often, build a Tree of it once.
//
// The package measures, turns, simplifies and compares such regions; it does
// not make them out of meshes (package support does) and does not place them
// (package bedpack does).
package plane
