package block

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawLayout is a block in layers of insulation and a jacket, with a foot, and tubes in it.
func drawLayout(t *rapid.T) Layout {
	var l Layout
	length := func(name string, lo, hi float64) float64 {
		return math.Round(rapid.Float64Range(lo, hi).Draw(t, name)*1e4) / 1e4
	}
	for a := range l.Core.Max {
		l.Core.Max[a] = length("block", 0.1, 0.5)
	}
	body := l.Core
	l.Boxes = []Box{body}
	for range rapid.IntRange(0, 3).Draw(t, "layers") {
		thick := rapid.SampledFrom([]float64{0.0005, 0.005, 0.02, 0.05, 0.2}).Draw(t, "layer")
		for a := range body.Min {
			body.Min[a] -= thick
			body.Max[a] += thick
		}
		l.Boxes = append([]Box{body}, l.Boxes...)
	}
	l.Body = body
	axis := Axis(rapid.IntRange(0, 2).Draw(t, "axis"))
	for range rapid.IntRange(0, 6).Draw(t, "tubes") {
		var at Point
		for a := range at {
			at[a] = l.Core.Max[a] * (0.1 + 0.8*math.Round(rapid.Float64Range(0, 1).Draw(t, "place")*20)/20)
		}
		l.Lines = append(l.Lines, Line{Axis: axis, At: at, From: l.Body.Min[axis], To: l.Body.Max[axis], Diameter: 0.008})
	}
	if rapid.Bool().Draw(t, "foot") {
		foot := Box{Point{0.02, 0.03, l.Body.Min[2]}, Point{0.04, 0.06, 0}}
		if foot.Max[2] > foot.Min[2] {
			l.Boxes = append(l.Boxes, foot)
		}
	}
	return l
}

func TestEveryFaceIsALine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		g, _, err := Lay(l)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range append(l.Boxes, l.Body, l.Core) {
			for a := range b.Min {
				for _, x := range []float64{b.Min[a], b.Max[a]} {
					if !nearLine(g.Lines[a], x, sameFace) {
						t.Fatalf("face at %s %g m is no line of %v", Axis(a), x, g.Lines[a])
					}
				}
			}
		}
		for a := range g.Lines {
			if g.Lines[a][0] != l.Body.Min[a] || g.Lines[a][g.N(Axis(a))] != l.Body.Max[a] {
				t.Fatalf("the grid ends at %g m and %g m, the body at %g m and %g m", g.Lines[a][0], g.Lines[a][g.N(Axis(a))], l.Body.Min[a], l.Body.Max[a])
			}
			if !slices.IsSorted(g.Lines[a]) {
				t.Fatalf("lines do not rise: %v", g.Lines[a])
			}
		}
	})
}

func nearLine(lines []float64, x, slack float64) bool {
	return slices.ContainsFunc(lines, func(y float64) bool { return math.Abs(y-x) <= slack })
}

func TestTubesSitAtTheCentreOfNearEqualCells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		g, warnings, err := Lay(l)
		if err != nil {
			t.Fatal(err)
		}
		if len(warnings) > 0 {
			return
		}
		for _, tube := range l.Lines {
			u, v := across(tube.Axis)
			for _, a := range []Axis{u, v} {
				i := g.Find(a, tube.At[a])
				w := g.Size(a, i)
				if off := math.Abs(g.Centre(a, i) - tube.At[a]); off > 1e-4*w {
					t.Fatalf("tube at %s %g m stands %g of a cell beside its centre", a, tube.At[a], off/w)
				}
				for _, j := range []int{i - 1, i + 1} {
					if j < 0 || j >= g.N(a) {
						continue
					}
					if r := g.Size(a, j) / w; r > maxBeside*1.001 || r < 1/(maxBeside*1.001) {
						t.Fatalf("beside the tube at %s %g m stands a cell of %g its width: %v", a, tube.At[a], r, g.Lines[a])
					}
				}
			}
		}
	})
}

func TestNeighboursDifferByLittleButForAThinJacket(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		g, warnings, err := Lay(l)
		if err != nil {
			t.Fatal(err)
		}
		if len(warnings) > 0 {
			return
		}
		for a := range g.Lines {
			for i := 0; i+1 < g.N(Axis(a)); i++ {
				w, v := g.Size(Axis(a), i), g.Size(Axis(a), i+1)
				if math.Min(w, v) < 0.00051 { // the jacket
					continue
				}
				if r := math.Max(w/v, v/w); r > maxRatio*1.001 {
					t.Fatalf("cells %d and %d along %s differ by %g: %v", i, i+1, Axis(a), r, g.Lines[a])
				}
			}
		}
	})
}

