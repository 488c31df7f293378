package duty

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// A signal that repeats has the values of its first round in every round, and written out it is the same signal.
func TestRepeatingSignalIsTheSameWrittenOut(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(r, "knots")
		s := Signal{Step: rapid.Bool().Draw(r, "step"), Every: rapid.SampledFrom([]float64{3600, 86400, 100, 777.7}).Draw(r, "every")}
		at := 0.0
		for range n {
			at += s.Every / float64(n+1) * rapid.Float64Range(0.05, 1).Draw(r, "by")
			s.T, s.V = append(s.T, at), append(s.V, rapid.Float64Range(-5, 5).Draw(r, "value"))
		}
		written := s.Over(4 * s.Every)
		if written.Every != 0 {
			t.Fatal("it still repeats")
		}
		for range 20 {
			x := rapid.Float64Range(0, s.Every*0.999).Draw(r, "at")
			first := s.At(x)
			for k := range 4 {
				when := x + float64(k)*s.Every
				// A jump may fall to either side of a time that was rounded.
				jump := math.Abs(s.At(when+1e-6)-s.At(when-1e-6)) > 1e-3
				if got := s.At(when); !jump && math.Abs(got-first) > 1e-6 {
					r.Fatalf("at %v it is %v, at %v %v", x, first, when, got)
				}
				if got := written.At(when); !jump && math.Abs(got-s.At(when)) > 1e-6 {
					r.Fatalf("written out it is %v at %v, not %v", got, when, s.At(when))
				}
			}
		}
	})
}

// Events and signals of a day come again every day, and the player stops at each.
func TestDaysRepeat(t *testing.T) {
	const day = 86400.0
	d := Duty{
		Ambient: Fixed(290),
		Light:   &Light{Power: Signal{T: []float64{0, 6 * 3600, 18 * 3600}, V: []float64{0, 1000, 0}, Step: true, Every: day}},
		Events:  []Event{{At: 3600, Every: day, Name: "one"}, {At: 7200, Name: "once"}},
	}
	long := d.Over(3*day - 1)
	var got []float64
	p := NewPlayer(&long)
	for at := p.NextStop(0); at < 3*day; at = p.NextStop(at) {
		got = append(got, at)
	}
	want := []float64{3600, 7200, 6 * 3600, 18 * 3600, day + 3600, day + 6*3600, day + 18*3600, 2*day + 3600, 2*day + 6*3600, 2*day + 18*3600}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("it stops at %v, want %v", got, want)
	}
	if d.Events[0].Every != day || d.Light.Power.Every != day {
		t.Error("the duty itself was changed")
	}
}

// Circuits open until those that are open can give what is wanted, shut only when fewer can give a tenth more, and rest between.
func TestNextOpening(t *testing.T) {
	l := Load{Circuits: []int{0, 1, 2}, Band: 0.1, Rest: 100}
	most := []float64{10, 10, 10}
	o := l.Next(NothingOpen(), 0, 15, most)
	if o.Open != 2 {
		t.Fatalf("for 15 of 10 each, %d are open", o.Open)
	}
	if o = l.Next(o, 1, 25, most); o.Open != 3 {
		t.Errorf("more after more must not wait: %d are open", o.Open)
	}
	if o = l.Next(o, 50, 5, most); o.Open != 3 {
		t.Errorf("%d are open, 49 s after one was opened", o.Open)
	}
	if o = l.Next(o, 101, 9.5, most); o.Open != 2 {
		t.Errorf("for 9.5 and a tenth, %d are open", o.Open)
	}
	if o = l.Next(o, 150, 25, most); o.Open != 2 {
		t.Errorf("%d are open, 49 s after one was shut", o.Open)
	}
	if o = l.Next(o, 160, 0, most); o.Open != 0 {
		t.Errorf("for nothing %d are open", o.Open)
	}
	if o = l.Next(o, 161, 5, most); o.Open != 1 {
		t.Errorf("what was shut for want of a load may open at once: %d are open", o.Open)
	}
	if o = l.Next(o, 300, 5, []float64{0, -1, math.NaN()}); o.Open != 0 {
		t.Errorf("%d are open where none gives anything", o.Open)
	}
}

func TestCircuitsThatAreNoMoreLeaveTheLoad(t *testing.T) {
	d := Duty{
		Water: make([]Water, 3), Switches: Switches{Water: make([]WaterState, 3), FlowShare: []float64{1, 1, 1}},
		Load: &Load{Circuits: []int{2, 0, 1}},
	}
	was := d.Load
	d.KeepCircuits([]int{0, -1, 1})
	if want := []int{1, 0}; !reflect.DeepEqual(d.Load.Circuits, want) || len(was.Circuits) != 3 {
		t.Errorf("the load opens %v, want %v; before it opened %v", d.Load.Circuits, want, was.Circuits)
	}
	d.KeepCircuits([]int{-1, -1})
	if d.Load != nil {
		t.Error("a load without circuits stays")
	}
}
