package mesh

// collapse is an edge waiting to be collapsed. The stamps tell whether its two
// corners are still as they were when it was priced.
type collapse struct {
	cost           float64
	a, b           VertexID // a < b
	stampA, stampB uint32
}

// before orders by cost, then by corners, so that the order is total.
func (e collapse) before(o collapse) bool {
	if e.cost != o.cost {
		return e.cost < o.cost
	}
	if e.a != o.a {
		return e.a < o.a
	}
	return e.b < o.b
}

// collapseQueue is a heap with four children a node: half as deep as a binary
// one, and the children lie side by side in memory.
type collapseQueue []collapse

func (q *collapseQueue) push(e collapse) {
	*q = append(*q, e)
	h := *q
	i := len(h) - 1
	for i > 0 {
		parent := (i - 1) / 4
		if !e.before(h[parent]) {
			break
		}
		h[i] = h[parent]
		i = parent
	}
	h[i] = e
}

func (q *collapseQueue) pop() collapse {
	h := *q
	top, last := h[0], h[len(h)-1]
	h = h[:len(h)-1]
	*q = h
	if len(h) > 0 {
		h.sink(last)
	}
	return top
}

// sink puts e where the first entry was.
func (q collapseQueue) sink(e collapse) {
	i := 0
	for {
		child := 4*i + 1
		if child >= len(q) {
			break
		}
		for c := child + 1; c < min(4*i+5, len(q)); c++ {
			if q[c].before(q[child]) {
				child = c
			}
		}
		if !q[child].before(e) {
			break
		}
		q[i] = q[child]
		i = child
	}
	q[i] = e
}
