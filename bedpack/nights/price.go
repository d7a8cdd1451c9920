package nights

// prices is the bound by prices and fees. Let every plate have a price, to be
// had once by whoever prints it, and every minute of the person a fee. A
// printer that had copies of each plate to print as often as it liked, and
// paid the fees of its changes, could have earned so much by a time and no
// more. In a plan that ends by then the printers earn, together, the sum of
// the prices, and pay no minute's fee twice, for the person is at one change
// at a time. So if all that they could have earned, and all fees up to then,
// are less than the sum of the prices, no plan ends by then: whatever the
// prices and fees.
//
// Good prices are found by raising those of plates that no printer chooses
// and lowering those that several do; likewise the fees of minutes that
// several changes want. It is Lagrange's relaxation of "each plate once" and
// "one change at a time", climbed by subgradients. With the shortest print
// and a change of each plate as its price, and no fees, it says that the work
// has to fit into the hours in which printers can be changed or run.
//
// Times are rounded down to a grid, so the bound is never too late: a change
// that begins after another ends by w steps or more of the grid still does
// when both are rounded down. Pinned starts and swaps are left out, which
// only makes it earlier.
type prices struct {
	m      *model
	grid   instant
	steps  int // of the grid, up to the horizon
	width  int // whole steps of a change: those it pays for
	price  []int64
	fee    []int64 // by step
	paid   []int64 // by step: fees of all steps before
	toll   []int64 // by step: fee of a change that begins there
	earner []earner
	use    []int // by task: how often it is chosen
	busy   []int // by step: how many changes are there
}

// earner is one printer.
type earner struct {
	machine int
	first   int     // step at which it is ready
	best    []int64 // by step: most earned by then
	choice  []int32 // by step: task that ends there, -1 for none
	back    []int32 // by step: where that one began
	at      []int   // by task: the slot reached
	net     []int64 // by task: most earned, fee paid, when it was last begun
}

// poor is less than anything that is earned.
const poor = int64(-1) << 60

func newPrices(m *model, horizon, grid instant) *prices {
	b := &prices{m: m, grid: grid, steps: int((horizon - m.from) / grid), width: int(m.change / grid)}
	n := b.steps + b.width + 1
	b.fee, b.paid, b.toll, b.busy = make([]int64, n), make([]int64, n+1), make([]int64, n), make([]int, n)
	b.use = make([]int, len(m.tasks))
	for j := range m.tasks {
		for k := range m.machines {
			if m.fits(j, k) {
				m.slots[j][k][0].next(horizon) // so that all slots before are known
			}
		}
		b.price = append(b.price, 1000*int64(m.change+m.tasks[j].shortest()))
	}
	for k, a := range m.machines {
		if a.ready >= horizon {
			continue
		}
		b.earner = append(b.earner, earner{machine: k, first: int((a.ready - m.from) / grid),
			best: make([]int64, b.steps+1), choice: make([]int32, b.steps+1), back: make([]int32, b.steps+1),
			at: make([]int, len(m.tasks)), net: make([]int64, len(m.tasks))})
	}
	return b
}

// earn works out the most that a printer can have earned by each step. What
// is ready earlier with as much is better, so only beginnings that are worth
// more than all before them are followed.
func (b *prices) earn(e *earner) {
	for t := range e.best {
		e.best[t], e.choice[t] = poor, -1
	}
	e.best[e.first] = 0
	for j := range e.at {
		e.at[j], e.net[j] = 0, poor
	}
	for t := e.first; t <= b.steps; t++ {
		if t > e.first && e.best[t-1] >= e.best[t] {
			e.best[t], e.choice[t] = e.best[t-1], -1
		}
		net := e.best[t] - b.toll[t]
		for j := range b.m.tasks {
			if net > e.net[j] && b.begin(e, j, t, net) {
				e.net[j] = net
			}
		}
	}
}

