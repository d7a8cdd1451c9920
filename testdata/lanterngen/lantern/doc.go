// Package lantern makes the demo build: a carnival lantern in the shape of a
// deep-sea fish, half a metre long, in eighteen parts. The fish is invented
// and so is the fair it swims over; nothing here is measured off a real prop.
//
// Lengths are millimetres. All parts share one frame, that of the assembled
// lantern: the snout is near x = 0 and the tail towards +X, z is up and y = 0
// is the plane between the two sides; the fish's left is −Y. A part that the
// lantern needs several times lies where the first of its copies goes.
//
// The package has two halves. The kernel (lattice, cutter, crossing, skin)
// turns solids given by functions into closed surfaces: a lattice of
// tetrahedra is cut by one function after the other, each edge that a function
// changes sign on being split where it is zero, until every tetrahedron is
// wholly inside or outside the part. Where the two kinds meet is the surface:
// closed by the way it is made, its flat faces flat to the last digits and its
// creases sharp. The other half (body, shells, face, fins, pins) describes the
// fish. Because each facet remembers the function that it was cut by, its role
// is known and need not be guessed.
//
// Called by the generator beside it, and by tests and benchmarks that want
// real parts of any size without reading files. It does no input or output.
package lantern
