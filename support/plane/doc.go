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
// outline do not cross. The package measures, turns and compares such
// regions; it does not make them out of meshes (package support does) and
// does not place them (package bedpack does).
package plane
