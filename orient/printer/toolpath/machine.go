package toolpath

import "math"

// Kind is what a move is for.
type Kind uint8

// The kinds of move.
const (
	Wall Kind = iota
	Skin
	Infill
	Support
	Travel
)

// NumKinds is the number of kinds.
const NumKinds = 5

// Machine is what the estimate needs to know of a printer and its filament.
type Machine struct {
	LineWidth, Layer, FirstLayer float64 // mm
	Walls, Skins                 int
	Infill, SupportDensity       float64 // shares, 0 to 1

	Speed              [NumKinds]float64 // mm/s
	FirstLayerSpeed    float64           // mm/s, of what is printed in the first layer
	FlowLimit          float64           // mm³/s
	Acceleration       float64           // mm/s², of moves that print
	TravelAcceleration float64           // mm/s²
	CornerSpeed        float64           // mm/s through a right angle
	LayerChange        float64           // s
	LeastLayerTime     float64           // s
	Overhang           float64           // limit from the vertical, radians
}

// layer is one layer of a machine.
type layer struct {
	*Machine
	number         int
	bottom, height float64
}

func (m *Machine) layer(k int) layer {
	if k == 0 {
		return layer{m, 0, 0, m.FirstLayer}
	}
	return layer{m, k, m.FirstLayer + float64(k-1)*m.Layer, m.Layer}
}

func (l layer) middle() float64 { return l.bottom + l.height/2 }

// layers counts the layers of a part, the last one begun included.
func (m *Machine) layers(height float64) int {
	const slack = 1e-4 // of a layer: coordinates are rounded
	return 1 + max(0, int(math.Ceil((height-m.FirstLayer)/m.Layer-slack)))
}

// bead returns the cross-section of a line. Unit: mm².
func (l layer) bead() float64 {
	return (l.LineWidth-l.height)*l.height + math.Pi*l.height*l.height/4
}

// spacing is the distance of lines that fill the space between them.
func (l layer) spacing() float64 { return l.bead() / l.height }

// inset returns how far inside the outline wall i, from 0, has its centre.
func (l layer) inset(i int) float64 { return l.LineWidth/2 + float64(i)*l.spacing() }

// inside returns how far inside the outline skin and infill lines end, so that
// the links between them fit beside the last wall.
func (l layer) inside() float64 { return l.inset(l.Walls) }

// speed returns the speed a move of some kind is made at where there is room.
func (l layer) speed(k Kind) float64 {
	v := l.Speed[k]
	if k == Travel {
		return v
	}
	if l.number == 0 {
		v = min(v, l.FirstLayerSpeed)
	}
	return min(v, l.FlowLimit/l.bead())
}

func (l layer) acceleration(k Kind) float64 {
	if k == Travel {
		return l.TravelAcceleration
	}
	return l.Acceleration
}

// turn is the direction of a layer's lines, ±45° by turns.
func (l layer) turn() float64 {
	if l.number%2 == 1 {
		return -math.Pi / 4
	}
	return math.Pi / 4
}
