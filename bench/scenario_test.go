package bench

import (
	"context"
	"slices"
	"testing"
	"testing/fstest"

	"emberbank/heat"
)

// TestScenarioDayServesItsLoad runs the scenario's day for eight hours: the steam of the morning is made, by more circuits as the
// block cools, and its books close.
func TestScenarioDayServesItsLoad(t *testing.T) {
	run, ps := LoadRun(WriteScenario(), "day.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	p := run.Problem
	p.Until, p.Output, p.FieldTimes = 8*3600, []float64{0, 8 * 3600}, nil
	r, err := heat.Run(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	s := r.Served
	if share := s.Met / s.Wanted; share < 0.95 || s.Opened < 2 || s.Wanted < 1.9 || s.Wanted > 2.1 {
		t.Errorf("%g of %g kg of steam are met, by %d openings", share, s.Wanted, s.Opened)
	}
	if r.Residual > 1e-9 {
		t.Errorf("the ledger leaves %g", r.Residual)
	}
}

// TestScenarioMakesSteamForItsBakery runs the scenario's day on coarse cells: each circuit makes its 1.2 kg/h, within
// 5 %, for twenty minutes at least, until it cannot.
func TestScenarioMakesSteamForItsBakery(t *testing.T) {
	run, ps := LoadRun(WriteScenario(), "charge-hold-drain.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	p := run.Problem
	p.Grid.Size, p.Grid.PerLayer, p.Tolerance = 0.05, 1, 0.5
	r, err := heat.Run(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "stopped by", r.Stopped, "too little steam")
	for _, c := range p.Receiver.Circuits {
		minutes := 0 // a row each minute
		for i, x := range r.History.Column("circuit " + c.Name + " steam").Values {
			if r.History.Time[i] > 4*3600 && x > 0.95*1.2/3600 && x < 1.05*1.2/3600 {
				minutes++
			}
		}
		if minutes < 20 {
			t.Errorf("circuit %s makes its steam for %d minutes", c.Name, minutes)
		}
	}

	// Its pictures are taken while water boils, and the run lasts long enough for all of them.
	if len(r.Fields) != len(p.FieldTimes) || len(r.Profiles) != len(p.ProfileTimes)*len(p.Receiver.Circuits) || len(r.Profiles) == 0 {
		t.Errorf("%d fields of %d and %d profiles are kept", len(r.Fields), len(p.FieldTimes), len(r.Profiles))
	}
	for _, q := range r.Profiles {
		if !slices.ContainsFunc(q.Places, func(at heat.Place) bool { return at.Quality > 0.1 && at.Quality < 0.9 }) {
			t.Errorf("after %g s no water boils in circuit %s", q.Time, q.Circuit)
		}
	}
}

func TestEmptyListsOfWhatMayBeLeftOutAreNone(t *testing.T) {
	fsys := fstest.MapFS{}
	for name, text := range map[string]string{
		"run.yaml":  "schema: emberbank/1\nkind: run\nreceiver: receiver.yaml\nduty: duty.yaml\nuntil: 1 h 30 min\nfields: [30 min]\nprofiles: []\nprobes: []\nsensors: []\n",
		"duty.yaml": "schema: emberbank/1\nkind: duty\nambient: 20 degC\nevents: []\nrules: []\npumps: []\n",
		"receiver.yaml": "schema: emberbank/1\nkind: receiver\nblock: {depth: 100 mm, width: 100 mm, height: 100 mm, medium: aluminium}\n" +
			"fixtures: []\nboxes: []\nheaters: []\n",
	} {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	run, ps := LoadRun(fsys, "run.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	near(t, "until, s", run.Problem.Until, 5400)
	if d := &run.Problem.Duty; len(d.Events)+len(d.Rules)+len(d.Pumps) != 0 {
		t.Errorf("the duty switches: %+v", d)
	}
	if p := run.Problem.ProfileTimes; p == nil || len(p) != 0 {
		t.Errorf("profiles at %v, want none, and not those of the fields", p)
	}
}
