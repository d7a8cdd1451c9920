package joblist

import (
	"bytes"
	"testing"
)

func TestGolden(t *testing.T) {
	l := sample()
	golden(t, "lantern/jobs.json", encoded(t, l))
	var table, summary bytes.Buffer
	if err := WriteCSV(&table, l); err != nil {
		t.Fatal(err)
	}
	golden(t, "lantern/jobs.csv", table.Bytes())
	if err := WriteSummary(&summary, l); err != nil {
		t.Fatal(err)
	}
	golden(t, "lantern/summary.txt", summary.Bytes())
}