func TestLayersHaveTheirCellsAndAThinJacketOne(t *testing.T) {
	core := Box{Point{0, 0, 0}, Point{0.2, 0.3, 0.3}}
	body := Box{Point{0, -0.0505, -0.0805}, Point{0.2505, 0.3505, 0.3805}}
	shell := Box{Point{0, -0.05, -0.08}, Point{0.25, 0.35, 0.38}}
	for _, per := range []int{0, 3, 5} {
		g, w, err := Lay(Layout{Body: body, Core: core, Boxes: []Box{body, shell, core}, PerLayer: per})
		if err != nil || len(w) > 0 {
			t.Fatal(err, w)
		}
		least := per
		if per == 0 {
			least = 3
		}
		for a := range g.Lines {
			between := func(lo, hi float64) int {
				from, to := g.centresIn(Axis(a), lo, hi)
				return to - from
			}
			if n := between(shell.Max[a], body.Max[a]); n != 1 {
				t.Errorf("%d cells through the jacket along %s", n, Axis(a))
			}
			if n := between(core.Max[a], shell.Max[a]); n < least {
				t.Errorf("%d cells through the insulation along %s, want %d", n, Axis(a), least)
			}
			if n := between(core.Min[a], core.Max[a]); n < 12 || n > 24 {
				t.Errorf("%d cells across the block along %s, want 12 to 24", n, Axis(a))
			}
		}
	}
}

func TestRefineRaisesCountsByAboutItsFactor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		r := rapid.SampledFrom([]float64{1.3, 1.5, 2}).Draw(t, "refine")
		g, _, err := Lay(l)
		if err != nil {
			t.Fatal(err)
		}
		l.Refine = r
		f, _, err := Lay(l)
		if err != nil {
			t.Fatal(err)
		}
		for a := range g.Lines {
			n, m := g.N(Axis(a)), f.N(Axis(a))
			// A layer of one cell stays one, and a count of three rounds to four or five.
			if q := float64(m) / float64(n) / r; q < 0.75 || q > 1.35 || m <= n {
				t.Fatalf("%d cells along %s become %d, at a factor of %g: %v %v", n, Axis(a), m, r, g.Lines[a], f.Lines[a])
			}
		}
	})
}

func TestMirroredBodyHasTheMirroredGridToTheLastBit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		m := l
		m.Body, m.Core = mirrored(l.Body), mirrored(l.Core)
		m.Boxes, m.Lines = nil, nil
		for _, b := range l.Boxes {
			m.Boxes = append(m.Boxes, mirrored(b))
		}
		for _, tube := range slices.Backward(l.Lines) {
			for a := range tube.At {
				tube.At[a] = -tube.At[a]
			}
			tube.From, tube.To = -tube.To, -tube.From
			m.Lines = append(m.Lines, tube)
		}
		g, _, err := Lay(l)
		if err != nil {
			t.Fatal(err)
		}
		h, _, err := Lay(m)
		if err != nil {
			t.Fatal(err)
		}
		for a := range g.Lines {
			n := g.N(Axis(a))
			if h.N(Axis(a)) != n {
				t.Fatalf("%d cells along %s, mirrored %d", n, Axis(a), h.N(Axis(a)))
			}
			for i, x := range g.Lines[a] {
				if y := -h.Lines[a][n-i]; x != y {
					t.Fatalf("line %d along %s at %.17g m, mirrored %.17g m", i, Axis(a), x, y)
				}
			}
		}
	})
}

func mirrored(b Box) (m Box) {
	for a := range b.Min {
		m.Min[a], m.Max[a] = -b.Max[a], -b.Min[a]
	}
	return m
}

