package heat

import (
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/duty"
)

// cautioned returns the caution of a kind, or fails.
func cautioned(t *testing.T, r *Result, kind string) Caution {
	t.Helper()
	for _, c := range r.Cautions {
		if c.Kind == kind {
			return c
		}
	}
	t.Fatalf("no caution of kind %q: %+v", kind, r.Cautions)
	return Caution{}
}

func TestWaterIntoAHotBlockAndAShutWetTubeRaiseCautions(t *testing.T) {
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{4, 4, 4}, plain(2000, 1000, 100))
	p.Initial = 250 + zero
	p.tube("1", block.Width, block.Point{0.05, 0, 0.05})
	p.circuit(0.01, 20+zero, 50e5, through(&p, 0, false))
	p.Duty.Switches.Water[0] = duty.Drained
	p.Duty.Events = []duty.Event{
		{At: 10, Name: "open", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Flowing)}}},
		{At: 20, Name: "shut", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Closed)}}},
	}
	p.every(10, 30)
	r := solve(t, p)
	c := cautioned(t, r, "water into hot tubes")
	closeTo(t, "time of wetting, s", c.At, 10, 1e-9)
	closeTo(t, "temperature at wetting", c.Value, 250+zero, 0.1)
	if !strings.Contains(c.Text, "250 °C") || !strings.Contains(c.Text, "licensed practice") || c.Source == "" {
		t.Errorf("the caution says %q (%s)", c.Text, c.Source)
	}
	c = cautioned(t, r, "closed wet tube")
	closeTo(t, "time of shutting, s", c.At, 20, 1e-9)
	if !strings.Contains(c.Text, "bar") {
		t.Errorf("the caution names no pressure: %q", c.Text)
	}
	// A block below 100 °C raises neither; that a tube shut full bursts all the same is another caution.
	p.Initial = 90 + zero
	for _, c := range solve(t, p).Cautions {
		if c.Kind != KindFull {
			t.Errorf("at 90 °C: %q", c.Text)
		}
	}
}

func TestHotSurfacesAndMediaRaiseCautionsWithTheirLargestValue(t *testing.T) {
	m := plain(2000, 1000, 100)
	m.Name, m.ServiceLimit, m.ServiceSource = "graphite", 400, "invented"
	m.OxidationOnset, m.OxidationSource = 420, "invented"
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{4, 4, 4}, m)
	p.Receiver.Parts[0].Generation = 2e6 // 1 K/s
	p.cool(block.Back, 1, 20+zero, 0)
	p.Receiver.Surfaces[block.Back].Touchable = true
	p.TouchLimit, p.TouchSource = 60+zero, "invented"
	p.every(10, 200)
	r := solve(t, p)
	for kind, limit := range map[string]float64{"service limit": 400, "oxidation": 420, "touch": 60 + zero} {
		c := cautioned(t, r, kind)
		closeTo(t, kind+": value", c.Value, 20+200+zero, 1)
		closeTo(t, kind+": limit", c.Limit, limit, 0)
		// First seen at the end of the step in which the limit is passed; generation alone lets steps grow long.
		if c.At < limit-293.15-0.5 || c.At > limit-293.15+100 {
			t.Errorf("%s first at %g s", kind, c.At)
		}
	}
	p.Until, p.Output = 30, []float64{0, 30}
	if r := solve(t, p); len(r.Cautions) != 0 {
		t.Errorf("at 50 °C: %+v", r.Cautions)
	}
}

func TestPropertiesUsedOutsideTheirRangeWarn(t *testing.T) {
	m := plain(2000, 1000, 0)
	m.Name = "brick"
	for a := range 3 {
		m.Conductivity[a] = slanting(300, 10, 400, 12)
		m.Conductivity[a].Hold = false
	}
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{3, 3, 3}, m)
	p.hold(block.Front, 500)
	p.every(10, 500)
	all := strings.Join(solve(t, p).Warnings, "\n")
	if !strings.Contains(all, "brick was used from") {
		t.Errorf("warnings: %q", all)
	}
}

// A steady state raises the cautions of its own temperatures, wherever it was sought from.
func TestASteadyStateRaisesTheCautionsOfItsTemperatures(t *testing.T) {
	m := plain(2000, 1000, 100)
	m.Name, m.ServiceLimit, m.ServiceSource = "graphite", 310, "invented"
	p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{4, 4, 4}, m)
	p.hold(block.Back, 362)
	p.Steady, p.Until, p.Output = true, 0, []float64{0}
	closeTo(t, "the caution's value", cautioned(t, solve(t, p), "service limit").Value, 362, 1)
}
