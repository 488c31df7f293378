package heat

import (
	"context"
	"math"
	"testing"
)

// spread returns where the workers' spans begin, and where the last one ends.
func spread(t *testing.T, team *team) []int {
	t.Helper()
	at := []int{0}
	for i := range team.spans {
		lo, hi := team.spans[i].planes()
		if lo != at[i] || hi <= lo {
			t.Fatalf("worker %d has the planes %d to %d, the one before ended at %d", i, lo, hi, at[i])
		}
		at = append(at, hi)
	}
	return at
}

// Work is said to be so much for each plane, more for some; whoever has more than its neighbour by more than a plane hands one on, until
// they are closer together than that.
func TestSharesFollowTheWork(t *testing.T) {
	for _, c := range []struct {
		workers, planes int
		dear            func(plane int) int64 // ns
		apart           float64               // planes, at the end, of neighbours
	}{
		{2, 30, func(k int) int64 { return 1000 }, 1},
		{2, 30, func(k int) int64 { return 1000 + 3000*int64(k/15) }, 1.5},
		{3, 17, func(k int) int64 { return 1000 + 500*int64(k) }, 2},
		{2, 3, func(k int) int64 { return 1 + 1000*int64(k/2) }, 3},
		{5, 5, func(k int) int64 { return 1000 * int64(k) }, 5},
	} {
		team := newTeam(c.workers, c.planes)
		w := &train{s: &solver{team: team}, crews: make([]crew, c.workers), busy: make([]int64, c.workers)}
		for range 40 {
			for i := range w.crews {
				lo, hi := team.spans[i].planes()
				for k := lo; k < hi; k++ {
					w.crews[i].busy.Add(c.dear(k))
				}
			}
			w.share(sharing - 1)
			w.share(1)
		}
		at := spread(t, team)
		if at[c.workers] != c.planes {
			t.Errorf("the spans end at %d of %d", at[c.workers], c.planes)
		}
		work := make([]int64, c.workers)
		for i := range work {
			for k := at[i]; k < at[i+1]; k++ {
				work[i] += c.dear(k)
			}
		}
		for i := 1; i < c.workers; i++ {
			one := float64(work[i]+work[i-1]) / float64(at[i+1]-at[i-1])
			if off := math.Abs(float64(work[i] - work[i-1])); off > c.apart*one {
				t.Errorf("%d workers, %d planes: of the planes from %v on they have %v, neighbours apart by %.1f planes", c.workers, c.planes, at, work, off/one)
			}
		}
		team.stop()
	}
}

// Shares that wander while the march goes on change no number.
func TestSharesThatWanderChangeNothing(t *testing.T) {
	run := func(wander bool) []float64 {
		p := freezing([3]int{7, 5, 14})
		p.Threads, p.Until = 3, 900
		m, err := newMarch(&p)
		if err != nil {
			t.Fatal(err)
		}
		defer m.s.team.stop()
		team, step := m.s.team, 0
		if wander {
			m.p.Progress = func(float64) {
				step++
				a, b := 1+step%6, 7+step*5%7
				team.spans[0].set(0, a)
				team.spans[1].set(a, b)
				team.spans[2].set(b, 14)
			}
		}
		if _, err := m.run(context.Background()); err != nil {
			t.Fatal(err)
		}
		if wander && step < 20 {
			t.Fatalf("%d steps: the case does not test what it should", step)
		}
		spread(t, team)
		return append(append([]float64{float64(m.steps), m.rec.residual}, m.total...), m.s.y0...)
	}
	want := run(false)
	for i, v := range run(true) {
		if math.Float64bits(v) != math.Float64bits(want[i]) {
			t.Fatalf("number %d is %v, with shares that stay %v", i, v, want[i])
		}
	}
}
