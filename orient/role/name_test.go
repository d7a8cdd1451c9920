package role

import (
	"slices"
	"testing"
)

func TestWords(t *testing.T) {
	tests := []struct {
		in   string
		want []string
	}{
		{"arm_left.stl", []string{"arm", "left"}},
		{"ArmLeft-2.STL", []string{"arm", "left", "2"}},
		{"left2", []string{"left", "2"}},
		{"side fin (R).obj", []string{"side", "fin", "r"}},
		{"v1.2_L.stl", []string{"v", "1", "2", "l"}},
		{".stl", []string{"stl"}},
		{"größe_links.stl", []string{"größe", "links"}},
		{"", nil},
	}
	for _, tt := range tests {
		if got := words(tt.in); !slices.Equal(got, tt.want) {
			t.Errorf("words(%q) = %q, want %q", tt.in, got, tt.want)
		}
	}
}

func TestCounterparts(t *testing.T) {
	tests := []struct {
		a, b string
		want bool
	}{
		{"arm_left.stl", "arm_right.stl", true},
		{"arm_right.stl", "arm_left.stl", true},
		{"ArmL.stl", "arm-r.3mf", true},
		{"LH_plate", "RH_plate", true},
		{"left_cache.stl", "right_cache.stl", true},
		{"arm_left.stl", "arm_left.stl", false},
		{"arm_left.stl", "leg_right.stl", false},
		{"arm_left_2.stl", "arm_right_1.stl", false},
		{"bright.stl", "bleft.stl", false},
		{"arm.stl", "arm.stl", false},
	}
	for _, tt := range tests {
		if got := counterparts(tt.a, tt.b); got != tt.want {
			t.Errorf("counterparts(%q, %q) = %v, want %v", tt.a, tt.b, got, tt.want)
		}
	}
}
