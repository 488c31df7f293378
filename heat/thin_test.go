package heat

import (
	"context"
	"math"
	"slices"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/receiver"
)

// sheeted is a block of 100 W/(m K) with a sheet of aluminium, 1 mm in three cells, behind it and beside it, so that
// the sheets meet in an edge, then insulation.
func sheeted() Problem {
	p := cuboid(block.Point{0.1, 0.1, 0.05}, [3]int{}, plain(2000, 1000, 100))
	p.Receiver.Media = append(p.Receiver.Media, plain(2700, 900, 230), plain(200, 1000, 0.05))
	add := func(medium int, lo, hi block.Point) {
		p.Receiver.Parts = append(p.Receiver.Parts, receiver.Part{
			Name: "layer", Role: receiver.RoleInsulation, Medium: medium, Initial: math.NaN(), Box: block.Box{Min: lo, Max: hi},
		})
	}
	add(1, block.Point{0.1, 0, 0}, block.Point{0.101, 0.101, 0.05})
	add(1, block.Point{0, 0.1, 0}, block.Point{0.1, 0.101, 0.05})
	add(2, block.Point{0.101, 0, 0}, block.Point{0.131, 0.131, 0.05})
	add(2, block.Point{0, 0.101, 0}, block.Point{0.101, 0.131, 0.05})
	across := []float64{0, 0.02, 0.04, 0.06, 0.08, 0.1, 0.1 + 1e-3/3, 0.1 + 2e-3/3, 0.101, 0.111, 0.121, 0.131}
	p.Grid.Lines = [3][]float64{across, across, {0, 0.025, 0.05}}
	p.Initial = 300
	p.hold(block.Front, 600)
	p.cool(block.Back, 10, 300, 0.8)
	p.cool(block.Right, 10, 300, 0.8)
	p.Until, p.Output, p.FieldTimes = 1800, []float64{0, 1800}, []float64{600, 1800}
	return p
}

