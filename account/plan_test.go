package account

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"emberbank/match"
	"emberbank/plan"
)

// madePlan is an invented plan of one parameter that its bounds alone tell of, and one with a prior.
func madePlan() *plan.Result {
	return &plan.Result{
		Name: "made up",
		Parameters: []match.Parameter{
			{Name: "contact", Unit: "W/(m2 K)", Lower: 100, Upper: 1500},
			{Name: "absorptance", Lower: 0.5, Upper: 1, Prior: &match.Prior{Mean: 0.9, SD: 0.05}},
		},
		Expected: []plan.Expected{
			{Name: "contact", Value: 400, Before: 1400 / math.Sqrt(12), SD: 4.3, Best: 3.2},
			{Name: "absorptance", Value: 0.9, Before: 0.05, Prior: true, SD: 0.00509, Best: 0.0047},
		},
		Best: 0, Candidates: []plan.Candidate{{Kind: "longer", Name: "first stretch 23 min longer", Sentence: "it", Gain: []float64{0.7, 0.9}, Joint: 0.8}},
		Suffices: 30,
	}
}

func TestWhatIsKnownBeforeIsOneNumberInTextAndPicture(t *testing.T) {
	s := &memory{files: map[string][]byte{}, room: -1}
	if err := WritePlan(s, madePlan()); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"expected", "candidates", "intervals", "sensitivities"} {
		if len(s.files[name+".csv"]) == 0 || len(s.files[name+".parquet"]) == 0 {
			t.Errorf("%s does not stand as CSV and Parquet", name)
		}
	}
	text, picture := string(s.files["report.txt"]), string(s.files["expected.svg"])
	// Between bounds of 100 and 1500 the half-width cannot be above 700; 1.96 of 0.00509 is 0.0100, two digits of it 0.010.
	for _, want := range []string{"700", "8.4", "6.3", "0.098", "0.010", "0.0092"} {
		if !strings.Contains(text+" ", " "+want) {
			t.Errorf("the text lacks %q:\n%s", want, text)
		}
		if !strings.Contains(picture, ">±\u2009"+want+"<") {
			t.Errorf("the picture lacks %q", want)
		}
	}
}

func TestNothingIsKnownWorseAfterATrial(t *testing.T) {
	r := madePlan()
	r.Expected[0].SD, r.Expected[0].Best = r.Expected[0].Before, r.Expected[0].Before // nothing is learnt of it
	var b bytes.Buffer
	if err := PlanText(&b, r); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(b.String(), " 700"); n != 3 {
		t.Errorf("700 stands %d times:\n%s", n, b.String())
	}
}
