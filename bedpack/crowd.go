package bedpack

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// member is a part of a crowd.
type member struct {
	form   *form
	spins  []*stance     // that it may have, with places in the book; nil: any
	likely []plane.Angle // of any spins those that are worth a look
	size   float64       // what its overlaps count, beside their depths
}

// newMember makes a member; overlaps of large parts count more, since small
// ones find another place more easily.
func newMember(f *form, spins []*stance) member {
	return member{form: f, spins: spins, size: math.Sqrt(math.Sqrt(f.area))}
}

// seat is where a member is. Its box is in place.
type seat struct {
	stance *stance
	x, y   float64
	box    r2.Box
}

func (s *seat) place() {
	s.box = r2.Box{
		Min: r2.Vec{X: s.stance.box.Min.X + s.x, Y: s.stance.box.Min.Y + s.y},
		Max: r2.Vec{X: s.stance.box.Max.X + s.x, Y: s.stance.box.Max.Y + s.y},
	}
}

// crowd is a set of parts in a room that may overlap for the time being. The
// first movers members move, the others are there to stay.
type crowd struct {
	room
	quota
	gap     float64 // between movers
	wallGap float64 // between a mover and one that stays
	members []member
	movers  int
	seats   []seat
	loss    []float64 // by pair i·len(members)+j: depth times sizes; i = j: the wall
	weight  []float64 // by pair
	sums    [][]sum   // by pair of stances of the book; nil until asked for
	book    int       // stances in it
	kept    int       // sums kept
	lanes   *lanes
	rnd     *rand.Rand
	spare   [2]stance // for parts that turn freely
}

// newCrowd makes a crowd of members that have no seats yet.
func newCrowd(r room, gap float64, members []member, movers int, b *book, rnd *rand.Rand) *crowd {
	n := len(members)
	c := &crowd{room: r, gap: gap, wallGap: gap, members: members, movers: movers, lanes: newLanes(n), rnd: rnd}
	c.book = len(b.all)
	c.sums = make([][]sum, c.book*c.book)
	c.seats = make([]seat, n)
	c.loss, c.weight = make([]float64, n*n), make([]float64, n*n)
	c.forget()
	for i, m := range members {
		if m.spins == nil {
			c.seats[i].stance = m.form.turned(0)
		}
	}
	return c
}

// forget makes all pairs count alike.
func (c *crowd) forget() {
	for k := range c.weight {
		c.weight[k] = 1
	}
}

// mostSums is for how many pairs of lobes of two stances the sums are kept,
// and allSums for how many of all: 200 MB.
const (
	mostSums = 400
	allSums  = 200_000
)

// pair returns the depth of a mover in stance a and member j in stance b.
func (c *crowd) pair(a, b *stance, j int, dx, dy float64) float64 {
	if j >= c.movers {
		return depth(a, b, dx, dy, c.wallGap)
	}
	if a.index < 0 || b.index < 0 {
		return depth(a, b, dx, dy, c.gap)
	}
	sums := &c.sums[a.index*c.book+b.index]
	if *sums == nil {
		n := len(a.lobes) * len(b.lobes)
		if n > mostSums || c.kept+n > allSums {
			return depth(a, b, dx, dy, c.gap)
		}
		c.kept += n
		*sums = newSums(a, b, c.gap)
	}
	return sumDepth(*sums, dx, dy)
}

// weigh returns the weighted loss of member i if it were at (x, y) in a
// stance; at or above bound it may return any value not below bound.
func (c *crowd) weigh(i int, s *stance, x, y, bound float64) float64 {
	n := len(c.members)
	x0, y0, x1, y1 := s.box.Min.X+x-c.gap, s.box.Min.Y+y-c.gap, s.box.Max.X+x+c.gap, s.box.Max.Y+y+c.gap
	size := c.members[i].size
	weights := c.weight[i*n : (i+1)*n]
	total := 0.0
	if c.radius > 0 {
		total = c.outside(s, x, y) * size * size * weights[i]
	}
	near := c.lanes.near(r2.Box{Min: r2.Vec{X: x0, Y: y0}, Max: r2.Vec{X: x1, Y: y1}})
	for w := range near {
		for near[w] != 0 {
			j := take(near, w)
			o := &c.seats[j]
			if o.box.Min.X >= x1 || o.box.Max.X <= x0 || o.box.Min.Y >= y1 || o.box.Max.Y <= y0 || j == i {
				continue
			}
			if d := c.pair(s, o.stance, j, o.x-x, o.y-y); d > 0 {
				if total += d * size * c.members[j].size * weights[j]; total >= bound {
					return total
				}
			}
		}
	}
	return total
}

