package trial

import (
	"bytes"
	"math"
	"strings"
	"testing"
)

func decodeText(text string) (*Log, []Finding) {
	s := liveSetup()
	return Decode(strings.NewReader(text), &s.Sources[0], 0, s.Repairs)
}

// TestAPowerCutsZeroBytesAreTreatedAlikeLiveAndInTheRecord: the row that was cut is left out, also where its last number
// would read as a shorter one; what stands behind the hole is read.
func TestAPowerCutsZeroBytesAreTreatedAlikeLiveAndInTheRecord(t *testing.T) {
	cut := strings.TrimSuffix(liveRow(30), "00\n") // "…;6.5": all cells are there, the last one short
	for _, n := range []int{1, 700, 3 << 20} {
		text := liveHead + liveRows(0, 30) + cut + strings.Repeat("\x00", n) + liveRows(40, 80)
		log, found := decodeText(text)
		if log == nil {
			t.Fatalf("%d bytes of zero: the record is refused: %v", n, found)
		}
		if got := len(log.Time); got != 70 {
			t.Errorf("%d bytes of zero: the record has %d rows, not 70", n, got)
		}
		log.repair()
		told := false
		for _, r := range log.Repairs {
			told = told || r.Key == "garbled" && strings.Contains(r.What, "1 hole of zero bytes") && r.Line == 34
		}
		if !told {
			t.Errorf("%d bytes of zero: the repairs do not tell the hole: %+v", n, log.Repairs)
		}
		g := follow()
		for b := text; len(b) > 0; {
			k := min(len(b), 100001)
			g.feed(b[:k])
			b = b[k:]
		}
		g.Flush(true)
		if len(g.time) != len(log.Time) {
			t.Fatalf("%d bytes of zero: %d rows live, %d in the record", n, len(g.time), len(log.Time))
		}
		for k := range g.core {
			if math.Abs(g.core[k]-log.Values[0][k]) > 1e-12 {
				t.Fatalf("%d bytes of zero: row %d is %g K live, %g K in the record", n, k, g.core[k], log.Values[0][k])
			}
		}
	}
}

func TestAHoleBeforeTheFirstRowsIsNoReasonToRefuse(t *testing.T) {
	for _, text := range []string{
		strings.Repeat("\x00", 512) + liveHead + liveRows(0, 40),
		liveHead + liveRow(0) + strings.Repeat("\x00", 512) + liveRows(1, 41),
		liveHead + liveRows(0, 40) + strings.Repeat("\x00", 4096),
	} {
		if log, found := decodeText(text); log == nil || len(log.Time) < 40 {
			t.Errorf("refused: %v", found)
		}
		g := follow()
		g.feed(text)
		g.Flush(true)
		if len(g.time) < 40 {
			t.Errorf("%d rows live", len(g.time))
		}
	}
}

func TestAFileThatIsNoTextIsRefusedLiveAndInTheRecord(t *testing.T) {
	text := liveHead + liveRows(0, 60)
	var wide bytes.Buffer // two bytes a sign, without the mark
	for i := range len(text) {
		wide.Write([]byte{text[i], 0})
	}
	if log, found := decodeText(wide.String()); log != nil || !strings.Contains(found[0].Message, "is not text") {
		t.Errorf("read: %v", found)
	}
	g := follow()
	g.feed(wide.String() + wide.String())
	if len(g.time) > 0 || len(g.kinds) != 1 || g.kinds[0] != Unreadable {
		t.Errorf("live: %d rows, %v", len(g.time), g.kinds)
	}
}
