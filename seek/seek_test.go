package seek

import (
	"math"
	"slices"
	"testing"

	"emberbank/internal/testkit"
)

// mix has a real, a whole and a listed axis. Its optimum is by hand: entry 2, 7 pieces, 0.3.
var mix = Problem{Axes: []Axis{{Low: 0.01, High: 1, Log: true}, {Kind: Whole, Low: 1, High: 20}, {Kind: Choice, Choices: 4}}, Aims: 1}

func mixOf(x []float64) Values {
	extra := []float64{1, 0.4, 0, 0.7}[int(x[2])]
	return aim(math.Pow(math.Log(x[0]/0.3), 2) + 0.02*(x[1]-7)*(x[1]-7) + extra)
}

func TestWholeNumbersAndListsAreSearched(t *testing.T) {
	for seed := range uint64(3) {
		for name, b := range map[string]Best{
			"surrogate": drive(t, surrogate(t, mix, seed), mixOf, 40, 2),
			"direct":    drive(t, direct(t, mix, seed), mixOf, 1500, 50),
		} {
			if x := b.Front[0].At; x[1] != 7 || x[2] != 2 || math.Abs(math.Log(x[0]/0.3)) > 0.05 {
				t.Errorf("%s, seed %d: %v, want 0.3, 7, 2", name, seed, x)
			}
		}
	}
}

func TestSearchGoesOnFromItsHistoryInAnyOrder(t *testing.T) {
	for name, fresh := range map[string]func() Seeker{
		"surrogate": func() Seeker { return surrogate(t, g06.problem, 5) },
		"direct":    func() Seeker { return direct(t, g06.problem, 5) },
	} {
		s := fresh()
		drive(t, s, g06.of, 24, 3)
		want, err := s.Ask(4)
		if err != nil {
			t.Fatal(err)
		}
		again := fresh()
		history := s.History()
		slices.Reverse(history)
		for _, h := range history {
			if err := again.Tell(h.At, h.Values); err != nil {
				t.Fatal(err)
			}
		}
		got, err := again.Ask(4)
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Points) != 4 {
			t.Fatalf("%s: %d points", name, len(got.Points))
		}
		for i := range got.Points {
			if !slices.Equal(got.Points[i], want.Points[i]) {
				t.Errorf("%s: point %d is %v, without the stop it was %v", name, i+1, got.Points[i], want.Points[i])
			}
		}
	}
}

func TestNothingIsAskedTwice(t *testing.T) {
	small := Problem{Axes: []Axis{{Kind: Whole, Low: 1, High: 5}, {Kind: Choice, Choices: 3}}, Aims: 1, Seed: 2}
	of := func(x []float64) Values { return aim(math.Abs(x[0]-4) + x[1]) }
	for name, s := range map[string]Seeker{"surrogate": surrogate(t, small, 2), "direct": direct(t, small, 2)} {
		seen := map[string]bool{}
		for range 100 {
			a, err := s.Ask(2)
			if err != nil {
				t.Fatal(err)
			}
			if len(a.Points) == 0 {
				break
			}
			for _, x := range a.Points {
				if seen[key(x)] {
					t.Fatalf("%s asks %v twice", name, x)
				}
				seen[key(x)] = true
				if err := s.Tell(x, of(x)); err != nil {
					t.Fatal(err)
				}
			}
		}
		if b := s.Best(); b.Front[0].Aims[0] != 0 {
			t.Errorf("%s: best is %v after %d of 15 points", name, b.Front[0], len(seen))
		}
		if name == "surrogate" && len(seen) != 15 {
			t.Errorf("%s: %d of 15 points were asked", name, len(seen))
		}
	}
	// Points that are out are not asked again, and the next ones lie elsewhere.
	s := surrogate(t, branin.problem, 1)
	drive(t, s, branin.of, 12, 4)
	a, _ := s.Ask(3)
	b, _ := s.Ask(3)
	for _, x := range a.Points {
		for _, y := range b.Points {
			if math.Hypot(x[0]-y[0], x[1]-y[1]) < 1e-3 {
				t.Errorf("%v is pending and %v is asked", x, y)
			}
		}
	}
}

