package heat

import (
	"context"
	"math"
	"slices"
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

// Who is behind by more than is bearable hands planes on, one at a time, down to its last; neighbours that see each other behind
// alike, or only a little, keep theirs.
func TestWhoIsBehindHandsPlanesOn(t *testing.T) {
	const things = bearable*longestTrain + 1
	for _, c := range []struct {
		planes int
		behind [][2]int64 // what each worker sees of its neighbours in a go
		want   []int
	}{
		{30, [][2]int64{{0, things}, {0, 0}}, []int{0, 16, 30}},
		{30, [][2]int64{{0, 0}, {things, 0}}, []int{0, 14, 30}},
		{30, [][2]int64{{0, things - 1}, {0, 0}}, []int{0, 15, 30}},
		{30, [][2]int64{{0, 9 * things}, {9 * things, 0}}, []int{0, 15, 30}},
		{30, [][2]int64{{0, things}, {0, things}, {0, 0}}, []int{0, 11, 21, 30}},
		{30, [][2]int64{{0, 0}, {things, things}, {0, 0}}, []int{0, 9, 21, 30}},
		{2, [][2]int64{{0, things}, {0, 0}}, []int{0, 1, 2}},
	} {
		workers := len(c.behind)
		team := newTeam(workers, c.planes)
		w := &train{s: &solver{team: team}, longest: longestTrain, crews: make([]crew, workers)}
		for range 2 {
			for i, seen := range c.behind {
				for side, n := range seen {
					w.crews[i].ahead[side].Add(n)
				}
			}
			w.share(sharing / 2)
		}
		if got := spread(t, team); !slices.Equal(got, c.want) {
			t.Errorf("%d planes, behind by %v: shares begin at %v, want %v", c.planes, c.behind, got, c.want)
		}
		team.stop()
	}
}

// A worker that is done sees how much its neighbours have left, and says nothing of those that another turn is about.
func TestWhatIsLeftIsSeen(t *testing.T) {
	team := newTeam(3, 12)
	defer team.stop()
	w := &train{s: &solver{team: team}, longest: longestTrain, crews: make([]crew, 3), slabs: make([]slab, 3)}
	w.slabs[0].next.Store(pack(7, 3, 90))
	w.slabs[2].next.Store(pack(6, 3, 90))
	w.note(1, 7)
	w.slabs[2].next.Store(pack(7, 80, 90))
	w.note(1, 7)
	w.note(0, 7)
	for side, want := range []int64{2 * 87, 10} {
		if got := w.crews[1].ahead[side].Load(); got != want {
			t.Errorf("side %d is behind by %d, want %d", side, got, want)
		}
	}
	if got := w.crews[0].ahead[0].Load(); got != 0 {
		t.Errorf("nobody is behind by %d", got)
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
		return cameTo(m)
	}
	want := run(false)
	for i, v := range run(true) {
		if math.Float64bits(v) != math.Float64bits(want[i]) {
			t.Fatalf("number %d is %v, with shares that stay %v", i, v, want[i])
		}
	}
}
