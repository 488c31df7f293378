package heat

import (
	"context"
	"math"
	"testing"

	"emberbank/block"
	"emberbank/receiver"
)

// ranged is a bar of a metal that melts over so many kelvins from 420 °C on, at start (K), cooled at one end.
func ranged(over, start float64) Problem {
	m := plain(2100, 1000, 120)
	m.Latent, m.Solidus, m.Liquidus = 60e3, 420+zero, 420+zero+over
	p := cuboid(block.Point{0.2, 0.02, 0.02}, [3]int{40, 2, 2}, m)
	p.Initial = start
	p.cool(block.Back, 2000, 20+zero, 0)
	p.Tolerance = 0.5
	p.every(30, 600)
	return p
}

// whole marches with every block's error counted whole.
func whole(t *testing.T, p Problem) *Result {
	t.Helper()
	m, err := newMarch(&p)
	if err != nil {
		t.Fatal(err)
	}
	defer m.s.team.stop()
	for i := range m.s.coarse.ranges.share {
		m.s.coarse.ranges.share[i] = 1
	}
	r, err := m.run(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A melting range that is narrow shortens steps less than it did, and what they err by stays below the tolerance.
func TestANarrowMeltingRangeMakesFewerStepsAndStaysAccurate(t *testing.T) {
	for _, over := range []float64{1, 5, 20} {
		p := ranged(over, 460+zero)
		p.FieldTimes = []float64{300}
		short, long := solve(t, p), whole(t, p)
		p.Tolerance = 0.005
		exact := solve(t, p)
		sum := 0.0
		for c, T := range short.Fields[0].Temperature {
			d := T - exact.Fields[0].Temperature[c]
			sum += d * d / float64(len(short.Fields[0].Temperature))
		}
		worst := 0.0
		for i, T := range values(t, short, "block mean") {
			worst = math.Max(worst, math.Abs(T-values(t, exact, "block mean")[i]))
		}
		t.Logf("over %g K: %d steps in place of %d; cells off by %.3f K (rms), the mean by %.3f K at most", over, short.Steps, long.Steps, math.Sqrt(sum), worst)
		if short.Steps >= long.Steps || math.Sqrt(sum) > 0.5 || worst > 0.5 {
			t.Errorf("over %g K: %d steps in place of %d; cells are off by %.3f K (rms), the mean by %.3f K", over, short.Steps, long.Steps, math.Sqrt(sum), worst)
		}
	}
}

// Where nothing melts, and where a medium melts over so wide a range that its capacity hardly jumps, errors count as they do anywhere:
// also where one part of a medium is solid and another molten.
func TestWhatDoesNotMeltCountsWhole(t *testing.T) {
	p := ranged(1, 380+zero)
	hot := p.Receiver.Block
	p.Receiver.Block.Max[0], p.Receiver.Parts[0].Box.Max[0] = 0.1, 0.1
	hot.Min[0] = 0.1
	p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{Name: "molten", Role: receiver.RoleInsulation, Box: hot, Medium: 0, Initial: 600 + zero})
	p.Grid.Counts = [3]int{}
	p.Receiver.Media = append(p.Receiver.Media, plain(100, 1000, 0.01))
	gap := hot
	gap.Max[0] = 0.15
	p.Receiver.Parts[1].Box.Min[0] = 0.15
	p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{Name: "gap", Role: receiver.RoleInsulation, Box: gap, Medium: 1, Initial: math.NaN()})
	p.cool(block.Back, 20, 20+zero, 0)
	p.cool(block.Front, 2000, 20+zero, 0)
	p.every(10, 60)
	short, long := solve(t, p), whole(t, p)
	if short.Steps != long.Steps || short.Stages != long.Stages || last(values(t, short, "melted")) != 0 {
		t.Errorf("%d steps of %d stages, %d of %d where errors count whole", short.Steps, short.Stages, long.Steps, long.Stages)
	}
	q := ranged(200, 460+zero)
	m, err := newMarch(&q)
	if err != nil {
		t.Fatal(err)
	}
	defer m.s.team.stop()
	if got, want := m.s.coarse.ranges.share[0], 1/(1+60e3/(200*1000.0)); math.Abs(got-want) > 1e-9 { // cp over cp + L/ΔT
		t.Errorf("over 200 K errors count %g, wanted %g", got, want)
	}
}

