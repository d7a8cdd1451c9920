package shop

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"
	"testing"
)

// FuzzShop: no bytes make either parser panic; a file is taken or has faults,
// each on one line; what is taken can be written as JSON, and a shop written
// down reads back the same. Run it with -fuzzminimizetime 10x: making the long
// seeds shorter takes all the time otherwise.
func FuzzShop(f *testing.F) {
	for _, seed := range []string{everything, fullBuild, string(Annotated()), string(AnnotatedBuild()), good, good + "keep_out_mm = [[[0,0],[9,0],[9,9]]]",
		"printer = [{name='a',bed_mm=[1e2,2e2],height_mm=0x40}]", "a.b.c = 1\n[[a.b.d]]\n", "deadline = 2031-02-29", "[part.'a.stl']\ncount=1_0"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		build, buildFaults := ParseBuild("b", data)
		checkFaults(t, buildFaults)
		if _, err := json.Marshal(build.Effective()); len(buildFaults) == 0 && err != nil {
			t.Errorf("effective build: %v", err)
		}
		s, faults := Parse("s", data)
		checkFaults(t, faults)
		again, faultsAgain := Parse("s", data)
		if !reflect.DeepEqual(faults, faultsAgain) || same(s, again) != "" {
			t.Errorf("read twice: %v, then %v", faults, faultsAgain)
		}
		if len(faults) > 0 {
			return
		}
		if _, err := json.Marshal(s.Effective()); err != nil {
			t.Errorf("effective shop: %v", err)
		}
		var b bytes.Buffer
		writeShop(&b, s, false)
		back, faults := Parse("s", b.Bytes())
		if diff := same(s, back); diff != "" || len(faults) > 0 {
			t.Errorf("written and read: %v\n%s\n%s", faults, diff, b.String())
		}
	})
}

func checkFaults(t *testing.T, faults Faults) {
	for _, f := range faults {
		if s := f.String(); f.Wrong == "" || strings.ContainsAny(s, "\n\r") {
			t.Errorf("fault %+v is not one line: %q", f, s)
		}
	}
}