func marchSheets(t *testing.T, p Problem, implicit bool) *Result {
	t.Helper()
	m, err := newMarch(&p)
	if err != nil {
		t.Fatal(err)
	}
	defer m.s.team.stop()
	if !implicit {
		m.judged = inf
	}
	r, err := m.run(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if implicit != (m.s.thin != nil) {
		t.Fatalf("implicit links: %v, wanted %v", m.s.thin != nil, implicit)
	}
	return r
}

// Thin sheets of metal ask for a quarter of a thousandth of the stages' length; implicit links lift that and change
// neither fields nor books.
func TestThinSheetsAreImplicitAndChangeNothing(t *testing.T) {
	p := sheeted()
	p.Tolerance = 0.01
	implicit, explicit := marchSheets(t, p, true), marchSheets(t, p, false)
	closes(t, implicit)
	for i := range implicit.Fields {
		a, b := implicit.Fields[i].Temperature, explicit.Fields[i].Temperature
		for c := range a {
			if !(math.Abs(a[c]-b[c]) <= 0.1) && !math.IsNaN(a[c]) { // K: both carry some steps' tolerance
				t.Fatalf("field %d, cell %d: %.6g K with implicit links, %.6g K without", i, c, a[c], b[c])
			}
		}
	}
	if 3*implicit.Stages > explicit.Stages {
		t.Errorf("%d stages with implicit links, %d without: less than a third was saved", implicit.Stages, explicit.Stages)
	}
}

// With implicit links the error, against explicit links alone, falls in proportion to the step or faster.
func TestImplicitLinksConvergeWithTheStep(t *testing.T) {
	final := func(tolerance float64, implicit bool) ([]float64, int) {
		p := sheeted()
		p.Tolerance = tolerance
		r := marchSheets(t, p, implicit)
		return r.Fields[0].Temperature, r.Steps
	}
	exact, _ := final(1e-3, false)
	off := func(T []float64) float64 {
		worst := 0.0
		for c := range T {
			if !math.IsNaN(T[c]) {
				worst = math.Max(worst, math.Abs(T[c]-exact[c]))
			}
		}
		return worst
	}
	coarse, few := final(0.3, true)
	fine, many := final(0.3/64, true)
	ratio := float64(many) / float64(few)
	if slope := slopeOf(off(coarse), off(fine), ratio); slope < 0.9 {
		t.Errorf("order %.2f from %d to %d steps (errors %.3g and %.3g K), wanted at least 1", slope, few, many, off(coarse), off(fine))
	}
	if off(coarse) > 0.3 {
		t.Errorf("off by %.3g K at a tolerance of 0.3 K a step", off(coarse))
	}
}

// Which links are implicit, and with which work, does not depend on the way round that a body is laid.
func TestThinPartsAreChosenAlikeOfAMirroredBody(t *testing.T) {
	for _, a := range []block.Axis{block.Width, block.Height} {
		p := clad()
		if a == block.Height { // gravity would turn over
			p.Duty.Tilt, p.Duty.Wind = duty.Signal{}, duty.Signal{}
			p.Receiver.Surfaces[block.Right].Film = receiver.Film{Kind: receiver.FilmFixed, Value: 10}
		}
		one, two := marchSheets(t, p, true), marchSheets(t, mirrored(p, a), true)
		if one.Steps != two.Steps || one.Stages != two.Stages {
			t.Errorf("along %s: %d steps and %d stages, mirrored %d and %d", a, one.Steps, one.Stages, two.Steps, two.Stages)
		}
		mirrors(t, one, two, a, 1e-6)
	}
}

// After a jump nothing foretells what parts, films and conductivities will do that are held over a step: the first is no
// longer than the fastest decay, that by strong links counted in. How far parts lag in a step bounds all others: with one step of
// 60 s a cell of the part was 0.46 K off, with steps that part means alone bound 0.31 K.
func TestPartsThatLagShortenTheStep(t *testing.T) {
	p := clad()
	m, err := newMarch(&p)
	if err != nil {
		t.Fatal(err)
	}
	defer m.s.team.stop()
	if err := m.step(p.Until); err != nil {
		t.Fatal(err)
	}
	if m.s.thin == nil || !(m.fastest > 10*m.rho) {
		t.Fatalf("the fastest decay is %.3g/s, without strong links %.3g/s: the case tests nothing", m.fastest, m.rho)
	}
	if m.last.tau > 2/m.fastest*(1+1e-9) {
		t.Errorf("the first step is %.3g s long, the fastest decay takes %.3g s", m.last.tau, 2/m.fastest)
	}
	usual := marchSheets(t, clad(), true)
	p = clad()
	p.Tolerance = 1e-5
	exact := marchSheets(t, p, true)
	for c, T := range exact.Fields[0].Temperature {
		if off := usual.Fields[0].Temperature[c] - T; !(math.Abs(off) <= 0.15) && !math.IsNaN(T) {
			t.Errorf("cell %d stands at %.6g K, %.3g K off what short steps give", c, T+off, off)
		}
	}
}

// A part that branches has one band, whichever way round and along whichever axes it lies.
func TestAPartHasOneBandAnyWayRound(t *testing.T) {
	const n = 5
	shape := [][3]int{{1, 1, 1}, {1, 2, 1}, {1, 3, 1}, {1, 1, 2}, {2, 1, 2}, {0, 1, 1}} // three arms, two of them of two members
	joined := [][2]int{{0, 1}, {1, 2}, {0, 3}, {3, 4}, {0, 5}}
	bands := map[int]bool{}
	given := map[int]bool{}
	width := func(cells []int32, links []strong) (most int) {
		for _, l := range links {
			d := slices.Index(cells, l.b) - slices.Index(cells, l.a)
			most = max(most, d, -d)
		}
		return most
	}
	for turn := range 8 {
		for _, axes := range [][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
			var cells []int32
			for _, at := range shape {
				var q [3]int
				for a := range 3 {
					if q[a] = at[axes[a]]; turn>>a&1 == 1 {
						q[a] = n - 1 - q[a]
					}
				}
				cells = append(cells, int32((q[2]*n+q[1])*n+q[0]))
			}
			var links []strong
			for _, l := range joined {
				links = append(links, strong{a: cells[l[0]], b: cells[l[1]]})
			}
			slices.Sort(cells)
			given[width(cells, links)] = true
			band := slim(cells, links, [2]int{n, n}, make([]int32, n*n*n))
			if got := width(cells, links); got != band {
				t.Errorf("turned by %d along %v: the order has a band of %d, told is %d", turn, axes, got, band)
			}
			bands[band] = true
		}
	}
	if len(bands) != 1 || !bands[2] || len(given) < 2 { // three arms at one member cannot have 1
		t.Errorf("bands %v, wanted 2; in the order of the grid alone %v", bands, given)
	}
}

// A plate is told to be too wide without sorting, a long strip and a closed ring are not.
func TestAPartThatSpreadsIsRefusedByOneWalk(t *testing.T) {
	strip := func(long, wide int) (cells []int32, links []strong) {
		for y := range long {
			for x := range wide {
				c := int32(y*wide + x)
				cells = append(cells, c)
				if x > 0 {
					links = append(links, strong{a: c - 1, b: c})
				}
				if y > 0 {
					links = append(links, strong{a: c - int32(wide), b: c})
				}
			}
		}
		return cells, links
	}
	refused := func(cells []int32, links []strong) bool { return spreads(cells, links, make([]int32, len(cells))) }
	if !refused(strip(20*widest, 20*widest)) {
		t.Error("a plate passes for narrow")
	}
	if refused(strip(500, widest)) {
		t.Error("a strip as wide as a band may be is refused")
	}
	cells, links := strip(100, 1)
	if refused(cells, append(links, strong{a: 0, b: 99})) {
		t.Error("a ring is refused")
	}
}
