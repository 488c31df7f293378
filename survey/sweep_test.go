package survey

import (
	"math"
	"slices"
	"strings"
	"testing"

	"emberbank/account"
	"emberbank/answer"
)

// wallRun is a block in wool of a stated and uncertain conductivity, coarse.
const wallRun = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 60 mm, width: 60 mm, height: 60 mm, medium: metal}
  materials:
    - {name: metal, density: 2000 kg/m3, heat capacity: 1000 J/(kg K), conductivity: 200 W/(m K), source: made up}
    - {name: wool, density: 50 kg/m3, heat capacity: 800 J/(kg K), conductivity: 0.1 ± 0.02 W/(m K), source: made up}
  insulation: {all: [{material: wool, thickness: 40 mm}]}
  surfaces: {all: {film: 20 W/(m2 K), emissivity: 0}}
duty: {ambient: 20 degC}
initial: 320 degC
until: 40 min
output: {every: 5 min}
grid: {size: 30 mm, cells per layer: 2}
`

const wallSweep = `sweep:
  axes:
    - {name: wool, path: "receiver.insulation.all[1].thickness", values: [10 mm, 20 mm, 40 mm, 80 mm, 120 mm, 160 mm]}
    - {name: start, path: initial, values: [220 degC, 320 degC]}
responses: [{name: kept, read: block mean}, {name: weight, read: mass}]
carry: yes
answers: [{plateau: kept, over: wool, margin: 3 K, computing: refined}]
`

// TestASweepCarriesInputsAndTakesTwinsOfSomeVariants: each variant is run once more for the conductivity, three of each row on a finer
// grid; what they do to the answer is what their own runs say; nothing is computed twice.
func TestASweepCarriesInputsAndTakesTwinsOfSomeVariants(t *testing.T) {
	s, files := asked(t, wallRun, wallSweep)
	store := newKept()
	v := surveyed(t, s, files, store, 2)
	if store.saved != 12+12+6 {
		t.Errorf("%d runs, want 12 variants, 12 with the conductivity moved and 6 on a finer grid", store.saved)
	}
	if len(v.Answers) != 2 || len(v.Variants) != 12 {
		t.Fatalf("%d answers, %d variants", len(v.Answers), len(v.Variants))
	}
	for _, key := range v.Beside {
		if store.records[key] == nil || slices.ContainsFunc(v.Variants, func(o account.Variant) bool { return o.Key == key }) {
			t.Errorf("%s is no run beside the variants", key)
		}
	}
	if len(v.Beside) != 12+6 {
		t.Errorf("%d runs are named beside the variants", len(v.Beside))
	}
	for k, a := range v.Answers {
		p := a.Plateau
		if p == nil || len(p.Inputs) != 1 || !strings.Contains(p.Inputs[0], "conductivity") || len(p.Points.U) != 6 {
			t.Fatalf("the answer rests on %+v", p)
		}
		if want := []int{k, k + 2, k + 4, k + 6, k + 8, k + 10}; !slices.Equal(p.Group, want) {
			t.Errorf("it judges the variants %v, want %v", p.Group, want)
		}
		for i, n := range p.Group {
			// The effect is what the run with half the half-width more differs by.
			set := s.Settings(v.Variants[n].At)
			near(t, "what the conductivity does", p.Points.Inputs[0][i], movedAlone(t, s.Run, files, set, p.Inputs[0], 0.11)-v.Variants[n].Values[0], 1e-6)
			if !(p.Points.Inputs[0][i] < 0) {
				t.Errorf("a better conductor keeps more heat: %g", p.Points.Inputs[0][i])
			}
			near(t, "the half-width", p.Half[i], 1.96*math.Hypot(p.Points.U[i], p.Points.Inputs[0][i]), 1e-9)
			if !(p.Points.U[i] > 0) {
				t.Errorf("the uncertainty from computing is %g", p.Points.U[i])
			}
		}
		text := strings.Join(a.Sentences, " ")
		for _, part := range []string{"by 3 of the variants computed again on a finer grid", "one standard uncertainty does, at the upper end: receiver.materials[2].conductivity"} {
			if !strings.Contains(text, part) {
				t.Errorf("it lacks %q: %s", part, text)
			}
		}
	}
	before := bytesOf(t, v)
	if again := bytesOf(t, surveyed(t, s, files, store, 1)); again != before || store.saved != 30 {
		t.Errorf("the second time %d runs stand in the store, or it says something else", store.saved)
	}
}

// TestTwinsStandForTheirNeighbours: each variant takes the larger of the twins at or around it.
func TestTwinsStandForTheirNeighbours(t *testing.T) {
	b := &beside{errors: map[int64][]float64{10: {3}, 13: {1}, 16: {2}}}
	group := []int{10, 11, 12, 13, 14, 15, 16}
	if got, want := b.between(group, 0), []float64{3, 3, 3, 2, 2, 2, 2}; !slices.Equal(got, want) {
		t.Errorf("they are %v, want %v", got, want)
	}
	b.errors[13][0] = math.NaN()
	if got, want := b.between(group, 0), []float64{3, 3, 3, 3, 3, 3, 2}; !slices.Equal(got, want) {
		t.Errorf("without the middle one they are %v, want %v", got, want)
	}
	b.errors[16][0] = math.NaN()
	if got := b.between(group, 0); got != nil {
		t.Errorf("one twin stands for all: %v", got)
	}
	for n, want := range map[int][]int{4: {0, 1, 3}, 5: {0, 2, 4}, 9: {0, 2, 4, 6, 8}, 2: {0, 1}} {
		if got := twinsOf(n); !slices.Equal(got, want) {
			t.Errorf("of %d points %v are twins, want %v", n, got, want)
		}
	}
}

// TestTwinErrorCoversBothOrders: where the error falls with the first or the second power of the cell size, the half-width holds the true error.
func TestTwinErrorCoversBothOrders(t *testing.T) {
	for _, ratio := range []float64{1.3, 1.45, 2} {
		for _, order := range []float64{1, 2} {
			coarse := 1.0
			fine := math.Pow(ratio, -order)
			if half := 2 * twinError(fine-coarse, ratio); half < 1.2*coarse {
				t.Errorf("ratio %g, order %g: the half-width is %g of the error", ratio, order, half)
			}
		}
	}
}

// tubesRun is a block with four passes whose fluid has a stated temperature: each takes heat by its own contact, so that the heat is in
// proportion to their number while the block has one temperature.
const tubesRun = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 60 mm, width: 60 mm, height: 160 mm, medium: metal}
  materials: [{name: metal, density: 8000 kg/m3, heat capacity: 1000 J/(kg K), conductivity: 5000 W/(m K), source: made up}]
  tube: {outer: 6 mm, inner: 4 mm, contact: 300 W/(m2 K)}
  passes:
    - {along: width, depth: 30 mm, height: [20 mm, 60 mm, 100 mm, 140 mm], fluid: 20 degC}
  surfaces: {all: {film: 20 W/(m2 K), emissivity: 0}}
duty: {ambient: 20 degC}
initial: 320 degC
until: 5 min
output: {every: 5 s}
grid: {size: 20 mm}
`

