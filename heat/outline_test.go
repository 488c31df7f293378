package heat

import (
	"math"
	"slices"
	"testing"

	"emberbank/block"

	"pgregory.net/rapid"
)

// Rows by an outline, and what faces lose in them, are those over all cells but for rounding (of a face whose temperature is given the small
// difference of two large flows): a probe that follows a front has every row go over all cells.
func TestRowsByAnOutlineAreRowsOverAllCells(t *testing.T) {
	var drawn, outlined, plain, lots, summed, curved, groups int
	rapid.Check(t, func(q *rapid.T) {
		p := drawRig(q, options{melting: true, water: rapid.Bool().Draw(q, "wet"), light: true, glass: rapid.Bool().Draw(q, "glazed"), sources: true})
		if sharp(&p) {
			p.Receiver.Media[0].Liquidus += 2
		}
		if rapid.Bool().Draw(q, "heat capacity varies") {
			m := &p.Receiver.Media[0]
			c := m.HeatCapacity.At(300)
			m.HeatCapacity, m.HeatCapacityMelted = slanting(250, c, 800, 1.5*c), slanting(250, c, 800, 1.5*c)
		}
		size := p.Receiver.Block.Max
		p.Probes = []Probe{{Name: "inside", Kind: Sensor, At: block.Point{0.4 * size[0], 0.3 * size[1], 0.6 * size[2]}, Lag: 5, Immersion: 0.9}}
		p.every(1, 60)
		var shortSeen, longSeen []float64 // J, K
		look := func(at *[]float64) func(Sight) {
			return func(s Sight) {
				*at = append(*at, s.Books().Latent)
				*at = append(*at, s.Field().Temperature...)
			}
		}
		p.Seen = look(&shortSeen)
		short := solve(quiet{t, q}, p)
		with := p
		with.Seen = look(&longSeen)
		with.Probes = append(slices.Clone(p.Probes), Probe{Name: "front", Kind: Front, At: block.Point{0, 0.5 * size[1], 0.5 * size[2]}, To: block.Point{size[0], 0.5 * size[1], 0.5 * size[2]}})
		long := solve(quiet{t, q}, with)
		if len(short.History.Time) != len(long.History.Time) || len(short.History.Columns)+1 != len(long.History.Columns) {
			q.Fatalf("%d rows of %d columns, and %d of %d by outlines", len(long.History.Time), len(long.History.Columns), len(short.History.Time), len(short.History.Columns))
		}
		for i := range short.History.Columns {
			c := &long.History.Columns[i]
			scale := 0.0
			for _, v := range c.Values {
				if !math.IsNaN(v) {
					scale = math.Max(scale, math.Abs(v))
				}
			}
			for row, v := range c.Values {
				if got := short.History.Columns[i].Values[row]; !(math.Abs(got-v) <= 1e-8*scale || math.IsNaN(got) && math.IsNaN(v)) {
					q.Fatalf("%s at %g s is %.15g by an outline, %.15g over all cells", c.Name, long.History.Time[row], got, v)
				}
			}
		}
		if len(shortSeen) != len(longSeen) {
			q.Fatalf("%d numbers were seen, %d by outlines", len(longSeen), len(shortSeen))
		}
		for i, v := range longSeen {
			if got := shortSeen[i]; !(math.Abs(got-v) <= 1e-8*math.Max(math.Abs(v), 1e3) || math.IsNaN(got) && math.IsNaN(v)) {
				q.Fatalf("number %d that is seen of cells is %.15g by an outline, %.15g over all cells", i, got, v)
			}
		}
		p.Seen = nil
		m, err := newMarch(&p)
		if err != nil {
			q.Fatal(err)
		}
		defer m.s.team.stop()
		if _, err := m.run(t.Context()); err != nil {
			q.Fatal(err)
		}
		o := &m.rec.tally.outline
		drawn++
		if o.planes == nil {
			return
		}
		outlined++
		for _, is := range o.plain {
			lots++
			if is {
				plain++
			}
		}
		for i, is := range o.facing.summed {
			groups++
			if is {
				summed++
				if g := &m.skin.groups[i]; m.skin.pulls.p2[g.from] != 0 {
					curved++
				}
			}
		}
	})
	if drawn > 20 && (outlined < drawn/4 || plain == 0 || plain == lots) {
		t.Errorf("of %d rigs %d had an outline, in their last one %d of %d lots were plain: the draws tell nothing", drawn, outlined, plain, lots)
	}
	if drawn > 20 && (curved == 0 || summed == groups) {
		t.Errorf("of %d groups of faces %d were summed, %d of these radiate: the draws tell nothing", groups, summed, curved)
	}
}

// Rows sum up the faces behind a dark window, or, where a limit is set to the hottest of them or to its medium, read each.
func TestFacesBehindAWindowAreReadWhereTheHottestCounts(t *testing.T) {
	for _, c := range []struct {
		name string
		set  func(p *Problem)
		read bool
	}{
		{"no limit", func(*Problem) {}, false},
		{"a limit of the window", func(p *Problem) { p.Receiver.Window.ServiceLimit = 2000 }, true},
		{"a limit of the medium", func(p *Problem) { p.Receiver.Media[0].ServiceLimit = 2000 }, true},
	} {
		p := b1(1)
		c.set(&p)
		m, err := newMarch(&p)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := m.run(t.Context()); err != nil {
			t.Fatal(err)
		}
		m.s.team.stop()
		groups := 0
		for q := range m.skin.groups {
			if m.skin.behindWindow(&m.skin.groups[q]) {
				groups++
				if got := !m.rec.tally.outline.facing.summed[q]; got != c.read {
					t.Fatalf("%s: a group behind the window is read: %v", c.name, got)
				}
			}
		}
		if groups == 0 {
			t.Error("there is no window")
		}
	}
}
