package heat

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"emberbank/block"
)

// A run that is watched gives the same history as one that is not, and the last field seen is that of the end.
func TestWatchingChangesNothing(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{5, 5, 5}, plain(2700, 900, 200))
	p.Initial = 150 + zero
	p.cool(block.Front, 50, 20+zero, 0.5)
	p.every(7, 3600)
	alone := solve(t, p)
	rows, fields := 0, 0
	var last Field
	p.Seen = func(s Sight) {
		h := s.History()
		if h.Time[len(h.Time)-1] != s.Time() || len(h.Time) != rows+1 {
			t.Errorf("row %d: at %g s the history ends at %g s with %d rows", rows, s.Time(), h.Time[len(h.Time)-1], len(h.Time))
		}
		if mean := h.Column("block mean").Values[rows]; rows%50 == 0 {
			fields++
			last = s.Field()
			sum := 0.0
			for _, T := range last.Temperature {
				sum += T / float64(len(last.Temperature))
			}
			if math.Abs(sum-mean) > 1e-9*mean {
				t.Errorf("after %g s the field's mean is %.9f K, the row's %.9f K", s.Time(), sum, mean)
			}
		}
		rows++
		g, part := s.Body()
		if g.Cells() != 125 || len(part) != 125 || len(s.Chains()) != 0 || len(s.Water()) != 0 { // no pass, no circuit
			t.Errorf("the body has %d cells and %d parts; %d chains, %d profiles", g.Cells(), len(part), len(s.Chains()), len(s.Water()))
		}
	}
	watched := solve(t, p)
	if !reflect.DeepEqual(alone.History, watched.History) || alone.Steps != watched.Steps {
		t.Error("watching has changed the run")
	}
	if rows != len(alone.History.Time) || fields < 10 {
		t.Errorf("%d rows and %d fields were seen, of %d", rows, fields, len(alone.History.Time))
	}
}

// The water that is seen at a row is that of the profile which is kept at the same time.
func TestWaterIsSeenAsItsProfileIsKept(t *testing.T) {
	p := served(90, 5e5, 0.3)
	p.every(5, 30)
	p.ProfileTimes = p.Output
	var seen []Profile
	p.Seen = func(s Sight) { seen = append(seen, s.Water()...) }
	r := solve(t, p)
	if len(seen) != len(p.Output) || fmt.Sprint(seen) != fmt.Sprint(r.Profiles) {
		t.Errorf("%d profiles were seen, %d kept: %v, %v", len(seen), len(r.Profiles), seen, r.Profiles)
	}
}