const tubesSweep = `sweep:
  axes:
    - {name: passes, path: receiver.passes, from: 0, to: 4}
    - {name: contact, path: receiver.tube.contact, values: [100 W/(m2 K), 300 W/(m2 K)]}
responses: [{name: heat at 310, read: heat to passes when block mean falls to 310 degC}]
answers: [{pays: [heat at 310], over: passes, worth: 50 W, control: contact}]
`

// TestPassesThatTakeAlikePayAlike: in a block of one temperature each pass brings h A ΔT less what the tube's wall and the way to it
// take; up to this worth each one pays, and beyond none does. The control range is that of the two contacts.
func TestPassesThatTakeAlikePayAlike(t *testing.T) {
	s, files := asked(t, tubesRun, tubesSweep)
	v := surveyed(t, s, files, newKept(), 2)
	one := 300 * math.Pi * 0.006 * 0.06 * 290
	p := v.Answers[0].Pays
	if p == nil || len(p.Found.Gains) != 4 {
		t.Fatalf("it says %+v", v.Answers[0])
	}
	for _, g := range p.Found.Gains {
		near(t, "what one more brings", g.PerPass, one, 0.03*one)
	}
	if p.Found.PaysTo != 4 || v.Answers[0].Verdict != "pays to the end of the range" {
		t.Errorf("at 50 W each it pays to %g: %s", p.Found.PaysTo, v.Answers[0].Verdict)
	}
	for n, c := range p.Control {
		near(t, "the upper end of the control range", c.High, float64(n)*one, 0.03*float64(n)*one+1e-9)
		near(t, "the lower end", c.Low, float64(n)*one/3, 0.03*float64(n)*one+1e-9)
	}
	if got := v.Answers[0].Table; len(got) != 6 || len(got[1]) != 5 {
		t.Errorf("the table is %q", got)
	}
	s, files = asked(t, tubesRun, strings.Replace(tubesSweep, "50 W", "120 W", 1))
	v = surveyed(t, s, files, newKept(), 2)
	if v.Answers[0].Verdict != "pays to 0" {
		t.Errorf("at 120 W each it says %q", v.Answers[0].Verdict)
	}
}

