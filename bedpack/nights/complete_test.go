package nights

import (
	"reflect"
	"testing"
	"time"
)

func TestComplete(t *testing.T) {
	p := Problem{From: monday(8), Attended: Always(), Start: Always(), Printers: []Printer{{Running: Always()}}, Plates: ranked(hoursOfPlates(1, 2, 3, 2000))}
	p.Plates[0].Parts = []string{"nose", "left ear"}
	p.Plates[1].Parts = []string{"right ear"}
	p.Plates[2].Parts = []string{"base", "rivet"}
	p.Plates[3].Parts = []string{"tail", "rivet"}
	got := Complete(p, Plan(p, Effort{}), []Group{
		{"face", []string{"nose"}},
		{"ears", []string{"left ear", "right ear"}},
		{"body", []string{"base", "tail", "tail"}},
		{"rivets, one of them on a plate that is refused", []string{"rivet"}},
		{"not on any plate", []string{"hat"}},
		{"nothing", nil},
	})
	want := []Done{
		{Name: "face", At: monday(9)},
		{Name: "ears", At: monday(11)},
		{Name: "body", At: monday(14), Missing: []string{"tail"}},
		{Name: "rivets, one of them on a plate that is refused", At: monday(14), Missing: []string{"rivet"}},
		{Name: "not on any plate", At: time.Time{}, Missing: []string{"hat"}},
		{Name: "nothing"},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("Complete = %+v, want %+v", got, want)
	}
}
