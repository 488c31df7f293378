package bench

import (
	"strings"
	"testing"
	"testing/fstest"
)

// TestBoundsOfAParameterStayWithinWhatIsAllowed: an emissivity looked for between 0.2 and 1.4 is looked for up to 1, and that is said.
func TestBoundsOfAParameterStayWithinWhatIsAllowed(t *testing.T) {
	for _, c := range []struct {
		between   string
		low, high float64
		said      bool
	}{
		{"[0.2, 1.4]", 0.2, 1, true},
		{"[-0.5, 0.8]", 0, 0.8, true},
		{"[0.2, 0.9]", 0.2, 0.9, false},
	} {
		fsys := fstest.MapFS{
			"receiver.yaml": {Data: []byte("schema: emberbank/1\nkind: receiver\nblock: {depth: 60 mm, width: 60 mm, height: 60 mm, medium: aluminium}\nsurfaces: {all: {film: 10 W/(m2 K), emissivity: 0.5}}\n")},
			"run.yaml":      {Data: []byte("schema: emberbank/1\nkind: run\nreceiver: receiver.yaml\nduty: {ambient: 20 degC}\nuntil: 1 min\n")},
			"match.yaml": {Data: []byte(`schema: emberbank/1
kind: match
parameters:
  - {name: e, path: receiver.surfaces.all.emissivity, between: ` + c.between + `}
trials:
  - run: run.yaml
    measured: m.csv
    columns: [{column: block mean, noise: 1 K}]
`)},
			"m.csv": {Data: []byte("time [s],block mean [degC]\n0,20\n10,20\n20,20\n30,20\n")},
		}
		m, problems := LoadMatch(fsys, "match.yaml")
		if problems.Failed() || len(m.Parameters) != 1 {
			t.Fatalf("%s: %s", c.between, problems)
		}
		if p := m.Parameters[0]; p.Lower != c.low || p.Upper != c.high {
			t.Errorf("%s: it is looked for between %g and %g", c.between, p.Lower, p.Upper)
		}
		if told := strings.Contains(strings.Join(m.Warnings, "\n"), "the bounds of e reach beyond what its files allow"); told != c.said {
			t.Errorf("%s: warnings are %q", c.between, m.Warnings)
		}
	}
}
