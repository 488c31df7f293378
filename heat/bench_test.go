package heat

import (
	"fmt"
	"testing"

	"emberbank/block"
	"emberbank/kernel"
)

// freezing is a block of melt that freezes from its free faces and its passes, so that a step has conduction, faces,
// tubes and both phases to deal with. The counts of cells are along depth, width and height.
func freezing(counts [3]int) Problem {
	p := b1(1)
	p.Grid.Counts = counts
	m := &p.Receiver.Media[0]
	for a := range 3 { // conductances follow the temperature
		m.Conductivity[a], m.ConductivityMelted[a] = slanting(300, 130, 800, 110), slanting(300, 120, 800, 100)
	}
	p.every(1e6, 1e6)
	return p
}

// BenchmarkStep computes accepted steps of a freezing block, steps that were refused on the way included, on grids from
// what fits into a core's own cache to what does not fit into any. A step has as many stages as its length asks for,
// so the time of a cell and stage is the number to compare.
func BenchmarkStep(b *testing.B) {
	sets := []*kernel.Set{kernel.Plain()}
	if best := kernel.Best(); best.Name != sets[0].Name {
		sets = append(sets, best)
	}
	for _, counts := range [][3]int{{16, 16, 16}, {32, 32, 32}, {64, 64, 64}, {100, 100, 100}} {
		for _, set := range sets {
			for _, threads := range []int{1, 2} {
				cells := counts[block.Depth] * counts[block.Width] * counts[block.Height]
				b.Run(fmt.Sprintf("cells=%d/kernel=%s/threads=%d", cells, set.Name, threads), func(b *testing.B) {
					p := freezing(counts)
					p.Kernel, p.Threads = set, threads
					benchmarkSteps(b, &p)
				})
			}
		}
	}
}

// Before the clock runs, steps are made until they have found their length and all memory is had; after a lap of
// steps the block is set back to where the clock began, so that the time of a step does not depend on how many a
// benchmark makes.
const (
	warmUp = 30
	lap    = 200
	settle = 3 // steps after each setting back
)

func benchmarkSteps(b *testing.B, p *Problem) {
	m, err := newMarch(p)
	if err != nil {
		b.Fatal(err)
	}
	defer m.s.team.stop()
	m.apply(m.player.Fire(0))
	if err := m.water(true); err != nil {
		b.Fatal(err)
	}
	step := func() {
		if err := m.step(p.Until); err != nil {
			b.Fatal(err)
		}
	}
	for range warmUp {
		step()
	}
	y, at, wanted := append([]float64(nil), m.s.y0...), m.t, m.wanted
	b.ReportAllocs()
	stages, made := 0, 0
	before := m.s.evaluations
	for b.Loop() {
		if made++; made%lap == 0 { // the ledger does not close over this, and is not looked at
			b.StopTimer()
			stages += m.s.evaluations - before
			copy(m.s.y0, y)
			m.t, m.s.fresh = at, false
			m.restart()
			m.wanted = wanted
			for range settle {
				step()
			}
			before = m.s.evaluations
			b.StartTimer()
		}
		step()
	}
	stages += m.s.evaluations - before
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(stages)/float64(m.b.n), "ns/cell-stage")
	b.ReportMetric(float64(stages)/float64(made), "stages/step")
}
