package account

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"emberbank/season"
)

// madeSeason is an invented season with two days apart.
func madeSeason() *Season {
	day := func(name string, wanted, fast, full float64) season.Check {
		return season.Check{
			Day: name, Heat: 9e6, Off: 0.012, Worst: "lost", Mean: 1.5,
			Fast: season.Books{Wanted: wanted, Met: fast}, Full: season.Books{Wanted: wanted, Met: full},
		}
	}
	m := &season.Model{
		Nodes: make([]string, 7), Runs: 6, Built: []string{"day 3", "day 9"}, Allowed: season.Allowance{Heat: 0.05, Mean: 5},
		Checks: []season.Check{day("day 5", 10, 6.2, 6), day("day 6", 10, 2, 2.5)},
	}
	out := &season.Outcome{
		Days:  []season.DayBooks{{Books: season.Books{Wanted: 10, Met: 10}}, {Day: 1, Books: season.Books{Wanted: 10, Met: 6}}},
		Whole: season.Books{Wanted: 20, Met: 16, ByPath: []float64{1e6}},
	}
	return &Season{Name: "made up", Steam: true, Load: true, Days: 2, Model: m, Outcome: out, Paths: []string{"back"}}
}

// By hand: of 10 kg the fast model is off by 0.2 on one day apart and by 0.5 on the other; of the season's 20 kg 16 are met.
func TestSeasonsShareStandsWithinWhatTheDaysApartShow(t *testing.T) {
	s := madeSeason()
	if got := SeasonSentence(s); !strings.Contains(got, "80\u00a0±\u00a05\u00a0% of the steam") {
		t.Error(got)
	}
	for i := range s.Model.Checks {
		s.Model.Checks[i].Full.Wanted = 0
	}
	if got := SeasonSentence(s); !strings.Contains(got, "80\u00a0% of the steam") {
		t.Errorf("without a day apart on which something is wanted: %s", got)
	}
}

func TestSeasonSaysWhatItWasBuiltFromAndHeldAgainst(t *testing.T) {
	s := madeSeason()
	var text bytes.Buffer
	if err := SeasonText(&text, s); err != nil {
		t.Fatal(err)
	}
	said := strings.Join(strings.Fields(text.String()), " ")
	for _, want := range []string{
		"built from 6 runs of the full one: one of the steady state, and days 3 and 9. It was held against 2 other days, from none", "day 6 10.00 kg 2.00 kg 2.50 kg -5.0 %",
	} {
		if !strings.Contains(strings.ReplaceAll(said, "−", "-"), want) {
			t.Errorf("%q is not said:\n%s", want, &text)
		}
	}
	raw, err := json.Marshal(SeasonDocument(s))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"full_runs":6,"full_runs_apart":2`, `"met_fast_kg":2,"met_full_kg":2.5`, `"met_share":0.8,"met_share_within":0.05`} {
		if !strings.Contains(string(raw), want) {
			t.Errorf("%s is not in %s", want, raw)
		}
	}
}
