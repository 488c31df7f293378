package bench

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/duty"
)

// TestWhatIsChangedCarriesItsOwnInterval: a number in place of a file's, or a factor on it, is as well known as who set it says;
// and what is carried moves about the value that counts, not about the file's.
func TestWhatIsChangedCarriesItsOwnInterval(t *testing.T) {
	const contact = "receiver.tube.contact"
	if !strings.Contains(tubesRun, "contact: 500 ± 100 W/(m2 K)") {
		t.Fatal("the run states no such contact")
	}
	files := fstest.MapFS{"run.yaml": {Data: []byte(tubesRun)}}
	load := func(opt Options) *Run {
		t.Helper()
		run, ps := LoadRun(files, "run.yaml", opt)
		if len(ps) > 0 {
			t.Fatal(ps)
		}
		return run
	}
	uncertain := func(r *Run, path string) *Uncertain {
		i := slices.IndexFunc(r.Uncertain, func(u Uncertain) bool { return u.Path == path })
		if i < 0 {
			return nil
		}
		return &r.Uncertain[i]
	}
	value := func(r *Run) float64 { return r.Problem.Receiver.Passes[0].Contact.Value.At(300) }

	moved := uncertain(load(Options{Override: map[string]float64{contact: 300}}), contact)
	near(t, "value", moved.Value, 300)
	near(t, "the file's half-width", moved.Half, 100)

	found := Options{Override: map[string]float64{contact: 300}, Half: map[string]float64{contact: 7}}
	u := uncertain(load(Options{Under: &found}), contact)
	near(t, "value", u.Value, 300)
	near(t, "half", u.Half, 7)
	near(t, "carried", value(load(Options{Override: map[string]float64{contact: u.Value + u.Half}, Under: &found})), 307)

	factor := FactorPath(contact)
	weighed := Options{Factor: map[string]float64{contact: 1.2}, Half: map[string]float64{factor: 0.05}}
	run := load(Options{Under: &weighed})
	near(t, "weighed", value(run), 600)
	if own := uncertain(run, contact); own != nil {
		t.Errorf("the number keeps ± %g beside its factor's", own.Half)
	}
	u = uncertain(run, factor)
	near(t, "factor", u.Value, 1.2)
	near(t, "half", u.Half, 0.05)
	near(t, "carried", value(load(Options{Override: map[string]float64{factor: 1.25}, Under: &weighed})), 625)
	if low, _ := u.Limits(); low <= 0 {
		t.Errorf("a factor may be %g", low)
	}

	// A number in place of the one that is weighed is as well known as the file says, and the factor on it counts no more.
	run = load(Options{Override: map[string]float64{contact: 300}, Under: &weighed})
	u = uncertain(run, contact)
	near(t, "value", u.Value, 300)
	near(t, "half", u.Half, 100)
	if u := uncertain(run, factor); u != nil {
		t.Errorf("a factor on what is not there any more keeps ± %g", u.Half)
	}

	// A layer deeper: a study on a match, carried.
	axis := Options{Override: map[string]float64{"duty.pumps[1].flow": 0.05}, Under: &weighed}
	deep := load(Options{Override: map[string]float64{factor: 1.25}, Under: &axis})
	near(t, "deep", value(deep), 625)
	near(t, "deep", deep.Problem.Duty.Pumps[0].Flow.At(0), 0.05)
	if _, ps := LoadRun(files, "run.yaml", Options{Override: map[string]float64{FactorPath("receiver.tube.contct"): 1}}); !ps.Failed() {
		t.Error("a factor that nothing has is moved")
	}
}

