package support

import (
	"math"

	"platewright/support/mesh"
)

// addSlopes spreads the shadow of each facet over the layers, from middle to
// middle.
func addSlopes(m *mesh.Mesh, middles []float64, out []LayerWork) {
	find := newRungs(middles)
	for i, n := range m.Normals() {
		shadow := math.Abs(n.Z) * m.FaceArea(mesh.FaceID(i))
		if shadow == 0 {
			continue
		}
		class := slopeClass(math.Abs(n.Z) / math.Hypot(n.X, n.Y))
		a, b, c := m.Corners(mesh.FaceID(i))
		z := sorted3(a.Z, b.Z, c.Z)
		done := 0.0
		for k := find.first(z[0]); done < 1; k++ {
			share := 1.0
			if k < len(middles) {
				share = shareBelow(z, middles[k])
			}
			if n.Z < 0 {
				out[min(k, len(out)-1)].DownBy[class] += shadow * (share - done)
			} else {
				out[max(k-1, 0)].UpBy[class] += shadow * (share - done)
			}
			done = share
		}
	}
}
