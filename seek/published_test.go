package seek

import (
	"math"
	"testing"

	"emberbank/internal/testkit"
	"emberbank/sample"
)

// drive runs a search until so many variants are told, or nothing is left to ask.
func drive(t *testing.T, s Seeker, of func([]float64) Values, total, batch int) Best {
	t.Helper()
	for len(s.History()) < total {
		a, err := s.Ask(min(batch, total-len(s.History())))
		if err != nil {
			t.Fatal(err)
		}
		if len(a.Points) == 0 {
			break
		}
		for _, x := range a.Points {
			if err := s.Tell(x, of(x)); err != nil {
				t.Fatal(err)
			}
		}
	}
	return s.Best()
}

func surrogate(t *testing.T, p Problem, seed uint64) *Surrogate {
	t.Helper()
	p.Seed = seed
	s, err := NewSurrogate(p)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func direct(t *testing.T, p Problem, seed uint64) *Direct {
	t.Helper()
	p.Seed = seed
	s, err := NewDirect(p)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestSurrogateFindsPublishedOptimaInFewRuns(t *testing.T) {
	for _, row := range []struct {
		p    published
		runs int
		off  float64
	}{
		{branin, 40, 0.005},
		{hartmann3, 40, 0.002},
		{gardner, 40, 0.01},
		{g06, 40, 350}, // 5 %: the part that meets both constraints is 0.007 % of the whole
	} {
		for seed := range uint64(3) {
			b := drive(t, surrogate(t, row.p.problem, seed), row.p.of, row.runs, 2)
			if !b.Met {
				t.Errorf("%s, seed %d: no variant meets the constraints", row.p.name, seed)
				continue
			}
			testkit.Close(t, row.p.name+": "+row.p.source, b.Front[0].Aims[0], row.p.best, 0, row.off)
		}
	}
	// As many points that only fill the space do not get there: the search is what finds it.
	fill, _ := sample.NewSobol(2, 1)
	best, u := math.Inf(1), make([]float64, 2)
	for i := range 40 {
		fill.At(int64(i), u)
		best = min(best, branin.of(branin.problem.point(u)).Aims[0])
	}
	if best < branin.best+0.05 {
		t.Errorf("40 even points come to %g: the test shows nothing", best)
	}
}

// TestSurrogateOnSixVariables: Hartmann 6 has a second valley that is nearly as deep (−3.2032), in which expected
// improvement may stay: of 12 seeds, 100 to 111, that were not used before, 10 found the deeper one within 80 runs and 2 the
// other. With 16 points to start with in place of 28 it was 4 of 13.
func TestSurrogateOnSixVariables(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some ten seconds")
	}
	deepest := 0
	for seed := uint64(100); seed < 103; seed++ {
		b := drive(t, surrogate(t, hartmann6.problem, seed), hartmann6.of, 80, 2)
		if got := b.Front[0].Aims[0]; got > -3.2 {
			t.Errorf("seed %d comes to %g only: %s", seed, got, hartmann6.source)
		} else if got < hartmann6.best+0.001 {
			deepest++
		}
	}
	t.Logf("%d of 3 seeds find the deeper valley", deepest)
	if deepest < 2 {
		t.Error("fewer than two seeds find the optimum: " + hartmann6.source)
	}
}

func frontArea(b Best) float64 {
	var f [][2]float64
	for _, t := range b.Front {
		f = append(f, [2]float64{t.Aims[0], t.Aims[1]})
	}
	return area(f, [2]float64{1.1, 1.1})
}

func TestFrontBetweenTwoAimsIsFound(t *testing.T) {
	for kind := 1; kind <= 2; kind++ {
		p := zdt(kind, 4)
		got := frontArea(drive(t, surrogate(t, p.problem, 1), p.of, 60, 2))
		if want := zdtArea(kind); got < 0.95*want || got > want {
			t.Errorf("%s by surrogate, 60 runs: area %g of %g: %s", p.name, got, want, p.source)
		}
		p = zdt(kind, 10)
		got = frontArea(drive(t, direct(t, p.problem, 1), p.of, 12000, 100))
		if want := zdtArea(kind); got < 0.9*want || got > want {
			t.Errorf("%s directly, 12000 runs: area %g of %g: %s", p.name, got, want, p.source)
		}
	}
}

func TestDirectSearchFindsPublishedOptima(t *testing.T) {
	for _, row := range []struct {
		p         published
		runs      int
		off       float64
		otherwise float64 // the next valley
	}{
		{branin, 3000, 0.002, branin.best},
		{hartmann3, 2000, 0.001, hartmann3.best},
		{hartmann6, 6000, 0.01, -3.2032},
		{gardner, 2000, 0.001, -1.96017},
		{g06, 8000, 50, g06.best},
	} {
		found := 0
		for seed := range uint64(3) {
			b := drive(t, direct(t, row.p.problem, seed), row.p.of, row.runs, 100)
			if !b.Met {
				t.Errorf("%s, seed %d: no variant meets the constraints", row.p.name, seed)
				continue
			}
			got := b.Front[0].Aims[0]
			if math.Abs(got-row.p.best) <= row.off {
				found++
			} else if math.Abs(got-row.otherwise) > row.off {
				t.Errorf("%s, seed %d: %g, neither the optimum nor the next valley: %s", row.p.name, seed, got, row.p.source)
			}
		}
		t.Logf("%s: %d of 3", row.p.name, found)
		if found == 0 {
			t.Errorf("%s: no seed finds %g: %s", row.p.name, row.p.best, row.p.source)
		}
	}
}
