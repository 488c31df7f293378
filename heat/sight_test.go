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

// TestBooksOfEveryRowClose: of what came and went between two rows little is left over, though rows lie within time steps, and
// the books of the last row are those of the run.
func TestBooksOfEveryRowClose(t *testing.T) {
	cooled := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{5, 5, 5}, plain(2700, 900, 200))
	cooled.Initial = 150 + zero
	cooled.cool(block.Front, 50, 20+zero, 0.5)
	cooled.every(7, 3600)
	wet := served(90, 5e5, 0.3)
	wet.every(5, 300)
	cold := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{5, 5, 5}, plain(2700, 900, 200)) // its heat content begins at nothing
	cold.Initial = 20 + zero
	cold.cool(block.Front, 50, 90+zero, 0.5)
	cold.every(7, 3600)
	for name, p := range map[string]Problem{"cooled": cooled, "with water": wet, "cold": cold} {
		var all []Ledger
		p.Seen = func(s Sight) { all = append(all, s.Books()) }
		r := solve(t, p)
		moved := math.Abs(r.Ledger.Lost) + math.Abs(r.Ledger.ToPasses)
		for i := 1; i < len(all); i++ {
			a, b := &all[i-1], &all[i]
			if len(a.StoredBy) != len(b.StoredBy) {
				t.Errorf("%s, row %d: %d parts store, before %d", name, i, len(b.StoredBy), len(a.StoredBy))
			}
			turned := math.Abs(b.Lost-a.Lost) + math.Abs(b.ToPasses-a.ToPasses)
			if off := math.Abs(b.Residual - a.Residual); off > 1e-9*moved {
				t.Errorf("%s, row %d: %g J of %g are left over", name, i, off, turned)
			}
			// Within a step books and history follow cells and rates each by itself: a few hundredths of what is moved lie between.
			stored := r.History.Column("stored").Values
			if off := math.Abs(b.Stored - a.Stored - (stored[i] - stored[i-1])); off > 0.04*turned {
				t.Errorf("%s, row %d: the books store %g J more than the history, of %g", name, i, off, turned)
			}
			if off := math.Abs(sum(b.StoredBy) - b.Stored); off > 1e-9*moved {
				t.Errorf("%s, row %d: parts store %g J less than all", name, i, off)
			}
		}
		last := all[len(all)-1]
		last.Residual, r.Ledger.Residual = 0, 0
		if !reflect.DeepEqual(last, r.Ledger) {
			t.Errorf("%s: the last row has %+v, the run %+v", name, last, r.Ledger)
		}
	}
}

// A row at a step's end has the books of that end, also where rounding leaves the step a little shorter than its length.
func TestBooksAtAStepsEndStandRounding(t *testing.T) {
	p := served(90, 5e5, 0.3)
	p.Output = []float64{300} // none within a step
	p.Until = 300
	var seen []Ledger
	p.Seen = func(s Sight) {
		tau := s.m.last.tau
		s.m.last.tau *= 1 + 1e-9
		seen = append(seen, s.Books())
		s.m.last.tau = tau
	}
	r := solve(t, p)
	if len(seen) != 1 || !reflect.DeepEqual(seen[0], r.Ledger) {
		t.Errorf("the row has %+v, the run %+v", seen, r.Ledger)
	}
}

func sum(shares []Share) (all float64) {
	for _, s := range shares {
		all += s.Amount
	}
	return all
}
