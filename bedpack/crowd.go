package bedpack

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// member is a part of a crowd.
type member struct {
	form  *form
	spins []*stance // that it may have, with places in the book; nil: any
	size  float64   // what its overlaps count, beside their depths
}

// newMember makes a member; overlaps of large parts count more, since small
// ones find another place more easily.
func newMember(f *form, spins []*stance) member {
	return member{f, spins, math.Sqrt(math.Sqrt(f.area))}
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

// room is what the members have to stay in: an oblong from the origin or,
// when radius is not 0, the disc within it.
type room struct {
	width, depth, radius float64
}

// crowd is a set of parts in a room that may overlap for the time being. The
// first movers members move, the others are there to stay.
type crowd struct {
	room
	gap     float64
	members []member
	movers  int
	seats   []seat
	loss    []float64 // by pair i·len(members)+j: depth times sizes; i = j: the wall
	weight  []float64 // by pair
	sums    [][]sum   // by pair of stances of the book; nil: too many to keep
	book    int       // stances in it
	lanes   *lanes
	rnd     *rand.Rand
	spare   [2]stance // for parts that turn freely
}

// span returns the least and largest shift at which a stance is in the
// oblong; ok is false when there is none.
func (r *room) span(s *stance) (lo, hi r2.Vec, ok bool) {
	lo = r2.Vec{X: -s.box.Min.X, Y: -s.box.Min.Y}
	hi = r2.Vec{X: r.width - s.box.Max.X, Y: r.depth - s.box.Max.Y}
	slack := roundOff * (r.width + r.depth)
	if r.radius > 0 {
		slack = r.radius
	}
	if hi.X < lo.X-slack || hi.Y < lo.Y-slack {
		return lo, hi, false
	}
	hi.X, hi.Y = max(lo.X, hi.X), max(lo.Y, hi.Y)
	return lo, hi, true
}

// outside returns how far a stance reaches out of the disc.
func (r *room) outside(s *stance, x, y float64) float64 {
	if r.radius == 0 {
		return 0
	}
	most := 0.0
	x, y = x-r.radius, y-r.radius
	for i := range s.lobes {
		for _, p := range s.lobes[i].corners {
			most = max(most, (p.X+x)*(p.X+x)+(p.Y+y)*(p.Y+y))
		}
	}
	return max(0, math.Sqrt(most)-r.radius)
}

// newCrowd makes a crowd of members that have no seats yet.
func newCrowd(r room, gap float64, members []member, movers int, sums [][]sum, rnd *rand.Rand) *crowd {
	n := len(members)
	c := &crowd{room: r, gap: gap, members: members, movers: movers, sums: sums, lanes: newLanes(n), rnd: rnd}
	c.book = int(math.Round(math.Sqrt(float64(len(sums)))))
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

// pair returns the depth of two stances.
func (c *crowd) pair(a, b *stance, dx, dy float64) float64 {
	if a.index >= 0 && b.index >= 0 {
		if sums := c.sums[a.index*c.book+b.index]; sums != nil {
			return sumDepth(sums, dx, dy)
		}
	}
	return depth(a, b, dx, dy, c.gap)
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
			if d := c.pair(s, o.stance, o.x-x, o.y-y); d > 0 {
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
			d = c.pair(s.stance, o.stance, o.x-s.x, o.y-s.y)
		}
		d *= size * c.members[j].size
		c.loss[i*n+j], c.loss[j*n+i] = d, d
	}
}

// settleAll brings all losses in step with the seats.
func (c *crowd) settleAll() {
	c.lanes.resize(c.width, c.depth)
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
	lo, hi, _ := c.span(s.stance)
	s.x, s.y = min(max(b.x, lo.X), hi.X), min(max(b.y, lo.Y), hi.Y)
}

// restore puts the movers back where they were.
func (c *crowd) restore(from []berth) {
	for i, b := range from {
		c.seat(i, b)
	}
	c.settleAll()
}
