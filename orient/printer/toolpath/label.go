package toolpath

// label numbers the pieces of a mask that hang together by edges, from 1; 0
// is outside.
func (r raster) label(in mask) []int32 {
	label := make([]int32, len(in))
	count := int32(0)
	var open []int
	for i := range in {
		if !in[i] || label[i] != 0 {
			continue
		}
		count++
		label[i] = count
		open = append(open[:0], i)
		for len(open) > 0 {
			at := open[len(open)-1]
			open = open[:len(open)-1]
			for _, to := range [4]int{at - 1, at + 1, at - r.nx, at + r.nx} {
				if to >= 0 && to < len(in) && in[to] && label[to] == 0 {
					label[to] = count
					open = append(open, to)
				}
			}
		}
	}
	return label
}
