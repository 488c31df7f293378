package account

import (
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/receiver"
)

func TestSheetsHoldWhatHasAFieldAndTellWhatEndedBefore(t *testing.T) {
	r := made()
	rec := &receiver.Receiver{Name: "invented", Block: block.Box{Max: block.Point{0.1, 0.1, 0.12}}}
	if len(r.Fields) == 0 {
		t.Fatal("the made result has no field")
	}
	early := *r
	early.Fields = nil
	s := &memory{files: map[string][]byte{}, room: -1}
	names, err := WriteSheets(s, "made: sections", []Computed{{Name: "variant 1", Receiver: rec, Result: r}, {Name: "variant 2", Receiver: rec, Result: &early}})
	if err != nil {
		t.Fatal(err)
	}
	if len(names) != len(r.Fields) {
		t.Fatalf("%d sheets of %d times", len(names), len(r.Fields))
	}
	text := string(s.files[names[0]])
	for _, want := range []string{"made: sections after", ">variant 1<", "variant 2 ended before and is left out", "to one scale"} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet does not show %q", want)
		}
	}
}