// A block whose halves are alike, given in coordinates that do not show it to the last digit.
func TestSymmetricBodyIsLaidSymmetrically(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.Float64Range(0.1, 0.7).Draw(t, "width")
		core := Box{Point{0, 0, 0}, Point{w, w, w}}
		x := w * rapid.Float64Range(0.1, 0.4).Draw(t, "place")
		g, _, err := Lay(Layout{Body: core, Core: core, Lines: []Line{
			{Axis: Depth, At: Point{0, x, x}, To: w, Diameter: 0.01},
			{Axis: Depth, At: Point{0, w - x, w - x}, To: w, Diameter: 0.01},
		}})
		if err != nil {
			t.Fatal(err)
		}
		for a := range g.Lines {
			n := g.N(Axis(a))
			for i := range g.Lines[a] {
				if d := g.Lines[a][i] + g.Lines[a][n-i] - w; math.Abs(d) > 1e-11 {
					t.Fatalf("lines %d and %d along %s are off their mirror image by %g m", i, n-i, Axis(a), d)
				}
			}
		}
	})
}

func TestCloseFacesMergeAndAxesOnFacesWarn(t *testing.T) {
	core := Box{Point{0, 0, 0}, Point{0.2, 0.2, 0.2}}
	near := core
	near.Max[1] = 0.1
	off := near
	off.Max[1] = 0.10003
	g, w, err := Lay(Layout{Body: core, Core: core, Boxes: []Box{core, near, off}})
	if err != nil || len(w) != 1 {
		t.Fatalf("want one warning of merged faces, got %q, %v", w, err)
	}
	if !nearLine(g.Lines[1], 0.1, 0) {
		t.Errorf("the first of two close faces is no line: %v", g.Lines[1])
	}
	_, w, err = Lay(Layout{Body: core, Core: core, Boxes: []Box{core, near}, Lines: []Line{{Axis: Depth, At: Point{0, 0.1, 0.05}, To: 0.2, Diameter: 0.01}}})
	if err != nil || len(w) != 1 {
		t.Fatalf("want one warning of an axis on a face, got %q, %v", w, err)
	}
}

func TestTubesAboveFourFifthsOfTheirSpacingWarn(t *testing.T) {
	core := Box{Point{0, 0, 0}, Point{0.2, 0.2, 0.2}}
	for _, c := range []struct {
		place, diameter float64
		warnings        int
	}{{0.1, 0.16, 0}, {0.1, 0.17, 1}, {0.02, 0.03, 0}, {0.02, 0.035, 1}} {
		_, w, err := Lay(Layout{Body: core, Core: core, Lines: []Line{{Axis: Depth, At: Point{0, c.place, 0.1}, To: 0.2, Diameter: c.diameter}}})
		if err != nil || len(w) != c.warnings {
			t.Errorf("tube of %g m at %g m: %q, %v", c.diameter, c.place, w, err)
		}
	}
	pair := []Line{{Axis: Depth, At: Point{0, 0.08, 0.1}, To: 0.2, Diameter: 0.017}, {Axis: Depth, At: Point{0, 0.1, 0.1}, To: 0.2, Diameter: 0.017}}
	if w := CloseTubes(core, pair); len(w) != 2 {
		t.Errorf("two tubes at 85 %% of their spacing: %q", w)
	}
}

func TestLaterBoxesReplaceEarlierOnes(t *testing.T) {
	g, err := Uniform(Box{Point{0, 0, 0}, Point{4, 4, 4}}, [3]int{4, 4, 4})
	if err != nil {
		t.Fatal(err)
	}
	part := Fill(g, []Box{{Point{0, 0, 0}, Point{4, 4, 3}}, {Point{1, 1, 1}, Point{2, 3, 4}}})
	count := map[int16]int{}
	for c, p := range part {
		count[p]++
		i, j, k := g.Place(c)
		if inside := i == 1 && (j == 1 || j == 2) && k >= 1; inside != (p == 1) {
			t.Errorf("cell %d %d %d belongs to part %d", i, j, k, p)
		}
	}
	if count[0] != 44 || count[1] != 6 || count[-1] != 14 {
		t.Errorf("cells by part: %v", count)
	}
}

func TestGivenLinesMustRise(t *testing.T) {
	good := []float64{0, 1, 2}
	for name, bad := range map[string][]float64{"falling": {0, 2, 1}, "twice": {0, 1, 1}, "one": {0}, "none": nil, "NaN": {0, math.NaN(), 1}} {
		if _, err := FromLines([3][]float64{good, bad, good}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := FromLines([3][]float64{good, good, good}); err != nil {
		t.Error(err)
	}
}
