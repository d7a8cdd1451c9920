package bedpack

// patience is how long a crowd is kept separating.
type patience struct {
	rounds  int // without progress before the best so far is taken up again
	strikes int // such times in a row without progress
}

// progress is what the loss has to fall to, relative, to count as progress.
const progress = 0.98

// separate moves the parts until none overlaps, and reports whether that was
// reached. If not, the seats are those of the least loss met.
//
// Source: guided local search on overlaps: J. Egeblad, B. K. Nielsen and A.
// Odgaard, "Fast neighborhood search for two- and three-dimensional nesting
// problems", EJOR 183, 2007; S. Umetani et al., "Solving the irregular strip
// packing problem via guided local search for overlap minimization", ITOR 16,
// 2009; J. Gardeyn, G. Vanden Berghe and T. Wauters, arXiv 2509.13329, 2025.
// All from memory.
func (c *crowd) separate(p patience, stop func() bool) bool {
	least := c.total()
	best := c.berths(nil)
	for strikes := 0; strikes < p.strikes && least > 0; strikes++ {
		before := least
		for idle := 0; idle < p.rounds; idle++ {
			c.moveAll()
			t := c.total()
			if t < least {
				if t < progress*least {
					idle = -1
				}
				least, best = t, c.berths(best)
				if t == 0 {
					return true
				}
			}
			if stop() {
				c.restore(best)
				return false
			}
			c.reweigh()
		}
		c.restore(best)
		if least < progress*before {
			strikes = -1
		}
	}
	return least == 0
}

// moveAll tries to better the seat of each mover that overlaps, in random
// order.
func (c *crowd) moveAll() {
	var order []int
	for i := range c.movers {
		if _, plain := c.own(i); plain > 0 {
			order = append(order, i)
		}
	}
	c.rnd.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
	for _, i := range order {
		if _, plain := c.own(i); plain > 0 {
			c.improve(i)
		}
	}
}