// The blocks in which a medium melts are those that a look at each of their cells finds: in a body of two media with ranges, one
// without and a sheet of metal or none, as they are heated from below and cooled from above. Air does not melt, though its cells are
// kept at 20 °C, where a medium beside it would.
func TestBlocksInWhichAMediumMeltsAreFound(t *testing.T) {
	for _, c := range []struct{ sheet, air bool }{{}, {sheet: true}, {air: true}} {
		sheet := c.sheet
		p := ranged(1, 400+zero)
		box := p.Receiver.Block
		box.Max = block.Point{0.2, 0.06, 0.05}
		p.Receiver.Block, p.Receiver.Parts[0].Box = box, box
		p.Grid.Counts = [3]int{23, 9, 11}
		other := p.Receiver.Media[0]
		other.Solidus, other.Liquidus = 395+zero, 401+zero
		if c.air {
			other.Solidus, other.Liquidus = 10+zero, 30+zero
		}
		p.Receiver.Media = append(p.Receiver.Media, other, plain(2000, 900, 20))
		for i := range 3 {
			b := box
			b.Min[i], b.Max[i] = box.Max[i]*0.3, box.Max[i]*0.7
			p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{Name: string('a' + rune(i)), Role: receiver.RoleInsulation, Box: b, Medium: i, Initial: math.NaN()})
		}
		if c.air {
			lid := box
			lid.Min[2], lid.Max = box.Max[2], block.Point{box.Max[0] * 0.6, box.Max[1], box.Max[2] * 1.3}
			p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{Name: "lid", Role: receiver.RoleInsulation, Box: lid, Medium: 1, Initial: math.NaN()})
		}
		if sheet {
			steel := box
			steel.Min[2], steel.Max[2] = box.Max[2], box.Max[2]+6e-4
			p.Receiver.Media = append(p.Receiver.Media, plain(7800, 500, 1500))
			p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{Name: "sheet", Role: receiver.RoleInsulation, Box: steel, Medium: 3, Initial: math.NaN()})
			p.Grid.Counts = [3]int{}
			for i := range 3 {
				for at := 0.0; at < box.Max[i]+1e-9; at += box.Max[i] / 10 {
					p.Grid.Lines[i] = append(p.Grid.Lines[i], at)
				}
			}
			p.Grid.Lines[2] = append(p.Grid.Lines[2], box.Max[2]+2e-4, box.Max[2]+4e-4, steel.Max[2])
		}
		p.cool(block.Bottom, 9000, 700+zero, 0)
		p.cool(block.Top, 3000, 20+zero, 0)
		p.every(300, 300)
		m, err := newMarch(&p)
		if err != nil {
			t.Fatal(err)
		}
		defer m.s.team.stop()
		b, q := m.b, m.s.coarse
		beside := 0 // cells of air in blocks of the medium that melts about 20 °C
		for c := range b.n {
			i, j, k := b.g.Place(c)
			if b.medium[c] < 0 && q.medium[(q.k[k]*q.ny+q.j[j])*q.nx+q.i[i]] == 1 {
				beside++
			}
		}
		if c.air != (beside > 0) {
			t.Fatalf("the case does not test what it should: %d cells of air", beside)
		}
		found, blocks, seen := 0, 0, map[int16]bool{}
		m.p.Progress = func(float64) { // start and end of the step have changed places: that does not matter here
			want := make([]bool, len(q.even))
			for c := range b.n {
				i, j, k := b.g.Place(c)
				at := (q.k[k]*q.ny+q.j[j])*q.nx + q.i[i]
				if medium := b.medium[c]; medium >= 0 && q.medium[at] == medium && medium != 2 && b.rec.Media[medium].Latent > 0 {
					e := b.enthalpy[medium]
					if math.Max(m.s.y0[c], m.s.ya[c]) > e.Hs && math.Min(m.s.y0[c], m.s.ya[c]) < e.Hl {
						want[at] = true
						seen[medium] = true
					}
				}
			}
			columns := q.nx * q.ny
			for k, layer := range q.k {
				if k > 0 && q.k[k-1] == layer {
					continue
				}
				near := q.ranges.about(layer)
				some := false
				for column := range columns {
					at := layer*columns + column
					i, j := column%q.nx, column/q.nx
					beside := want[at]
					for _, d := range []struct {
						is   bool
						step int
					}{{i > 0, -1}, {i+1 < q.nx, 1}, {j > 0, -q.nx}, {j+1 < q.ny, q.nx}, {layer > 0, -columns}, {at+columns < len(want), columns}} {
						beside = beside || d.is && want[at+d.step]
					}
					some = some || beside
					if got := q.ranges.near(layer, i, j); got != beside {
						t.Fatalf("sheet %v, %g s: block %d or one beside it melts: %v, by its cells %v", sheet, m.t, at, got, beside)
					}
					if blocks++; want[at] {
						found++
					}
				}
				if some && !near {
					t.Fatalf("sheet %v, %g s: nothing melts about layer %d, by its cells something does", sheet, m.t, layer)
				}
			}
		}
		if _, err := m.run(context.Background()); err != nil {
			t.Fatal(err)
		}
		t.Logf("sheet %v: %d of %d blocks melted, %d steps", sheet, found, blocks, m.steps)
		if found < 100 || found > blocks/2 || len(seen) != 2 && !c.air || sheet == (m.s.thin == nil) {
			t.Errorf("the case does not test what it should: %d of %d blocks melted, of media %v; parts implicit: %v", found, blocks, seen, m.s.thin != nil)
		}
	}
}
