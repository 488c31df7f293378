package bench

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"
)

// seasonOf is a season of three days with some more lines.
func seasonOf(more string) fstest.MapFS {
	return fstest.MapFS{
		"run.yaml": {Data: []byte("schema: emberbank/1\nkind: run\nreceiver: {block: {depth: 200 mm, width: 300 mm, height: 300 mm, medium: aluminium}}\nuntil: 3 d\n")},
		"s.yaml":   {Data: []byte("schema: emberbank/1\nkind: season\nrun: run.yaml\n" + more)},
	}
}

func TestSeasonSaysWhichDaysAndHowFarItMayBeOff(t *testing.T) {
	s, ps := LoadSeason(seasonOf("build: [{day: 1}, {day: 2, block: 250 degC}]\napart: 2\nallowed: {heat: 3 %}\n"), "s.yaml")
	if ps.Failed() {
		t.Fatal(ps)
	}
	same(t, "days of building", len(s.Build), 2)
	if !math.IsNaN(s.Build[0].Block) || !s.Build[0].Default {
		t.Errorf("the first day is %+v", s.Build[0])
	}
	near(t, "the second day's block", s.Build[1].Block, 250+zero)
	same(t, "days apart", s.ApartN, 2)
	near(t, "heat", s.Heat, 0.03)
	near(t, "block mean, where nothing is said", s.BlockMean, 0)
}

func TestSeasonIsNotHeldToADayThatItIsBuiltFrom(t *testing.T) {
	_, ps := LoadSeason(seasonOf("build: [{day: 1, lasts: 2 d}]\napart: [{day: 3}, {day: 2}]\n"), "s.yaml")
	if len(ps) != 1 || ps[0].Place() != "s.yaml:5:25" || !strings.Contains(ps[0].Message, "built from that day too") {
		t.Errorf("it says %v", ps)
	}
}

func TestSeasonEndsWithItsRun(t *testing.T) {
	_, ps := LoadSeason(seasonOf("apart: [{day: 3, lasts: 2 d}]\n"), "s.yaml")
	if len(ps) != 1 || !strings.Contains(ps[0].Message, "beyond the run's end") {
		t.Errorf("it says %v", ps)
	}
}
