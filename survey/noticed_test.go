package survey

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/farm"
	"emberbank/history"
	"emberbank/sample"
	"emberbank/study"
)

// TestWhatAnInputDoesAloneAndWithOthersAreToldApart: of y = a + 0.8 b' + 6 b' c', b' and c' from the middle of their ranges, the
// variances are those of even ranges, 1/12 for each of width 1: a does most by itself, b takes part in most.
func TestWhatAnInputDoesAloneAndWithOthersAreToldApart(t *testing.T) {
	const rows = 1024
	even := sample.Uniform{Low: 0, High: 1}
	points, err := sample.NewSobol(6, 3)
	if err != nil {
		t.Fatal(err)
	}
	design, err := sample.NewExchange(rows, points, even, even, even)
	if err != nil {
		t.Fatal(err)
	}
	s := &bench.Study{
		Name: "made up", Kind: bench.Sample, Design: design, Sample: &bench.StudySample{Rows: rows, Seed: 3, Sensitivity: true},
		Axes: []bench.StudyAxis{{Name: "a"}, {Name: "b"}, {Name: "c"}}, Responses: []bench.StudyResponse{{Name: "y", Quantity: history.Heat}},
	}
	w := &working{Survey: &Survey{Asked: s}}
	outcomes := make([]farm.Outcome, design.Count())
	for i := range outcomes {
		x := w.at(int64(i)).x
		outcomes[i].Values = []float64{x[0] + 0.8*(x[1]-0.5) + 6*(x[1]-0.5)*(x[2]-0.5)}
	}
	va, vb, vbc := 1.0/12, 0.64/12, 36.0/144
	all := va + vb + vbc
	v := w.varied(outcomes, w.at)
	a := w.sensitivity(v, 0)
	found := a.Sensitivity.Found
	near(t, "b by itself", found.First[1].Value, vb/all, 0.05)
	near(t, "b with others", found.Total[1].Value, (vb+vbc)/all, 0.05)
	if want := fmt.Sprintf("b makes %s of the spread of y by itself, and has a part in %s of it.", percents(shareOf(found.First[1])), percents(shareOf(found.Total[1]))); a.Sentences[0] != want {
		t.Errorf("it says %q, want %q", a.Sentences[0], want)
	}
	if got := []string{a.Table[1][0], a.Table[2][0], a.Table[3][0]}; !slices.Equal(got, []string{"b", "c", "a"}) {
		t.Errorf("in the order of what they take part in they are %q", got)
	}
	if text := strings.Join(a.Sentences, " "); !strings.Contains(text, "comes from inputs that act together") {
		t.Errorf("it says %q", text)
	}
	// Only the first two of a row's five are drawn independently.
	if d := w.draws(len(outcomes)); len(d) != 2*rows || d[0] != 0 || d[1] != 1 || d[2] != 5 {
		t.Errorf("%d draws, the first %v", len(d), d[:3])
	}
}

// TestALimitFromAboveHoldsASearchToo: the coolest block that has given off 15 kJ by the front at most (see the price of the same
// limit from below).
func TestALimitFromAboveHoldsASearchToo(t *testing.T) {
	s, files := asked(t, lumpedRun, filmSearch("end, want: least", "given, below: 15 kJ"))
	v := surveyed(t, s, files, newKept(), 2)
	o := v.Answers[0].Optimum
	want := -math.Log(1-6*15000/(heatCapacity(capacity)*(initial-ambient))) / 2400
	near(t, "the film that just gives off so little", v.Variants[o.Best].At[0], filmAt(want), 0.6)
	if !o.Met || v.Variants[o.Best].Values[1] > 15000 {
		t.Errorf("the best gives off %g J", v.Variants[o.Best].Values[1])
	}
	// Both were run on a finer grid; the uncertainty is that of their difference as a whole.
	y := func(set []bench.Setting, finer bool) (float64, float64) {
		var all []farm.Setting
		for _, one := range set {
			all = append(all, farm.Setting(one))
		}
		plain, err := Build(files, s.Run, all)
		if err != nil {
			t.Fatal(err)
		}
		ratio := study.Finer(plain.Problem, 1)
		if finer {
			if plain, err = Build(files, s.Run, append(all, farm.Setting{Path: Refined, Value: 1})); err != nil {
				t.Fatal(err)
			}
		}
		plain.Problem.Threads = 1
		r, err := Run(context.Background(), plain.Problem)
		if err != nil {
			t.Fatal(err)
		}
		mean := r.History.Column("block mean").Values
		return mean[len(mean)-1], ratio
	}
	best := s.Settings(v.Variants[o.Best].At)
	change := 0.0
	least := math.Inf(1)
	for sign, set := range map[float64][]bench.Setting{1: nil, -1: best} {
		coarse, ratio := y(set, false)
		fine, _ := y(set, true)
		change += sign * (fine - coarse)
		least = math.Min(least, ratio)
	}
	near(t, "the uncertainty of what it is worth", o.Over.U, twinError(change, least), 1e-6*o.Over.U)
}

