package bench

import (
	"strings"
	"testing"
	"testing/fstest"
)

// TestOneSlipIsToldOnceAndWhereItIs types what people mistype into a run that is in order, and asks for exactly
// one message, at the place of the slip, with the word that mends it.
func TestOneSlipIsToldOnceAndWhereItIs(t *testing.T) {
	const sound = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 120 mm, width: 240 mm, height: 240 mm, medium: graphite-isotropic}
  insulation: {all: [{material: mineral-wool, thickness: 60 mm}]}
  tube: {outer: 10 mm, wall: 1 mm}
  passes:
    - {along: height, depth: 80 mm, width: [60 mm, 120 mm, 180 mm]}
  circuits:
    - {name: garden, passes: [1, 2, 3]}
  window: {}
duty:
  light: {power: 2 kW}
  ambient: {file: air.csv, column: "air [degC]"}
  water:
    garden: {flow: 90 kg/h, inlet: 12 degC}
until: 1 h
probes:
  - {name: core, depth: 60 mm, width: 120 mm, height: 120 mm}
`
	air := "time [s],air [degC]\n0,20\n100,21\n"
	check := func(run, air string) Problems {
		return Check(fstest.MapFS{"run.yaml": {Data: []byte(run)}, "air.csv": {Data: []byte(air)}}, "run.yaml")
	}
	if ps := check(sound, air); len(ps) > 0 {
		t.Fatalf("the run itself is not in order:\n%s", ps)
	}
	for _, c := range []struct{ slip, old, now, field, says, fix string }{
		{"decimal comma in braces", "inlet: 12 degC", "inlet: 12,5 degC", "duty.water.garden.inlet", `"12,5 degC"`, "12.5 degC"},
		{"decimal comma in a key that is needed", "depth: 120 mm", "depth: 120,5 mm", "receiver.block.depth", `"120,5 mm"`, "120.5 mm"},
		{"needed key mistyped", "thickness: 60", "thickenss: 60", "receiver.insulation.all.thickenss", "not a known key", `"thickness"`},
		{"words of a material in another order", "graphite-isotropic", "isotropic graphite", "receiver.block.medium", "no material of that name", `"graphite-isotropic"`},
		{"material that nothing is like", "graphite-isotropic", "unobtainium", "receiver.block.medium", "no material of that name", "emberbank materials"},
		{"lattice with two passes in one place", "120 mm, 180 mm]", "65 mm, 180 mm]", "receiver.passes[1].width[2]", "pass 2 overlaps pass 1", "move one"},
		{"lattice that leaves the block", "180 mm]", "280 mm]", "receiver.passes[1].width[3]", "pass 3 leaves the block", "inwards"},
		{"pass too deep", "depth: 80 mm", "depth: 118 mm", "receiver.passes[1].depth", "pass 1 leaves the block", "inwards"},
		{"kg/s for kg/h", "90 kg/h", "90 kg/s", "duty.water.garden.flow", "m/s in a bore of 8 mm", "kg/h"},
		{"gauge for absolute", "flow: 90 kg/h,", "pressure: 3 psi, flow: 90 kg/h,", "duty.water.garden.pressure", "below the air's pressure", "Then give 1.22"},
		{"kg/h for kg/s", "90 kg/h", "0.025 kg/h", "duty.water.garden.flow", "m/s in a bore of 8 mm", "kg/h"},
		{"inlet and outlet swapped", "flow: 90 kg/h, inlet: 12 degC", "hold outlet: {at: 12 degC, between: [0.01 kg/s, 0.1 kg/s]}, inlet: 40 degC", "duty.water.garden.hold outlet.at", "never enters colder than 40 degC", "exchange"},
		{"temperature held where water boils", "flow: 90 kg/h,", "pressure: 3 bar, hold outlet: {at: 133.5 degC, between: [1 kg/h, 90 kg/h]},", "duty.water.garden.hold outlet.at", "water boils at 133.5 degC", "hold quality"},
		{"circuit mistyped in the duty", "    garden:", "    gadren:", "duty.water.gadren", "no circuit called", `"garden"`},
		{"probe called as a column", "name: core", "name: block mean", "probes[1].name", "for something else", "another name"},
		{"probe called as an outlet", "name: core", "name: outlet garden", "probes[1].name", "for something else", "another name"},
		{"probe called as a circuit's steam", "name: core", "name: steam garden", "probes[1].name", "for something else", "another name"},
		{"MW for kW", "power: 2 kW", "power: 2 MW", "duty.light.power", "kW/m2 on the opening", "MW"},
		{"mW for kW", "power: 2 kW", "power: 2 mW", "duty.light.power", "kW/m2 on the opening", "kW"},
		{"column without its unit", `"air [degC]"`, `air`, "duty.ambient.column", "no column", `"air [degC]"`},
	} {
		t.Run(c.slip, func(t *testing.T) {
			run := strings.Replace(sound, c.old, c.now, 1)
			if run == sound {
				t.Fatalf("%q is not in the run", c.old)
			}
			ps := check(run, air)
			told := map[string]bool{} // a lattice may be wrong in several passes at one place
			for _, p := range ps {
				told[p.Place()] = true
			}
			if len(told) != 1 {
				t.Fatalf("told at %d places, want one:\n%s", len(told), ps)
			}
			p := ps[0]
			if p.Field != c.field && p.Field != strings.Replace(c.field, "all.", "all[1].", 1) {
				t.Errorf("field %q, want %q", p.Field, c.field)
			}
			if !strings.Contains(p.Message, c.says) {
				t.Errorf("it says %q, want %q", p.Message, c.says)
			}
			if !strings.Contains(p.Fix, c.fix) {
				t.Errorf("the fix is %q, want %q in it", p.Fix, c.fix)
			}
		})
	}
	ps := check(sound, strings.Replace(air, "time [s]", "time", 1))
	if len(ps) != 1 || !strings.Contains(ps[0].Fix, `"time [s]"`) {
		t.Errorf("a heading without unit is not told how to write it:\n%s", ps)
	}
}
