package bench

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/receiver"
	"pgregory.net/rapid"
)

// drawnReceiver writes a receiver with random layers, jacket and passes in one circuit.
func drawnReceiver(t *rapid.T) (text string, passes int) {
	var b strings.Builder
	b.WriteString("receiver:\n  block: {depth: 200 mm, width: 300 mm, height: 300 mm, medium: aluminium}\n")
	layers := ""
	for _, side := range sideNames {
		n := rapid.IntRange(0, 3).Draw(t, "layers "+side)
		if n == 0 {
			continue
		}
		var list []string
		for range n {
			list = append(list, fmt.Sprintf("{material: mineral-wool, thickness: %d mm}", rapid.IntRange(1, 80).Draw(t, "thickness")))
		}
		layers += fmt.Sprintf("    %s: [%s]\n", side, strings.Join(list, ", "))
	}
	if layers != "" {
		b.WriteString("  insulation:\n" + layers)
	}
	if rapid.Bool().Draw(t, "jacket") {
		b.WriteString("  jacket: {material: stainless-304, thickness: 1 mm}\n")
	}
	if rapid.Bool().Draw(t, "window") {
		b.WriteString("  window: {width: 100 mm, height: 120 mm}\n")
	}
	b.WriteString("  tube: {outer: 12 mm, wall: 1 mm}\n  passes:\n")
	passes = rapid.IntRange(1, 9).Draw(t, "passes")
	along := rapid.SampledFrom([]string{"width", "height"}).Draw(t, "along")
	across := map[string]string{"width": "height", "height": "width"}[along]
	order := rapid.Permutation([]int{0, 1, 2, 3, 4, 5, 6, 7, 8}).Draw(t, "order")
	var names []string
	for i := range passes {
		k := order[i]
		fmt.Fprintf(&b, "    - {along: %s, depth: %d mm, %s: %d mm}\n", along, 50+50*(k%3), across, 75+75*(k/3))
		names = append(names, fmt.Sprint(i+1))
	}
	fmt.Fprintf(&b, "  circuits: [{name: main, passes: [%s], enters: %s}]\n", strings.Join(names, ", "),
		rapid.SampledFrom([]string{"low", "high"}).Draw(t, "enters"))
	b.WriteString("until: 1 h\n")
	return b.String(), passes
}

func TestEveryDrawnReceiverHasNoGapsAndAConnectedCircuit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, passes := drawnReceiver(t)
		run, ps := LoadRun(one(text), "run.yaml", Options{})
		if ps.Failed() {
			t.Fatalf("%s\n%s", ps, text)
		}
		rec := &run.Problem.Receiver
		body := rec.Block
		for _, p := range rec.Parts {
			for a := range 3 {
				body.Min[a], body.Max[a] = min(body.Min[a], p.Box.Min[a]), max(body.Max[a], p.Box.Max[a])
			}
		}
		at := block.Point{}
		for a, name := range axisWords {
			f := rapid.Float64Range(0, 0.999999).Draw(t, name)
			at[a] = body.Min[a] + f*(body.Max[a]-body.Min[a])
		}
		found := false
		for _, p := range rec.Parts {
			found = found || p.Box.Contains(at)
		}
		if !found {
			t.Fatalf("nothing stands at %v", at)
		}
		checkCircuit(t, rec, &rec.Circuits[0], passes)
	})
}

// checkCircuit follows the water: every stretch begins where the one before it ends, lies along one direction, and
// the passes alternate.
func checkCircuit(t *rapid.T, rec *receiver.Receiver, c *receiver.Circuit, passes int) {
	seen, last, forward := 0, -1, 0.0
	for i, run := range c.Runs {
		along := 0
		for a := range 3 {
			if math.Abs(run.To[a]-run.From[a]) > 1e-12 {
				along++
			}
		}
		if along != 1 {
			t.Fatalf("stretch %d goes from %v to %v", i, run.From, run.To)
		}
		if run.Kind == receiver.RunPass {
			d := run.To[rec.Passes[run.Pass].Axis] - run.From[rec.Passes[run.Pass].Axis]
			if seen > 0 && d*forward >= 0 {
				t.Fatalf("pass %d runs the same way as the one before it", run.Pass)
			}
			seen, forward, last = seen+1, d, run.Pass
		}
		if run.Kind == receiver.RunBend && run.Pass != last {
			t.Fatalf("a bend behind pass %d counts to pass %d", last, run.Pass)
		}
		if i > 0 && run.From != c.Runs[i-1].To {
			// Without insulation on that side, ends are joined outside and the next pass simply begins.
			side := sideOf(rec, c.Runs[i-1].To)
			if run.Kind != receiver.RunPass || c.Runs[i-1].Kind != receiver.RunPass || insulated(rec, side) {
				t.Fatalf("stretch %d begins at %v, the one before it ends at %v", i, run.From, c.Runs[i-1].To)
			}
		}
	}
	if seen != passes {
		t.Fatalf("the circuit runs through %d passes, want %d", seen, passes)
	}
}

func sideOf(rec *receiver.Receiver, p block.Point) block.Side {
	for s := block.Front; s <= block.Top; s++ {
		edge := rec.Block.Min[s.Axis()]
		if s.Sign() > 0 {
			edge = rec.Block.Max[s.Axis()]
		}
		if math.Abs(p[s.Axis()]-edge) < 1e-12 {
			return s
		}
	}
	return -1
}

func insulated(rec *receiver.Receiver, s block.Side) bool {
	for _, p := range rec.Parts {
		if p.Name == s.String()+" layer 1" {
			return true
		}
	}
	return false
}

// TestMirroredLayersMirrorTheBody exchanges left and right, and bottom and top.
func TestMirroredLayersMirrorTheBody(t *testing.T) {
	swap := strings.NewReplacer("left", "right", "right", "left", "bottom", "top", "top", "bottom")
	rapid.Check(t, func(t *rapid.T) {
		text, _ := drawnReceiver(t)
		text = text[:strings.Index(text, "  tube:")] + "until: 1 h\n"
		a, ps := LoadRun(one(text), "run.yaml", Options{})
		b, other := LoadRun(one(swap.Replace(text)), "run.yaml", Options{})
		if ps.Failed() || other.Failed() {
			t.Fatalf("%s%s", ps, other)
		}
		mirrored := map[string]block.Box{}
		for _, p := range b.Problem.Receiver.Parts {
			m := p.Box
			for x := 1; x < 3; x++ {
				m.Min[x], m.Max[x] = round(0.3-p.Box.Max[x]), round(0.3-p.Box.Min[x])
			}
			mirrored[swap.Replace(p.Name)] = m
		}
		for _, p := range a.Problem.Receiver.Parts {
			m := mirrored[p.Name]
			for x := range 3 {
				if math.Abs(m.Min[x]-p.Box.Min[x]) > 1e-9 || math.Abs(m.Max[x]-p.Box.Max[x]) > 1e-9 {
					t.Fatalf("%s is %v, mirrored %v", p.Name, p.Box, m)
				}
			}
		}
	})
}
