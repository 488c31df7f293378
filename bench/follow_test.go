package bench

import (
	"math"
	"strings"
	"testing"
)

const followedLogger = "T;core [degC];Flow [l/min]\n2026-03-14 09:30,20,0\n2026-03-14 09:31,21,0\n"

const followed = `
loggers:
  - file: logger.csv
    channels:
      - {column: core, place: core}
      - {column: Flow, place: circuit main flow}
follow:
`

func TestFollowingReadsTargetsAndLimitsAndNeedsNoLoggersFile(t *testing.T) {
	fsys := measured(followed+`
  targets: [{of: core, reaches: 300 degC}]
  limits:
    - {of: temperatures, above: 450 degC, near: 10 %, why: the lid}
    - {of: circuit main flow, below: 0.6 l/min}
  false alarms: 2 %
  lost after: 40 s
`, followedLogger)
	delete(fsys, "logger.csv")
	f, ps := LoadFollowing(fsys, "trial.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	same(t, "targets", f.Targets, []Target{{"core", 300 + zero}})
	near(t, "limit", f.Limits[0].At, 450+zero)
	near(t, "near", f.Limits[0].Near, 45)
	same(t, "why", f.Limits[0].Why, "the lid")
	same(t, "below", f.Limits[1].Below, true)
	near(t, "below", f.Limits[1].At, 0.01)
	near(t, "false alarms", f.FalseAlarms, 0.02)
	near(t, "lost after", f.LostAfter, 40)
	same(t, "files", f.Files, [][]string{{"logger.csv"}})
	if !math.IsNaN(f.Within) {
		t.Errorf("within is %g", f.Within)
	}
}

func TestMistakesOfFollowingAreToldByTheOrdinaryReadingToo(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"  targets: [{of: cor, reaches: 300 degC}]\n", `did you mean "core"?`},
		{"  targets: [{of: core, reaches: 3 kW}]\n", "measures something else"},
		{"  limits: [{of: core}]\n", "exactly one of above and below"},
		{"  limits: [{of: core, above: 20 degC, near: 3 bar}]\n", "does not fit"},
		{"  match: results/match\n", "belong to a run"},
		{"  run: none.yaml\n", "there is no such file"},
	} {
		_, ps := LoadTrial(measured(followed+c.text, followedLogger), "trial.yaml", Options{})
		if !ps.Failed() || !strings.Contains(ps.Error(), c.want) {
			t.Errorf("%q gives %v, not %q", c.text, ps, c.want)
		}
	}
}
