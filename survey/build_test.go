package survey

import (
	"testing"

	"emberbank/bench"
	"emberbank/study"
)

// TestEveryKindOfReadingIsTaken: each one that is read off a run has its own word in study; one that lacks would be the last row.
func TestEveryKindOfReadingIsTaken(t *testing.T) {
	by := map[study.Take]bench.ReadingKind{}
	for k := range bench.ReadingKinds {
		kind := bench.ReadingKind(k)
		take, found := takes[kind]
		if found == kind.OfBuilt() {
			t.Errorf("kind %d, of what is built alone: %v, is in the table: %v", k, kind.OfBuilt(), found)
		}
		if other, twice := by[take]; found && twice {
			t.Errorf("the kinds %d and %d are taken alike", other, k)
		}
		if found {
			by[take] = kind
		}
	}
}
