package joblist

import (
	"bytes"
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"
)

func TestCalendar(t *testing.T) {
	l := sample()
	var out bytes.Buffer
	if err := WriteCalendar(&out, l); err != nil {
		t.Fatal(err)
	}
	// RFC 5545, 3.1: lines end in CRLF and have at most 75 octets.
	for _, line := range strings.Split(strings.TrimSuffix(out.String(), "\r\n"), "\r\n") {
		if len(line) > 75 || strings.ContainsAny(line, "\r\n") {
			t.Errorf("line of %d octets: %q", len(line), line)
		}
	}
	cal, err := ics.ParseCalendar(bytes.NewReader(out.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	timed := byStart(l.Plates)
	if len(timed) == 0 || len(cal.Events()) != len(timed) {
		t.Fatalf("%d events for %d plates with a time", len(cal.Events()), len(timed))
	}
	for i, e := range cal.Events() {
		from, err := e.GetStartAt()
		to, err2 := e.GetEndAt()
		if err != nil || err2 != nil || !from.Equal(*timed[i].ChangeFrom) || !to.Equal(*timed[i].Start) {
			t.Errorf("event %d from %v to %v, want %v to %v", i, from, to, timed[i].ChangeFrom, timed[i].Start)
		}
		if len(e.Alarms()) != 1 {
			t.Errorf("event %d has %d reminders", i, len(e.Alarms()))
		}
		stamp, err := e.GetDtStampTime()
		if err != nil || !stamp.Equal(l.Made.Truncate(time.Second)) {
			t.Errorf("event %d is stamped %v, %v, want the list's %v", i, stamp, err, l.Made)
		}
	}
	var again bytes.Buffer
	if err := WriteCalendar(&again, l); err != nil || !bytes.Equal(out.Bytes(), again.Bytes()) {
		t.Errorf("written twice it differs, %v", err)
	}
}