func TestVariantsThatFailAreSteeredClearOf(t *testing.T) {
	// The right half fails; the optimum of the rest lies close to the border.
	of := func(x []float64) Values {
		if x[0] > 0.5 {
			return Values{Failed: true}
		}
		return aim((x[0]-0.45)*(x[0]-0.45) + (x[1]-0.2)*(x[1]-0.2))
	}
	p := Problem{Axes: real(2, 0, 1), Aims: 1}
	s := surrogate(t, p, 3)
	early := drive(t, s, of, 12, 2).Failed
	b := drive(t, s, of, 40, 2)
	if late := b.Failed - early; late > 10 {
		t.Errorf("%d of the first 12 fail, and %d of the next 28", early, late)
	}
	testkit.Close(t, "best beside the border", b.Front[0].Aims[0], 0, 0, 1e-3)
	all := func([]float64) Values { return Values{Failed: true} }
	if b := drive(t, surrogate(t, p, 3), all, 20, 2); b.Failed != 20 || len(b.Front) != 0 || b.Met {
		t.Errorf("where all fail: %+v", b)
	}
	if b := drive(t, direct(t, p, 3), all, 60, 20); b.Failed != 60 {
		t.Errorf("where all fail: %+v", b)
	}
	if b := drive(t, direct(t, p, 3), of, 1000, 50); b.Front[0].Aims[0] > 1e-4 {
		t.Errorf("directly beside the border: %v", b.Front[0])
	}
}

func TestConstraintsThatNothingMeetsAreSaidSo(t *testing.T) {
	p := Problem{Axes: real(2, 0, 1), Aims: 1, Constraints: 1}
	of := func(x []float64) Values { return aim(x[0], 1+x[1]) }
	for _, s := range []Seeker{surrogate(t, p, 1), direct(t, p, 1)} {
		b := drive(t, s, of, 30, 3)
		if b.Met || len(b.Front) != 1 || b.Front[0].Constraints[0] > 1.2 {
			t.Errorf("%T: %+v", s, b)
		}
	}
}

func TestResponsesWithoutShapeDoNotStopASearch(t *testing.T) {
	p := Problem{Axes: real(2, 0, 1), Aims: 1, Constraints: 1}
	for name, of := range map[string]func([]float64) Values{
		"constant": func([]float64) Values { return aim(7, -1) },
		"steps":    func(x []float64) Values { return aim(math.Floor(3*x[0]), math.Floor(3*x[1])-1) },
		"huge":     func(x []float64) Values { return aim(1e12+x[0], -1e-12*x[1]) },
		"steep":    func(x []float64) Values { return aim(math.Exp(60*x[0]), x[1]-0.5) },
	} {
		s := surrogate(t, p, 1)
		if b := drive(t, s, of, 24, 3); b.Told != 24 || !b.Met {
			t.Errorf("%s: %+v", name, b)
		}
	}
}

func TestPromiseFallsAsTheOptimumIsFound(t *testing.T) {
	s := surrogate(t, branin.problem, 1)
	drive(t, s, branin.of, 12, 1) // what fills the space
	early, err := s.Ask(1)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range early.Points {
		if err := s.Tell(x, branin.of(x)); err != nil {
			t.Fatal(err)
		}
	}
	drive(t, s, branin.of, 40, 1)
	late, err := s.Ask(1)
	if err != nil {
		t.Fatal(err)
	}
	if !(late.Promise < 0.01 && early.Promise > 10*late.Promise) {
		t.Errorf("the promise is %g at first and %g at the end", early.Promise, late.Promise)
	}
}

func TestProblemsAndValuesThatMakeNoSenseAreRefused(t *testing.T) {
	for _, bad := range []Problem{
		{},
		{Axes: real(1, 0, 1)},
		{Axes: real(1, 0, 1), Aims: 3},
		{Axes: real(1, 1, 1), Aims: 1},
		{Axes: []Axis{{Low: 0, High: 1, Log: true}}, Aims: 1},
		{Axes: []Axis{{Kind: Whole, Low: 0.5, High: 3}}, Aims: 1},
		{Axes: []Axis{{Kind: Choice, Choices: 1}}, Aims: 1},
		{Axes: real(1, 0, 1), Aims: 1, Constraints: -1},
		{Axes: real(101, 0, 1), Aims: 1},
	} {
		if _, err := NewSurrogate(bad); err == nil {
			t.Errorf("%+v passes", bad)
		}
		if _, err := NewDirect(bad); err == nil {
			t.Errorf("%+v passes", bad)
		}
	}
	s := surrogate(t, mix, 1)
	for _, row := range []struct {
		at []float64
		v  Values
	}{
		{[]float64{0.1, 3}, aim(1)},
		{[]float64{2, 3, 1}, aim(1)},
		{[]float64{0.1, 3.5, 1}, aim(1)},
		{[]float64{0.1, 3, 4}, aim(1)},
		{[]float64{0.1, 3, 1}, aim(math.NaN())},
		{[]float64{0.1, 3, 1}, aim(1, 2)},
		{[]float64{0.1, 3, 1}, Values{}},
	} {
		if s.Tell(row.at, row.v) == nil {
			t.Errorf("%v with %+v passes", row.at, row.v)
		}
	}
	if _, err := s.Ask(0); err == nil {
		t.Error("asking for nothing passes")
	}
}
