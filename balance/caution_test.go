package balance

import (
	"math"
	"strings"
	"testing"
)

// TestEachDangerStandsInThePhaseThatShowsItWorst heats a made-up block of 40 kJ/K to some 500 °C, drains it while it is
// hot, and asks where the cautions stand.
func TestEachDangerStandsInThePhaseThatShowsItWorst(t *testing.T) {
	m := make1(circumstances{seed: 1, every: 30})
	m.in.Quick = true
	m.in.Melting = []Melts{{"block", "tin", 505.08}, {"block", "copper", 1358}}
	r, err := Reduce(m.in)
	if err != nil {
		t.Fatal(err)
	}
	core := m.in.values(0)
	hottest, entering := math.Inf(-1), 0.0
	for k, v := range core {
		hottest = math.Max(hottest, v)
		if entering == 0 && m.in.values(3)[k] > 0.01 {
			entering = v
		}
	}
	got := map[string]Kind{}
	for _, p := range r.Phases {
		for _, c := range p.Cautions {
			if _, twice := got[c.Kind]; twice {
				t.Errorf("%s is told twice", c.Kind)
			}
			got[c.Kind] = p.Kind
			want := hottest
			if c.Kind == FirstWater {
				want = entering
			}
			if math.Abs(c.Value-want) > 0.5 || !strings.Contains(c.Text, degrees(c.Value)) {
				t.Errorf("%s at %.1f K, not %.1f: %s", c.Kind, c.Value, want, c.Text)
			}
			if strings.Contains(c.Text, "copper") {
				t.Errorf("copper does not melt at %.0f K: %s", hottest, c.Text)
			}
		}
	}
	for kind, where := range map[string]Kind{FirstWater: Drain, ShutWater: HeatUp, HotSurfaces: HeatUp, MoltenMetal: HeatUp} {
		if p, told := got[kind]; !told || p != where {
			t.Errorf("%s stands in %v (told: %v), not in the %v", kind, p, told, where)
		}
	}
}

func TestALukewarmBlockAndABlockWithoutWaterRaiseNoCautionOfSteam(t *testing.T) {
	m := make1(circumstances{seed: 1, every: 30})
	end := m.in.History.Time[len(m.in.History.Time)-1]
	dry := m.in
	dry.Channels = []Channel{m.in.Channels[0], m.in.Channels[4], m.in.Channels[5]}
	for _, c := range dry.Cautions(0, end) {
		if c.Kind != HotSurfaces {
			t.Errorf("without water: %s", c.Text)
		}
	}
	core := m.in.values(0)
	for k := range core {
		core[k] = 293.15 + (core[k]-293.15)/15
	}
	if all := m.in.Cautions(0, end); len(all) > 0 {
		t.Errorf("a block of %.0f K at most: %+v", quantile(core, 1), all)
	}
}
