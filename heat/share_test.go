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

// Who is behind by more than is bearable hands planes on, half of those by which it is behind, down to its last; neighbours that see
// each other behind alike, or only a little, keep theirs.
func TestWhoIsBehindHandsPlanesOn(t *testing.T) {
	const (
		enough = int(bearable*sharing) + 1 // things
		six    = 6 * sharing
	)
	for _, c := range []struct {
		planes int
		behind [][2]int // by how many things each worker saw its neighbours behind
		want   []int
	}{
		{30, [][2]int{{0, enough}, {0, 0}}, []int{0, 16, 30}},
		{30, [][2]int{{0, 0}, {enough, 0}}, []int{0, 14, 30}},
		{30, [][2]int{{0, enough - 2}, {0, 0}}, []int{0, 15, 30}},
		{30, [][2]int{{0, six}, {six, 0}}, []int{0, 15, 30}},
		{30, [][2]int{{0, six}, {0, 0}}, []int{0, 18, 30}},
		{30, [][2]int{{0, enough}, {0, enough}, {0, 0}}, []int{0, 11, 21, 30}},
		{30, [][2]int{{0, 0}, {enough, enough}, {0, 0}}, []int{0, 9, 21, 30}},
		{3, [][2]int{{0, six}, {0, 0}}, []int{0, 2, 3}},
		{2, [][2]int{{0, six}, {0, 0}}, []int{0, 1, 2}},
	} {
		workers := len(c.behind)
		team := newTeam(workers, c.planes)
		w := &train{s: &solver{team: team}, longest: longestTrain, crews: make([]crew, workers)}
		for half := range 2 {
			for i, seen := range c.behind {
				for side, n := range seen {
					w.crews[i].ahead[side].Add(int64(n/2 + n%2*half))
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

// A worker that is done sees how much its neighbours have left, up to what counts of one meeting, and says nothing of those that
// another turn is about.
func TestWhatIsLeftIsSeen(t *testing.T) {
	const most = mostHeld * 2 * longestTrain
	team := newTeam(3, 12)
	defer team.stop()
	w := &train{s: &solver{team: team}, longest: longestTrain, crews: make([]crew, 3), slabs: make([]slab, 3)}
	w.slabs[0].next.Store(pack(7, 3, 8+most))
	w.slabs[2].next.Store(pack(6, 3, 90))
	w.note(1, 7)
	w.slabs[2].next.Store(pack(7, 80, 90))
	w.note(1, 7)
	w.note(0, 7)
	for side, want := range []int64{2 * most, 10} {
		if got := w.crews[1].ahead[side].Load(); got != want {
			t.Errorf("side %d is behind by %d, want %d", side, got, want)
		}
	}
	if got := w.crews[0].ahead[0].Load(); got != 0 {
		t.Errorf("nobody is behind by %d", got)
	}
}

// Of evaluations by themselves planes that nobody has begun are seen at sampled turns, up to what counts of one; from then on the one that
// had them left has fewer.
func TestPlanesLeftChangeHands(t *testing.T) {
	team := newTeam(2, 20)
	defer team.stop()
	w := &train{s: &solver{team: team}, longest: 1, crews: make([]crew, 2), slabs: make([]slab, 2)}
	for turn := uint64(1); turn <= sampled*sharing; turn++ {
		team.spans[1].v.Store(pack(turn, 14, 20))
		team.spans[0].v.Store(pack(turn-1, 0, 10)) // not begun: nothing is said of it
		w.left(0, turn)
		w.left(1, turn)
		if turn%sampled == 0 {
			w.share(1)
		}
		if got, want := w.crews[0].ahead[1].Load(), int64(mostHeld*(turn/sampled)); turn < sampled*sharing && got != want {
			t.Fatalf("after %d turns %d planes have been seen, wanted %d", turn, got, want)
		}
	}
	if got := spread(t, team); !slices.Equal(got, []int{0, 10 + mostHeld/2, 20}) {
		t.Errorf("shares begin at %v", got)
	}
}

// The number of a thing is that under which its slab's list has it, in both directions.
func TestNumberOfAThing(t *testing.T) {
	w := &train{longest: longestTrain}
	const lo, hi = 3, 10
	for _, up := range []bool{false, true} {
		b := &slab{up: up}
		for count := 1; count < 30; count++ {
			seen := 0
			for at := range w.things(hi-lo, count) {
				if th := w.thing(at, hi-lo, count); th.real(hi - lo) {
					seen++
					if got := w.number(th.stages(w), th.plane(b, lo, hi), b, lo, hi, count); got != at {
						t.Fatalf("up %v, thing %d of %d stages is found as %d", up, at, count, got)
					}
				}
			}
			if seen != count*(hi-lo) {
				t.Fatalf("%d of %d things", seen, count*(hi-lo))
			}
		}
	}
}

// A worker that waits sees by how much those beside it are behind what it waits for: once in a train, nothing of one that has done
// it, that has not begun or that another turn is about.
func TestWhoWaitsSeesWhoIsBehind(t *testing.T) {
	const turn, count = 7, 2 * longestTrain
	team := newTeam(3, 12)
	defer team.stop()
	w := &train{s: &solver{team: team}, longest: longestTrain, crews: make([]crew, 3), slabs: make([]slab, 3), done: make([]doneStages, 12)}
	w.cars.Store(count)
	for i := range w.slabs {
		w.slabs[i].up = i%2 == 1
	}
	all := w.things(4, count)
	low, high := thing{train: 1, cars: longestTrain, stage: 1, place: 3}, thing{train: 1, cars: longestTrain, stage: 1} // after the first of the train beside
	before, after := w.number(longestTrain, 3, &w.slabs[0], 0, 4, count), w.number(longestTrain, 8, &w.slabs[2], 8, 12, count)
	w.slabs[0].next.Store(pack(turn, before-20, all))
	w.slabs[2].next.Store(pack(turn, after-5, all))
	for side, wait := range []thing{low, high} {
		k, want := []int{4, 7}[side], [2]int64{}
		if got := wait.plane(&w.slabs[1], 4, 8); got != k {
			t.Fatalf("the case does not test what it should: plane %d", got)
		}
		want[side] = []int64{21, 6}[side]
		w.crews[1].heldAt.turn = 0
		w.held(1, 6, thing{train: 1, cars: longestTrain, stage: 1, place: 1}, turn) // waits for the worker's own
		w.held(1, k, wait, turn)
		w.held(1, k, wait, turn) // the same train
		for side := range want {
			if got := w.crews[1].ahead[side].Swap(0); got != want[side] {
				t.Errorf("waiting in plane %d: side %d is behind by %d, want %d", k, side, got, want[side])
			}
		}
	}
	w.done[3].n.Store(turn<<8 | longestTrain + 1)
	w.slabs[2].next.Store(pack(turn-1, 1, all))
	w.crews[1].heldAt.turn = 0
	w.held(1, 4, low, turn)
	w.held(1, 7, high, turn)
	for side := range 2 {
		if got := w.crews[1].ahead[side].Load(); got != 0 {
			t.Errorf("side %d is behind by %d that has done it, or not begun", side, got)
		}
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
