package receiver

import (
	"math"
	"testing"

	"emberbank/block"
	"emberbank/material"
)

func box(x0, x1, y0, y1, z0, z1 float64) block.Box {
	return block.Box{Min: block.Point{x0, y0, z0}, Max: block.Point{x1, y1, z1}}
}

// TestABillIsThatOfTheDrawing: a block of 1 m³ in a layer, a box that takes room of both, open air that takes room of the
// layer, a circuit of one pass with a lead, a pass of its own, and two bare line sinks, one of them in a
// circuit. Every number by hand.
func TestABillIsThatOfTheDrawing(t *testing.T) {
	r := &Receiver{
		Block: box(0, 1, 0, 1, 0, 1),
		Media: []material.Medium{{Name: "core", Density: 1000}, {Name: "wool", Density: 100}, {Name: "steel", Density: 8000}, {Name: "pane", Density: 2500}},
		Parts: []Part{
			{Name: "block", Role: RoleBlock, Box: box(0, 1, 0, 1, 0, 1), Medium: 0},
			{Name: "back layer 1", Role: RoleInsulation, Box: box(1, 2, 0, 1, 0, 1), Medium: 1},
			{Name: "foot", Role: RoleFixture, Box: box(0.9, 1.1, 0, 0.5, 0, 0.5), Medium: 2},
			{Name: "air", Role: RoleBox, Box: box(1.5, 2, 0.5, 1, 0, 1), Medium: -1},
		},
		Window: &Window{Opening: box(0, 0, 0.2, 0.7, 0.1, 0.5), Glass: &Glass{Thickness: 0.01, Medium: 3}},
		Passes: []Pass{
			{Name: "1", Axis: block.Depth, At: block.Point{0, 0.75, 0.25}, From: 0, To: 1, Outer: 0.1, Inner: 0.08, WallMedium: 2},
			{Name: "2", Axis: block.Width, At: block.Point{0.5, 0, 0.75}, From: 0, To: 1, Outer: 0.02, Inner: 0.02, WallMedium: -1, Fluid: 300},
			{Name: "3", Axis: block.Width, At: block.Point{0.25, 0, 0.75}, From: 0, To: 1, Line: 5, Fluid: 300},
			{Name: "4", Axis: block.Width, At: block.Point{0.25, 0, 0.25}, From: 0, To: 1, Line: 5, Fluid: 300, WallMedium: 2, Outer: 0.02},
		},
		Circuits: []Circuit{{Name: "main", Runs: []Run{
			{Kind: RunPass, Pass: 0, From: block.Point{0, 0.75, 0.25}, To: block.Point{1, 0.75, 0.25}},
			{Kind: RunLead, Pass: 0, From: block.Point{1.4, 0.75, 0.25}, To: block.Point{1, 0.75, 0.25}},
		}}, {Name: "sinks", Runs: []Run{
			{Kind: RunPass, Pass: 3, From: block.Point{0.25, 0, 0.25}, To: block.Point{0.25, 1, 0.25}},
		}}},
	}
	b := r.Bill()
	large, small := math.Pi/4*0.01, math.Pi/4*0.0004
	core, wool := 1-0.1*0.25-large-small, 1-0.1*0.25-0.25-0.4*large
	wall := math.Pi / 4 * (0.01 - 0.0064) * 1.4 * 8000
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"block", b.Parts[0].Volume, core},
		{"layer", b.Parts[1].Volume, wool},
		{"foot", b.Parts[2].Volume, 0.05},
		{"air", b.Parts[3].Volume, 0.25},
		{"air has no mass", b.Parts[3].Mass, 0},
		{"kinds of tubes", float64(len(b.Tubes)), 2},
		{"tube without a wall", b.Tubes[0].Length, 1},
		{"its mass", b.Tubes[0].Mass, 0},
		{"tube and lead", b.Tubes[1].Length, 1.4},
		{"its mass", b.Tubes[1].Mass, wall},
		{"passes", float64(b.Passes), 2},
		{"opening", b.Opening, 0.2},
		{"pane", b.Glass.Mass, 5},
		{"all", b.Mass(), 1000*core + 100*wool + 8000*0.05 + wall + 5},
	} {
		if math.Abs(c.got-c.want) > 1e-12*math.Max(1, math.Abs(c.want)) {
			t.Errorf("%s: %.15g, not %.15g", c.what, c.got, c.want)
		}
	}
	if empty := (&Receiver{}).Bill(); empty.Mass() != 0 || len(empty.Tubes) != 0 {
		t.Errorf("nothing weighs %+v", empty)
	}
}