// TestAnInputThatCannotBeMovedUpIsMovedDown: 12 mm deeper a sensor would stand outside the block. Its effect has the sign of a move
// upwards: the deeper, the nearer to the cold side.
func TestAnInputThatCannotBeMovedUpIsMovedDown(t *testing.T) {
	run := strings.NewReplacer(
		"conductivity: 2000 W", "conductivity: 2 W", "1000 ± 50", "1000", "20 ± 4", "20", "depth: 2,", "depth: 12,",
		"until:", "sensors: [{name: deep, depth: 50 ± 24 mm, width: 30 mm, height: 30 mm}]\nuntil:").Replace(lumpedRun)
	s, files := asked(t, run, `sweep:
  axes: [{name: film, path: receiver.surfaces.all.film, values: [5 W/(m2 K), 10 W/(m2 K), 20 W/(m2 K), 40 W/(m2 K)]}]
responses: [{name: there, read: deep}, {name: weight, read: mass}]
carry: yes
answers: [{plateau: there, over: film, margin: 3 K, computing: 0.1 K}, {plateau: weight, over: film, margin: 1 kg, computing: refined}]
`)
	v := surveyed(t, s, files, newKept(), 2)
	p := v.Answers[0].Plateau
	if p == nil || len(p.Points.Inputs) != 1 {
		t.Fatalf("it rests on %+v", v.Answers[0])
	}
	for i, e := range p.Points.Inputs[0] {
		if !(e < -0.1) {
			t.Errorf("variant %d: deeper by a standard uncertainty it is warmer by %g K", i+1, e)
		}
	}
	// What hangs on what is built alone is known exactly.
	if p := v.Answers[1].Plateau; p == nil || !slices.Equal(p.Points.U, []float64{0, 0, 0, 0}) {
		t.Errorf("the mass is known to %+v", p)
	}
}

// TestAnInputWithLittleRoomIsMovedAsFarAsIsAllowed: an emissivity of 0.9 ± 0.4 upwards by half of a standard uncertainty alone, so it is
// moved down; one of 0.5 ± 1.6 both ways by five eighths of one, which is said, and its effect is eight fifths of what its run says.
func TestAnInputWithLittleRoomIsMovedAsFarAsIsAllowed(t *testing.T) {
	const axes = `sweep:
  axes: [{name: film, path: receiver.surfaces.all.film, values: [5 W/(m2 K), 10 W/(m2 K), 20 W/(m2 K), 40 W/(m2 K)]}]
responses: [{name: kept, read: block mean}]
carry: [receiver.surfaces.all.emissivity]
answers: [{plateau: kept, over: film, margin: 3 K, computing: 0.1 K}]
`
	for stated, want := range map[string]struct{ at, part float64 }{"0.9 ± 0.4": {0.7, -1}, "0.5 ± 1.6": {1, 0.625}} {
		s, files := asked(t, strings.Replace(lumpedRun, "emissivity: 0", "emissivity: "+stated, 1), axes)
		v := surveyed(t, s, files, newKept(), 2)
		p := v.Answers[0].Plateau
		if p == nil || len(p.Points.Inputs) != 1 {
			t.Fatalf("%s: it rests on %+v", stated, v.Answers[0])
		}
		for i, n := range p.Group {
			moved := movedAlone(t, s.Run, files, s.Settings(v.Variants[n].At), s.Carry[0].Path, want.at)
			near(t, stated, p.Points.Inputs[0][i], (moved-v.Variants[n].Values[0])/want.part, 1e-6)
		}
		said := slices.ContainsFunc(v.Notes, func(n string) bool { return strings.Contains(n, "emissivity reaches beyond what is allowed there") })
		if said != (want.part == 0.625) {
			t.Errorf("%s: notes are %q", stated, v.Notes)
		}
	}
}

// TestWhatIsKeptTakesNoTimeInTheEstimate: a first start foretells ten seconds for each of the others, a second none.
func TestWhatIsKeptTakesNoTimeInTheEstimate(t *testing.T) {
	s, files := asked(t, lumpedRun, lumpedSweep)
	store := newKept()
	for _, want := range []float64{70, 0} {
		var e Estimate
		_, err := (&Survey{
			Asked: s, Files: files, Job: farm.Job{Store: store, Model: "test", Workers: 1},
			Cost: func(string) (float64, int64) { return 10, 4096 }, Consent: func(told Estimate) error { e = told; return nil },
		}).Work(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if e.Variants != 8 || e.First != 10 || e.Rest != want || e.Size < 8*4096 {
			t.Errorf("it foretells %+v, want %g s for the others", e, want)
		}
	}
}

// TestWhatTheFileCallsAlikeIsAlikeOnAFront: two values that differ by so much are just told apart, at 95 % on one side.
func TestWhatTheFileCallsAlikeIsAlikeOnAFront(t *testing.T) {
	s, files := asked(t, lumpedRun, `search:
  runs: 8
  seed: 5
  over: [{name: film, path: receiver.surfaces.all.film, from: 2 W/(m2 K), to: 40 W/(m2 K)}]
  aims: [{response: end, want: most, flat within: 10 K}, {response: given, want: most}]
responses: [{name: end, read: block mean}, {name: given, read: ledger lost front}]
`)
	v := surveyed(t, s, files, newKept(), 2)
	near(t, "the uncertainty of the first aim", v.Answers[0].Front.U[0], 10/(1.645*math.Sqrt2), 1e-9)
	// The present design lies on the curve itself: what betters it in one aim is worse in the other.
	if text := strings.Join(v.Answers[0].Sentences, " "); !strings.Contains(text, "No variant on the front is shown to better it in both aims.") {
		t.Errorf("it says %q", text)
	}
}

func TestAnIntervalMayBeOpen(t *testing.T) {
	r := &account.VariedResponse{Quantity: history.Mass}
	inf := math.Inf(1)
	for _, c := range []struct {
		low, high float64
		want      string
	}{{1, 2, "1 kg to 2 kg"}, {-inf, 2, "up to 2 kg"}, {1, inf, "from 1 kg"}, {-inf, inf, "not known"}} {
		if got := strings.ReplaceAll(reach(r, c.low, c.high), "\u00a0", " "); got != c.want {
			t.Errorf("from %g to %g is %q, want %q", c.low, c.high, got, c.want)
		}
	}
}