// settle brings the losses of a mover in step with its seat.
func (c *crowd) settle(i int) {
	n := len(c.members)
	s := &c.seats[i]
	s.place()
	c.lanes.set(i, s.box)
	size := c.members[i].size
	for j := range c.seats {
		o, d := &c.seats[j], 0.0
		switch {
		case j == i:
			d = c.outside(s.stance, s.x, s.y)
		case o.box.Min.X < s.box.Max.X+c.gap && o.box.Max.X > s.box.Min.X-c.gap && o.box.Min.Y < s.box.Max.Y+c.gap && o.box.Max.Y > s.box.Min.Y-c.gap:
			d = c.pair(s.stance, o.stance, j, o.x-s.x, o.y-s.y)
		}
		d *= size * c.members[j].size
		c.loss[i*n+j], c.loss[j*n+i] = d, d
	}
}

// settleAll brings all losses in step with the seats.
func (c *crowd) settleAll() {
	c.lanes.resize(float64(c.bays-1)*c.pitch+c.width, c.depth)
	for i := range c.seats {
		c.seats[i].place()
		c.lanes.set(i, c.seats[i].box)
	}
	for i := range c.movers {
		c.settle(i)
	}
}

// total returns the sum of the losses of all pairs, unweighted.
func (c *crowd) total() float64 {
	n, sum := len(c.members), 0.0
	for i := range c.movers {
		for _, d := range c.loss[i*n+i : (i+1)*n] {
			sum += d
		}
	}
	return sum
}

// own returns the weighted and the plain loss of a member.
func (c *crowd) own(i int) (weighted, plain float64) {
	n := len(c.members)
	for j, d := range c.loss[i*n : (i+1)*n] {
		if d > 0 {
			weighted += d * c.weight[i*n+j]
			plain += d
		}
	}
	return weighted, plain
}

// How weights change after each round over the parts: those of pairs in
// collision grow by up to heavier, the deepest the most, those of others
// fade. Values as in Gardeyn et al. 2025, from memory.
const (
	heavierLeast, heavierMost = 1.2, 2.0
	fade                      = 0.95
)

// reweigh makes pairs that still collide count more.
func (c *crowd) reweigh() {
	n, most := len(c.members), 0.0
	for i := range c.movers {
		for _, d := range c.loss[i*n+i : (i+1)*n] {
			most = max(most, d)
		}
	}
	for i := range c.movers {
		for j := i; j < n; j++ {
			w := c.weight[i*n+j]
			if d := c.loss[i*n+j]; d > 0 {
				w *= heavierLeast + (heavierMost-heavierLeast)*d/most
			} else {
				w = max(1, w*fade)
			}
			c.weight[i*n+j], c.weight[j*n+i] = w, w
		}
	}
}

// berth is a seat written down.
type berth struct {
	stance *stance // nil when the part turns freely
	spin   plane.Angle
	x, y   float64
}

// berths writes down the seats of the movers.
func (c *crowd) berths(out []berth) []berth {
	out = out[:0]
	for i := range c.movers {
		s := &c.seats[i]
		b := berth{nil, s.stance.spin, s.x, s.y}
		if c.members[i].spins != nil {
			b.stance = s.stance
		}
		out = append(out, b)
	}
	return out
}

// seat puts a mover somewhere, kept in the room as far as it goes.
func (c *crowd) seat(i int, b berth) {
	s := &c.seats[i]
	if b.stance != nil {
		s.stance = b.stance
	} else if s.stance.spin != b.spin {
		c.members[i].form.turnInto(s.stance, b.spin)
	}
	bay := c.bayOf(s.stance, b.x)
	c.move(i, bay)
	lo, hi, _ := c.span(s.stance, bay)
	s.x, s.y = min(max(b.x, lo.X), hi.X), min(max(b.y, lo.Y), hi.Y)
}

// restore puts the movers back where they were.
func (c *crowd) restore(from []berth) {
	for i, b := range from {
		c.seat(i, b)
	}
	c.settleAll()
}
