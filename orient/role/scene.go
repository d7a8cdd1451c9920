package role

import "slices"

// scene is parts that light falls on together.
type scene struct {
	members []int // ascending
	// bystanders are parts that meet no other and are in the way of light all
	// the same, as they are in nobody's way. Ascending.
	bystanders []int
}

// alone reports whether the scene is one part that meets no other.
func (s scene) alone() bool { return len(s.members) == 1 }

// scenesOf sets n parts into scenes. Parts that meet are in one scene, with all
// that meet these; so are such groups as are not in each other's way, by which
// most builds are one scene. A part that meets no other has a scene to itself.
// Odd ones are nobody's bystanders: at another scale they would be in all light.
func scenesOf(n int, meetings []Meeting, clashes [][2]int, odd []Odd) []scene {
	var together, alone []scene
	for _, g := range groupsOf(n, meetings) {
		if len(g) == 1 {
			alone = append(alone, scene{members: g})
			continue
		}
		k := slices.IndexFunc(together, func(s scene) bool { return !clash(clashes, s.members, g) })
		if k < 0 {
			together = append(together, scene{members: g})
		} else {
			together[k].members = append(together[k].members, g...)
		}
	}
	for k := range together {
		s := &together[k]
		slices.Sort(s.members)
		for _, a := range alone {
			isOdd := slices.ContainsFunc(odd, func(o Odd) bool { return o.Part == a.members[0] })
			if !isOdd && !clash(clashes, s.members, a.members) {
				s.bystanders = append(s.bystanders, a.members...)
			}
		}
	}
	return append(together, alone...)
}

// groupsOf sorts n parts into groups that hang together by their meetings, in
// the order of their first members.
func groupsOf(n int, meetings []Meeting) [][]int {
	first := make([]int, n) // the lowest part known to be in a part's group
	for i := range first {
		first[i] = i
	}
	for range n { // the longest chain is no longer
		for _, m := range meetings {
			low := min(first[m.A], first[m.B])
			first[m.A], first[m.B] = low, low
		}
	}
	members := make([][]int, n)
	for i, f := range first {
		members[f] = append(members[f], i)
	}
	return slices.DeleteFunc(members, func(g []int) bool { return len(g) == 0 })
}

// clash reports whether a part of one list clashes with one of the other.
func clash(clashes [][2]int, a, b []int) bool {
	return slices.ContainsFunc(clashes, func(c [2]int) bool {
		return (slices.Contains(a, c[0]) && slices.Contains(b, c[1])) ||
			(slices.Contains(a, c[1]) && slices.Contains(b, c[0]))
	})
}
