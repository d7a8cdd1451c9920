// Package solid builds simple solids whose measures are known in closed form,
// for tests and examples of every package that takes a mesh.
//
// Every solid is watertight, its facets run counter-clockwise seen from
// outside, it stands on the plane z = 0 and its bounding box is centred on the
// Z axis. Lengths are millimetres. What lies, leans or stands on its head is
// made by turning: solid.Cylinder(10, 50, 96).Moved(pose).
//
// Round solids are polyhedra with their corners on the round surface; their
// documentation gives the volume of the polyhedron too, so that a test need
// not hide the difference in a tolerance.
//
// The package is for fixed, sound arguments: a length that is not positive or
// a round solid of too few corners is a caller's bug and panics.
package solid