// TestStepsWithoutAValueAreNotJudged: the film alone takes (0.912 W/K · 300 K · 300 s)/(4608 J/K) = 18 K at the most, so that without a
// pass the block never falls to 300 °C, and nothing shows what the first pass brings.
func TestStepsWithoutAValueAreNotJudged(t *testing.T) {
	s, files := asked(t, tubesRun, strings.Replace(tubesSweep, "falls to 310", "falls to 300", 1))
	a := surveyed(t, s, files, newKept(), 2).Answers[0]
	if a.Pays == nil || a.Pays.Found.Gains[0].From != 1 {
		t.Fatalf("it says %+v", a)
	}
	text := strings.Join(a.Sentences, " ")
	for _, part := range []string{"From 1\u00a0pass up to 4, the end of the range, each one pays", "1 of 5 variants has no value and is left out (passes 0): no step to or from there is judged."} {
		if !strings.Contains(text, part) {
			t.Errorf("it lacks %q: %s", part, text)
		}
	}
}

// TestResponsesThatAreNotThereAreToldBeforeAnythingRuns: of a ledger's entries too, whose names hang on the run.
func TestResponsesThatAreNotThereAreToldBeforeAnythingRuns(t *testing.T) {
	s, files := asked(t, wallRun, strings.Replace(wallSweep, "read: mass", "read: ledger lost nowhere", 1))
	store := newKept()
	_, err := stopped(s, files, store)
	if err == nil || !strings.Contains(err.Error(), `"lost nowhere" is not an entry`) || store.saved != 0 {
		t.Errorf("%d runs, and it says %v", store.saved, err)
	}
}

// TestAFlatResponseIsOneOnlyWhereItsUncertaintyIsKnown keeps the rule that silence is no certainty.
func TestAFlatResponseIsOneOnlyWhereItsUncertaintyIsKnown(t *testing.T) {
	text := strings.NewReplacer(", computing: refined", "", "carry: yes\n", "", "margin: 3 K", "margin: 200 K").Replace(wallSweep)
	s, files := asked(t, wallRun, text)
	v := surveyed(t, s, files, newKept(), 2)
	if a := v.Answers[0]; a.Verdict != answer.Undecided.String() || !strings.Contains(a.Sentences[0], "No plateau is claimed") || a.Plateau.Half != nil {
		t.Errorf("it says %s: %q", a.Verdict, a.Sentences)
	}
	s, files = asked(t, wallRun, strings.Replace(text, "margin: 200 K", "margin: 200 K, computing: refined", 1))
	v = surveyed(t, s, files, newKept(), 2)
	if a := v.Answers[0]; a.Verdict != answer.Flattened.String() {
		t.Errorf("with twins it says %s: %q", a.Verdict, a.Sentences)
	}
}
