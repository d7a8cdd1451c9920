package support_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// northShows gives the facets above the plane z = level to Show, those below
// to Hidden.
func northShows(m *mesh.Mesh, level float64) []support.Role {
	out := make([]support.Role, m.NumFaces())
	for i := range out {
		a, b, c := m.Corners(mesh.FaceID(i))
		if a.Z+b.Z+c.Z < 3*level {
			out[i] = support.Hidden
		}
	}
	return out
}

func TestThinned(t *testing.T) {
	ball, shell, ring := solid.Sphere(40, 90), solid.HemisphericalShell(125, 121, 60), solid.Torus(40, 12, 400, 120)
	tests := []struct {
		name      string
		body      support.Body
		facets    int
		deviation float64
		most      int // facets left
	}{
		{"ball, the quick way first", support.NewBody(ball, nil), 1500, 0.2, 1500},
		{"shell, slowly", support.NewBody(shell, nil), 8000, 0.2, 8000},
		{"ring to a deviation", support.NewBody(ring, nil), 4, 0.2, 6000},
		{"ball of two roles", support.NewBody(ball, northShows(ball, 40)), 1500, 0.2, 1500},
		{"no deviation", support.NewBody(ball, nil), 300, 0, 300},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			thin := tt.body.Thinned(tt.facets, tt.deviation)
			if n := thin.Mesh.NumFaces(); n > tt.most || n < tt.facets-1 {
				t.Errorf("%d facets, want at most %d and at least %d", n, tt.most, tt.facets)
			}
			if !mesh.NewTopology(thin.Mesh).IsClosed() || !thin.Closed || thin.Shells != tt.body.Shells {
				t.Errorf("closed %v, shells %d", thin.Closed, thin.Shells)
			}
			if tt.deviation > 0 {
				if off := farthestCorner(tt.body.Mesh, thin.Mesh); off > tt.deviation {
					t.Errorf("a corner is %.3f mm off, want %.3f at most", off, tt.deviation)
				}
			}
			before, after := areasByRole(tt.body), areasByRole(thin)
			for role := range before {
				// 300 facets of one size round a ball are 1.2 % short of it.
				near(t, support.Role(role).String(), after[role], before[role], 0.012*before[role])
			}
		})
	}
	if same := support.NewBody(ball, nil).Thinned(ball.NumFaces(), 1); same.Mesh != ball {
		t.Error("a body that has no more facets than wanted is another")
	}
}

func areasByRole(b support.Body) (out support.ByRole) {
	for i := range b.Mesh.NumFaces() {
		role := support.Show
		if b.Roles != nil {
			role = b.Roles[i]
		}
		out[role] += b.Mesh.FaceArea(mesh.FaceID(i))
	}
	return out
}

// Where roles meet on a ball the border keeps its level.
func TestThinnedKeepsBordersOfRoles(t *testing.T) {
	ball := solid.Sphere(40, 90)
	b := support.NewBody(ball, northShows(ball, 40)).Thinned(1500, 0.2)
	roles := map[mesh.VertexID]map[support.Role]bool{}
	for i, f := range b.Mesh.Faces() {
		for _, v := range f {
			if roles[v] == nil {
				roles[v] = map[support.Role]bool{}
			}
			roles[v][b.Roles[i]] = true
		}
	}
	level, n := math.NaN(), 0
	for v, r := range roles {
		if len(r) == 2 {
			z := b.Mesh.Vertex(v).Z
			if n++; n == 1 {
				level = z
			}
			near(t, "height of the border", z, level, 1e-9)
		}
	}
	if n < 10 {
		t.Errorf("%d corners on the border, want 10 at least", n)
	}
}

// farthestCorner is the greatest distance from every 37th corner of a mesh to
// another, by trying every facet.
func farthestCorner(from, to *mesh.Mesh) float64 {
	worst := 0.0
	for v := 0; v < from.NumVertices(); v += 37 {
		best := math.Inf(1)
		for _, c := range to.Triangles() {
			best = min(best, distance(from.Vertex(mesh.VertexID(v)), c))
		}
		worst = max(worst, best)
	}
	return worst
}

// distance is from a point to a triangle: to its plane where the foot is
// inside, else to the nearest side.
func distance(p r3.Vec, c mesh.Triangle) float64 {
	n := r3.Unit(r3.Cross(r3.Sub(c[1], c[0]), r3.Sub(c[2], c[0])))
	inside, best := true, math.Inf(1)
	for k := range c {
		a, side := c[k], r3.Sub(c[(k+1)%3], c[k])
		inside = inside && r3.Dot(r3.Cross(side, r3.Sub(p, a)), n) >= 0
		at := min(1, max(0, r3.Dot(r3.Sub(p, a), side)/r3.Norm2(side)))
		best = min(best, r3.Norm(r3.Sub(p, r3.Add(a, r3.Scale(at, side)))))
	}
	if inside {
		return math.Abs(r3.Dot(r3.Sub(p, c[0]), n))
	}
	return best
}
