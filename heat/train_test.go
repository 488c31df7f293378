package heat

import (
	"context"
	"fmt"
	"math"
	"testing"

	"emberbank/block"
	"emberbank/receiver"
)

// cameTo is what a march came to: steps, books and enthalpies.
func cameTo(m *march) []float64 {
	return append(append([]float64{float64(m.steps), m.rec.residual}, m.total...), m.s.y0...)
}

// However many stages go over the planes in one train, and however many threads share the planes, few or many: the march
// gives the same enthalpies and the same books, to the last bit. Those of 9 planes hold a medium that does not melt too, whose
// temperatures rise along slopes and are read when a step ends.
func TestTrainsOfStagesGiveTheBitsOfSingleStages(t *testing.T) {
	for _, cells := range [][3]int{{7, 5, 1}, {7, 5, 2}, {7, 5, 3}, {7, 5, 5}, {7, 5, 9}, {7, 5, 14}, {3, 2, 40}} {
		planes := cells[2]
		run := func(longest, threads int) []float64 {
			p := freezing(cells)
			p.Threads, p.Until = threads, 900
			if planes == 9 {
				felt := p.Receiver.Block
				felt.Max[block.Width] /= 3
				m := plain(300, 900, 0)
				for a := range 3 {
					m.Conductivity[a] = slanting(300, 0.5, 800, 2)
				}
				p.Receiver.Media = append(p.Receiver.Media, m)
				p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{Name: "felt", Role: receiver.RoleInsulation, Box: felt, Medium: 1, Initial: 300})
			}
			m, err := newMarch(&p)
			if err != nil {
				t.Fatal(err)
			}
			defer m.s.team.stop()
			if len(m.s.tubes.joined) > 0 || m.s.thin != nil {
				t.Fatal("the case does not test what it should: no trains")
			}
			if m.s.train.job.number == 0 {
				t.Error("trains may be left without a number, once other jobs have taken all")
			}
			m.s.train.longest = longest
			most, off := 0, 0.0
			m.p.Progress = func(float64) {
				most, off = max(most, m.s.train.count), max(off, m.s.mismatch())
				if longest > 1 && m.s.train.count != m.scheme.s+1 {
					t.Fatalf("%d evaluations of a step of %d stages go in trains", m.s.train.count, m.scheme.s)
				}
			}
			if _, err := m.run(context.Background()); err != nil {
				t.Fatal(err)
			}
			if m.s.train.count == 0 || m.s.evaluations < 3*longest {
				t.Fatalf("%d evaluations: the case does not test what it should", m.s.evaluations)
			}
			if planes == 9 && off == 0 {
				t.Error("the case does not test what it should: no slope was off")
			}
			if planes == 40 && longest > 1 && most <= longestTrain {
				t.Errorf("%d stages at most: no step has several trains", most)
			}
			if m.rec.residual > 1e-12 {
				t.Errorf("%d planes, trains of %d: the books are off by %v", planes, longest, m.rec.residual)
			}
			return cameTo(m)
		}
		want := run(1, 1)
		for _, longest := range []int{1, 2, 3, longestTrain} {
			for _, threads := range []int{1, 2, 3, 5} {
				t.Run(fmt.Sprintf("planes=%d/longest=%d/threads=%d", planes, longest, threads), func(t *testing.T) {
					for i, v := range run(longest, threads) {
						if math.Float64bits(v) != math.Float64bits(want[i]) {
							t.Fatalf("number %d is %v, by single stages of one thread %v", i, v, want[i])
						}
					}
				})
			}
		}
	}
}

// Where fine cells ask for as many stages as a step may have, steps are shortened: those of a bar that is heated at its end, and of one
// that is heated throughout, which is a better conductor at the middle of the shortened step than at that of the long one.
func TestStepsOfFineCellsAreShortened(t *testing.T) {
	for _, c := range []struct {
		cells      int
		hot        float64 // W/(m K) at 900 K; 400 at 300 K
		generation float64 // W/m³
		want       int     // stages at most
	}{{300, 360, 0, mostStages + 1}, {800, 40, 3e7, mostStages}} {
		m := plain(8900, 390, 0)
		for a := range 3 {
			m.Conductivity[a] = slanting(300, 400, 900, c.hot)
		}
		p := cuboid(block.Point{0.1, 0.02, 0.02}, [3]int{c.cells, 1, 1}, m)
		p.Initial = 300
		p.every(1e6, 40)
		p.Receiver.Parts[0].Generation = c.generation
		if c.generation == 0 {
			p.cool(block.Front, 300, 1000, 0)
			p.every(1e6, 1800)
		}
		march, err := newMarch(&p)
		if err != nil {
			t.Fatal(err)
		}
		defer march.s.team.stop()
		most := 0
		march.p.Progress = func(float64) { most = max(most, march.scheme.s) }
		r, err := march.run(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if most != c.want || r.Residual > 1e-9 {
			t.Errorf("%d stages at most in %d steps, want %d; the books are off by %g", most, march.steps, c.want, r.Residual)
		}
		if c.generation > 0 {
			closeTo(t, "mean after 40 s, K", last(values(t, r, "block mean")), 300+40*c.generation/(8900*390), 1e-3)
		}
	}
}

// Trains are short where that keeps them in a core's own cache, and long where they spare the memory.
func TestTrainsAreAsLongAsCachesAllow(t *testing.T) {
	for _, c := range []struct{ cells, plane, want int }{
		{5948, 270, 8}, {36000, 1200, 6}, {100548, 2394, 2}, {160000, 4000, 2}, {288000, 4800, longestTrain}, {1002001, 11011, longestTrain},
	} {
		if got := trainOf(c.cells, c.plane); got != c.want {
			t.Errorf("%d cells in planes of %d: trains of %d, want %d", c.cells, c.plane, got, c.want)
		}
	}
}

// A slab of very many planes has more things to do in a step than its word can count: then they go in several goes.
func TestThingsFitIntoASlabsWord(t *testing.T) {
	team := newTeam(1, 4500)
	defer team.stop()
	w := &train{s: &solver{team: team}, longest: longestTrain, slabs: make([]slab, 1)}
	for count := 1; count <= mostStages+2; count++ {
		fit := w.fitting(count)
		if n := w.things(4500, fit); n > mostThings || fit < count && fit%longestTrain != 0 || fit < 1 {
			t.Fatalf("of %d stages %d go at once, %d things", count, fit, n)
		}
		if fit < count && w.things(4500, fit+longestTrain) <= mostThings {
			t.Fatalf("of %d stages only %d go at once", count, fit)
		}
	}
	if w.fitting(mostStages+2) == mostStages+2 {
		t.Error("the case does not test what it should: all fit")
	}

	run := func(longest int) []float64 {
		p := freezing([3]int{2, 2, 4500})
		p.Threads, p.Until = 1, 6
		m, err := newMarch(&p)
		if err != nil {
			t.Fatal(err)
		}
		defer m.s.team.stop()
		m.s.train.longest = longest
		goes, stages := 0, 0
		m.p.Progress = func(float64) { goes, stages = max(goes, m.s.train.count), max(stages, m.scheme.s) }
		if _, err := m.run(context.Background()); err != nil {
			t.Fatal(err)
		}
		if longest > 1 && goes >= stages-1 {
			t.Errorf("%d stages in a step, %d at once: the case does not test what it should", stages, goes)
		}
		return cameTo(m)
	}
	want := run(1)
	for i, v := range run(longestTrain) {
		if math.Float64bits(v) != math.Float64bits(want[i]) {
			t.Fatalf("number %d is %v, by single stages %v", i, v, want[i])
		}
	}
}