// TestAStudyStandsOnWhatIsChangedFirst: every variant, the present design and what is carried.
func TestAStudyStandsOnWhatIsChangedFirst(t *testing.T) {
	const contact = "receiver.tube.contact"
	files := fstest.MapFS{"run.yaml": {Data: []byte(tubesRun)}, "study.yaml": {Data: []byte(`schema: emberbank/1
kind: study
run: run.yaml
sweep: {axes: [{name: flow, path: "duty.pumps[1].flow", values: [0.01 kg/s, 0.02 kg/s, 0.03 kg/s, 0.05 kg/s]}]}
responses: [{read: block mean}]
answers: [{plateau: block mean, over: flow}]
carry: [` + contact + `]
`)}}
	found := Options{Override: map[string]float64{contact: 300}, Half: map[string]float64{contact: 7}}
	s, ps := LoadStudyOver(files, "study.yaml", &found)
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	same(t, "carried", len(s.Carry), 1)
	near(t, "value", s.Carry[0].Value, 300)
	near(t, "half", s.Carry[0].Half, 7)
	run := built(t, files, s, 0.02)
	near(t, "contact", run.Problem.Receiver.Passes[0].Contact.Value.At(300), 300)
	near(t, "flow", run.Problem.Duty.Pumps[0].Flow.At(0), 0.02)
	base, ps := LoadRun(files, "run.yaml", OptionsOf(s.Base()))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	near(t, "the present design", base.Problem.Receiver.Passes[0].Contact.Value.At(300), 300)
	i := slices.IndexFunc(base.Uncertain, func(u Uncertain) bool { return u.Path == contact })
	near(t, "the present design's half", base.Uncertain[i].Half, 7)
	alone, ps := LoadStudy(files, "study.yaml")
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	near(t, "the files alone", alone.Carry[0].Value, 500)
	near(t, "the files alone", alone.Carry[0].Half, 100)
}

// TestAnAxisGoesBeforeAFactorAndItsInterval: where an axis sets what a match weighs, the weight is not carried.
func TestAnAxisGoesBeforeAFactorAndItsInterval(t *testing.T) {
	const contact = "receiver.tube.contact"
	files := fstest.MapFS{"run.yaml": {Data: []byte(tubesRun)}, "study.yaml": {Data: []byte(`schema: emberbank/1
kind: study
run: run.yaml
sweep: {axes: [{name: contact, path: ` + contact + `, values: [200 W/(m2 K), 300 W/(m2 K), 400 W/(m2 K), 500 W/(m2 K)]}]}
responses: [{read: block mean}]
answers: [{plateau: block mean, over: contact}]
carry: yes
`)}}
	weighed := Options{Factor: map[string]float64{contact: 1.2}, Half: map[string]float64{FactorPath(contact): 0.05}}
	s, ps := LoadStudyOver(files, "study.yaml", &weighed)
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	for _, u := range s.Carry {
		if strings.HasSuffix(u.Path, contact) {
			t.Errorf("%s is carried", u.Path)
		}
	}
	set := s.Base()
	same(t, "settings", len(set), 1)
	near(t, "the factor's half in a variant", OptionsOf(set).Under.Half[FactorPath(contact)], 0.05)
	near(t, "contact", built(t, files, s, 300).Problem.Receiver.Passes[0].Contact.Value.At(300), 300)
}

// TestAFactorOnWhatChangesOverTimeLeavesTheTimes: 0.8 of the light comes at the same hours.
func TestAFactorOnWhatChangesOverTimeLeavesTheTimes(t *testing.T) {
	files := WriteScenario()
	load := func(opt Options) *duty.Signal {
		t.Helper()
		run, ps := LoadRun(files, "charge-hold-drain.yaml", opt)
		if ps.Failed() {
			t.Fatal(ps)
		}
		return &run.Problem.Duty.Light.Power
	}
	plain, less := load(Options{}), load(Options{Factor: map[string]float64{"duty.light.power": 0.8}})
	if len(plain.T) < 2 || !slices.Equal(plain.T, less.T) {
		t.Fatalf("the light changes at %v s; with a factor on it at %v s", plain.T, less.T)
	}
	for i := range plain.V {
		near(t, "power", less.V[i], 0.8*plain.V[i])
	}
	late, ps := LoadRun(files, "charge-hold-drain.yaml", Options{Factor: map[string]float64{"duty.events[1].at": 0.5}})
	if ps.Failed() {
		t.Fatal(ps)
	}
	near(t, "a time by its own path", late.Problem.Duty.Events[0].At, 2*3600)
}
