// Package partfile reads part files (STL, 3MF, OBJ) into triangles and writes
// turned parts and plates back as STL and 3MF.
//
// A file is one part: the solids of an STL file, the build items of a 3MF file
// and the objects of an OBJ file are merged into one list of triangles, and a
// Note says how many there were. 3MF states its unit and comes out in
// millimetres; STL and OBJ have no unit and come out as they are, for the
// caller to judge. Corners run counter-clockwise seen from outside, as in
// package mesh; a mirrored 3MF transform has its winding turned back.
//
// Read works on bytes and Open adds the file. Damage that leaves the shape
// whole is a Note; everything else is an *Error around one of the sentinels,
// with the place and what to do about it. Nothing is allocated on the word of
// a header alone, and Limits bound what one file may take.
//
// The package mends nothing: flipped facets, holes and facets without area are
// passed on for mesh to report. Colours, textures and materials are left out.
//
// Called by worker, worker/joblist and worker/report. Functions are safe for
// concurrent use.
//
// Sources: ISO/IEC 25422 (3MF core specification); ISO/IEC 29500-2 (package
// conventions). STL and Wavefront OBJ have no standard: common practice.
package partfile
