package match

import (
	"context"
	"errors"
	"math"
	"reflect"
	"sync"
	"testing"
)

// wavy has many valleys; the lowest lies at x = (3, 0.5).
func wavy(_ context.Context, x []float64) ([]float64, error) {
	var r []float64
	for i := range 40 {
		t := float64(i) / 4
		r = append(r, math.Exp(-0.5*t*0.1)*(math.Sin(x[0]*t+x[1])-math.Sin(3*t+0.5)))
	}
	return r, nil
}

func TestStartsFindTheDeepestValley(t *testing.T) {
	f := Fitting{Of: wavy, Start: []float64{0.5, -1}, Lower: []float64{0.1, -1.5}, Upper: []float64{6, 1.5}, Workers: 2}
	alone, err := Fit(context.Background(), f)
	if err != nil || alone.Cost < 1 {
		t.Fatalf("the given start was meant to lead into a wrong valley: %v %g", err, alone.Cost)
	}
	for seed := range uint64(5) {
		s, _, err := FitFrom(context.Background(), f, Search{Points: 60, Descents: 3, Seed: seed})
		if err != nil || math.Abs(s.X[0]-3) > 1e-6 || math.Abs(s.X[1]-0.5) > 1e-6 {
			t.Errorf("seed %d: %v %v", seed, s.X, err)
		}
	}
}

func TestFitIsTheSameForAnyNumberOfWorkers(t *testing.T) {
	f := Fitting{Of: wavy, Start: []float64{2.8, 0}, Lower: []float64{0.1, -1.5}, Upper: []float64{6, 1.5}}
	var got []Solution
	for _, n := range []int{1, 2, 7} {
		f.Workers = n
		s, _, err := FitFrom(context.Background(), f, Search{Points: 20, Descents: 2})
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, s)
	}
	if !reflect.DeepEqual(got[0], got[1]) || !reflect.DeepEqual(got[0], got[2]) {
		t.Error("the answers differ")
	}
}

func TestFitStaysWithinBounds(t *testing.T) {
	var mu sync.Mutex
	f := Fitting{Start: []float64{1, 1}, Lower: []float64{0, 0}, Upper: []float64{2, 1.5}}
	f.Of = func(_ context.Context, x []float64) ([]float64, error) {
		mu.Lock()
		defer mu.Unlock()
		for j := range x {
			if x[j] < f.Lower[j] || x[j] > f.Upper[j] {
				t.Errorf("evaluated at %v", x)
			}
		}
		return []float64{x[0] + x[1] - 4, x[0] - 1, 0.1 * (x[1] - 3)}, nil
	}
	s, err := Fit(context.Background(), f)
	// With x1 on its bound of 1.5: the least of (x0 − 2.5)² + (x0 − 1)² is at 1.75.
	if err != nil || s.X[1] != 1.5 || math.Abs(s.X[0]-1.75) > 1e-8 || s.AtBound[1] != 1 || s.AtBound[0] != 0 {
		t.Errorf("%v %v %v", s.X, s.AtBound, err)
	}
}

func TestPriorsCountAsDifferences(t *testing.T) {
	// One measurement x = 1 ± 1 and a prior x = 3 ± 0.5: the mean weighed by 1 and 4 is 2.6.
	s, err := Fit(context.Background(), Fitting{
		Start: []float64{0}, Priors: []Prior{{0, 3, 0.5}},
		Of: func(_ context.Context, x []float64) ([]float64, error) { return []float64{x[0] - 1}, nil },
	})
	if err != nil || math.Abs(s.X[0]-2.6) > 1e-9 {
		t.Errorf("%v %v", s.X, err)
	}
}

func TestSearchGoesAroundPlacesWithoutAValue(t *testing.T) {
	s, err := Fit(context.Background(), Fitting{Start: []float64{0.5}, Of: func(_ context.Context, x []float64) ([]float64, error) {
		if x[0] > 2 {
			return nil, ErrNoValue
		}
		return []float64{math.Exp(x[0]) - math.Exp(1.9)}, nil
	}})
	if err != nil || math.Abs(s.X[0]-1.9) > 1e-6 {
		t.Errorf("%v %v", s.X, err)
	}
}

func TestCancelReturnsTheBestSoFar(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	s, err := Fit(ctx, Fitting{Of: wavy, Start: []float64{2.8, 0}, Progress: func(p Progress) {
		if p.Step == 2 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) || s.Steps != 2 || len(s.X) != 2 {
		t.Errorf("%v %+v", err, s)
	}
}

// TestAStoppedSearchKeepsTheBestThatItFound stops a search at each of its evaluations in turn: from the first F on that
// it told of, what it gives back is as good as the best that it told of.
func TestAStoppedSearchKeepsTheBestThatItFound(t *testing.T) {
	f := Fitting{Start: []float64{0.5, -1}, Lower: []float64{0.1, -1.5}, Upper: []float64{6, 1.5}, Forward: true}
	g := Search{Points: 20, Descents: 3, Rough: Tolerances{Reduction: 0.1}}
	for last, kept := 1, 0; ; last++ {
		ctx, cancel := context.WithCancel(context.Background())
		evaluations, told := 0, math.Inf(1)
		f.Of = func(ctx context.Context, x []float64) ([]float64, error) {
			if evaluations++; evaluations == last {
				cancel()
			}
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			return wavy(ctx, x)
		}
		f.Progress = func(p Progress) { told = min(told, p.Cost) }
		s, _, err := FitFrom(ctx, f, g)
		cancel()
		if err == nil {
			if evaluations >= last || kept < 20 {
				t.Errorf("evaluation %d was to stop it; %d have kept something", last, kept)
			}
			return
		}
		if !errors.Is(err, context.Canceled) {
			t.Fatal(err)
		}
		if math.IsInf(told, 1) {
			continue
		}
		kept++
		if r, _ := wavy(context.Background(), s.X); !reflect.DeepEqual(r, s.Differences) || half(r) > told {
			t.Errorf("stopped at evaluation %d: F %g at %v, %g was told of", last, half(r), s.X, told)
		}
	}
}
