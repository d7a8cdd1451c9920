package bedpack

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// upset swaps two parts that are among the largest or, when those are all
// alike, puts one of them anywhere.
func (c *crowd) upset() {
	var large []int
	for i := range c.movers {
		large = append(large, i)
	}
	slices.SortStableFunc(large, func(i, j int) int {
		return cmp.Compare(c.members[j].form.area, c.members[i].form.area)
	})
	all, sum, k := 0.0, 0.0, 0
	for _, m := range c.members {
		all += m.form.area
	}
	for ; k < len(large) && sum < 0.75*all; k++ {
		sum += c.members[large[k]].form.area
	}
	large = large[:k]
	i := large[c.rnd.IntN(len(large))]
	var others []int
	for _, j := range large {
		if c.members[j].form != c.members[i].form && c.swappable(i, j) {
			others = append(others, j)
		}
	}
	if len(others) == 0 {
		at := c.berthOf(i)
		at.x, at.y = c.rnd.Float64()*(float64(c.bays-1)*c.pitch+c.width), c.rnd.Float64()*c.depth
		if c.admits(i, c.bayOf(c.seats[i].stance, at.x)) {
			c.seat(i, at)
			c.settleAll()
		}
		return
	}
	c.swap(i, others[c.rnd.IntN(len(others))])
}

// swap puts each of two parts where the middle of the other was.
func (c *crowd) swap(i, j int) {
	a, b := c.berthOf(i), c.berthOf(j)
	to := r2.Sub(c.seats[j].box.Center(), c.seats[i].box.Center())
	a.x, a.y, b.x, b.y = a.x+to.X, a.y+to.Y, b.x-to.X, b.y-to.Y
	c.seat(i, a)
	c.seat(j, b)
	c.settleAll()
}
