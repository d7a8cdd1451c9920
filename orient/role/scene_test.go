package role

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestScenesOf(t *testing.T) {
	meet := func(pairs ...[2]int) (out []Meeting) {
		for _, p := range pairs {
			out = append(out, Meeting{A: p[0], B: p[1]})
		}
		return out
	}
	tests := []struct {
		name     string
		n        int
		meetings []Meeting
		clashes  [][2]int
		odd      []Odd
		want     []scene
	}{
		{"one part", 1, nil, nil, nil, []scene{{[]int{0}, nil}}},
		{"no part meets another", 3, nil, [][2]int{{0, 1}}, nil, []scene{{[]int{0}, nil}, {[]int{1}, nil}, {[]int{2}, nil}}},
		{"a chain, in any order", 4, meet([2]int{2, 3}, [2]int{0, 1}, [2]int{1, 3}), nil, nil, []scene{{[]int{0, 1, 2, 3}, nil}}},
		{"two groups that do not touch", 4, meet([2]int{0, 2}, [2]int{1, 3}), nil, nil, []scene{{[]int{0, 1, 2, 3}, nil}}},
		{"two groups in each other's way", 4, meet([2]int{0, 2}, [2]int{1, 3}), [][2]int{{2, 3}}, nil, []scene{{[]int{0, 2}, nil}, {[]int{1, 3}, nil}}},
		{"bystander", 3, meet([2]int{0, 2}), nil, nil, []scene{{[]int{0, 2}, []int{1}}, {[]int{1}, nil}}},
		{"stray part", 3, meet([2]int{0, 2}), [][2]int{{1, 2}}, nil, []scene{{[]int{0, 2}, nil}, {[]int{1}, nil}}},
		{"odd part", 3, meet([2]int{0, 2}), nil, []Odd{{Part: 1}}, []scene{{[]int{0, 2}, nil}, {[]int{1}, nil}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := scenesOf(tt.n, tt.meetings, tt.clashes, tt.odd)
			if d := cmp.Diff(tt.want, got, cmp.AllowUnexported(scene{})); d != "" {
				t.Errorf("scenes (-want +got):\n%s", d)
			}
		})
	}
}