// begin notes what a task that begins at a step earns; it reports false when
// it cannot begin there.
func (b *prices) begin(e *earner, j, t int, net int64) bool {
	m := b.m
	if !m.fits(j, e.machine) {
		e.net[j] = -poor
		return false
	}
	step := m.from + instant(t)*b.grid
	early := max(step, m.tasks[j].earliest-m.change)
	if early >= step+b.grid {
		return false
	}
	spans := m.slots[j][e.machine][0].spans
	for e.at[j] < len(spans) && spans[e.at[j]].to < early {
		e.at[j]++
	}
	if e.at[j] == len(spans) {
		e.net[j] = -poor
		return false
	}
	change := max(early, spans[e.at[j]].from)
	if change >= step+b.grid {
		return false
	}
	end := int((change + m.change + m.tasks[j].print[e.machine] - m.from) / b.grid)
	if end > b.steps {
		e.net[j] = -poor
		return false
	}
	if v := net + b.price[j]; v > e.best[end] {
		e.best[end], e.choice[end], e.back[end] = v, int32(j), int32(t)
	}
	return true
}

// least returns the first step by which enough can be earned, and how far it
// falls short at another step.
func (b *prices) least() int {
	sum := b.sum()
	for t := range b.steps + 1 {
		if b.earned(t) >= sum {
			return t
		}
	}
	return b.steps + 1
}

func (b *prices) sum() int64 {
	var sum int64
	for _, p := range b.price {
		sum += p
	}
	return sum
}

// earned returns the most that all printers can have earned by a step, and
// all fees up to it.
func (b *prices) earned(t int) int64 {
	sum := b.paid[t]
	for _, e := range b.earner {
		sum += max(0, e.best[t])
	}
	return sum
}

// levy sums up the fees.
func (b *prices) levy() {
	for t, f := range b.fee {
		b.paid[t+1] = b.paid[t] + f
	}
	for t := range b.toll {
		b.toll[t] = b.paid[min(t+b.width, len(b.fee))] - b.paid[t]
	}
}

// count notes which tasks and steps of the person the printers choose by a
// step.
func (b *prices) count(until int) {
	clear(b.use)
	clear(b.busy)
	for i := range b.earner {
		e := &b.earner[i]
		for t := until; t > e.first; {
			if e.choice[t] < 0 {
				t--
				continue
			}
			b.use[e.choice[t]]++
			t = int(e.back[t])
			for w := range b.width {
				b.busy[t+w]++
			}
		}
	}
}

// climb betters prices and fees for some rounds, or until the bound reaches
// the horizon, and returns the bound.
//
// Step lengths: a fiftieth of the sum of the prices over the square of the
// subgradient, less by three tenths whenever nine rounds bring nothing; with
// those the bound of the measured shops settles within about 300 rounds.
func (b *prices) climb(rounds int) instant {
	best, dual, idle, stride := 0, int64(poor), 0, int64(1000)
	price, fee := append([]int64(nil), b.price...), append([]int64(nil), b.fee...)
	for range rounds {
		b.levy()
		for i := range b.earner {
			b.earn(&b.earner[i])
		}
		if t := b.least(); t > best {
			best, dual, idle = t, poor, 0
		}
		if best > b.steps {
			break
		}
		if d := b.sum() - b.earned(best); d > dual {
			dual, idle = d, 0
			copy(price, b.price)
			copy(fee, b.fee)
		} else if idle++; idle > 8 {
			idle, stride = 0, stride*7/10
			copy(b.price, price)
			copy(b.fee, fee)
			continue
		}
		b.count(best)
		if !b.move(best, stride) {
			break
		}
	}
	return b.m.from + instant(best)*b.grid
}

// move changes prices and fees against what is chosen; false when all is
// chosen once, or the step has become nothing.
func (b *prices) move(until int, stride int64) bool {
	square := int64(0)
	for _, u := range b.use {
		square += int64((1 - u) * (1 - u))
	}
	for t, u := range b.busy[:until] {
		if u > 1 || b.fee[t] > 0 {
			square += int64((1 - u) * (1 - u))
		}
	}
	if square == 0 {
		return false
	}
	step := b.sum() / 50 * stride / 1000 / square
	for j, u := range b.use {
		b.price[j] = max(0, b.price[j]+step*int64(1-u))
	}
	for t, u := range b.busy[:until] {
		b.fee[t] = max(0, b.fee[t]+step*int64(u-1))
	}
	return step > 0
}

// refine carries prices and fees over to a finer grid.
func (b *prices) refine(horizon, grid instant) *prices {
	f := newPrices(b.m, horizon, grid)
	copy(f.price, b.price)
	if f.width > 0 {
		for t := range f.fee {
			if o := int(instant(t) * grid / b.grid); o < len(b.fee) {
				f.fee[t] = b.fee[o] * int64(b.width) / int64(f.width)
			}
		}
	}
	return f
}
