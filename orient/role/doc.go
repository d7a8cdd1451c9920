// Package role works out what each facet of a build is for on the finished
// prop: shown, a joint with another part, or hidden.
//
// Parts that were cut from one model keep its coordinates, so the folder itself
// tells. Three measures decide. Cover: the share of a facet that another part's
// facets, facing it, cover within a clearance; it makes joints. Openness: the
// share of the light from all around that reaches a facet with all parts in
// the way, 1 on a hilltop and 0 in a closed box. Walls: the facet on the other
// side of a wall and its openness; of two skins of a shell the much darker one
// is the inside. Parts that do not lie as they fit are told apart from the
// others and judged each by itself, see Classify.
//
// Lengths are millimetres, areas mm², in the one frame that all parts share;
// which way that frame is turned does not matter.
//
// Called by worker, once for a build, before orientations are searched. The
// package is pure. It does not move parts to where they might fit, repairs no
// mesh, and knows nothing of printing.
package role
