package figure

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"emberbank/heat"
)

// madeNow is an invented minute of a drain: what froze and cooled went into the water and out.
func madeNow(wide float64) *Now {
	soFar := heat.Ledger{
		Absorbed: 9e6, Stored: 5.4e6, Latent: 1.2e6, ToPasses: 1.8e6, Carried: 1.8e6, Lost: 1.8e6,
		StoredBy:  []heat.Share{{Name: "block", Amount: 5e6}, {Name: "insulation", Amount: 4e5}},
		ByPass:    []heat.Share{{Name: "1", Amount: 1.8e6}},
		ByCircuit: []heat.Share{{Name: "of the <northern> row of tubes", Amount: 1.8e6}},
		ByPath:    []heat.Share{{Name: "window", Amount: 1.2e6}, {Name: "around", Amount: 6e5}},
	}
	over := heat.Ledger{
		Stored: -96e3, Latent: -78e3, ToPasses: 90e3, Carried: 90e3, Lost: 6e3,
		StoredBy:  []heat.Share{{Name: "block", Amount: -99e3}, {Name: "insulation", Amount: 3e3}},
		ByPass:    []heat.Share{{Name: "1", Amount: 90e3}},
		ByCircuit: []heat.Share{{Name: "of the <northern> row of tubes", Amount: 90e3}},
		ByPath:    []heat.Share{{Name: "window", Amount: 4.2e3}, {Name: "around", Amount: 1.8e3}},
	}
	return &Now{From: 4 * 3600, To: 4*3600 + 60, Over: over, SoFar: soFar, Row: 121, Wide: wide}
}

// TestAMomentsStreamsAreAsWideAsTheirWatts: on round steps, with what each has carried so far beside it.
func TestAMomentsStreamsAreAsWideAsTheirWatts(t *testing.T) {
	r := madeResult(madeReceiver())
	svg := LedgerAt(r, madeNow(560))
	s := textsOf(t, "moment", svg)
	for _, want := range []string{"\nmelt freezing\n", "\n1\u2009300\u2009W\n", "\n1\u2009500\n", "\n0.50\n", "0\u2009W, 2.50\u2009kWh", "50\u2009W\n", "1.50\u2009kWh more than at the start, 0.33\u2009kWh of it by", "0\u2009W left over"} {
		if !strings.Contains(s, want) {
			t.Errorf("the ledger of a moment lacks %q: %s", want, s)
		}
	}
	f := ledgerOn(560)
	path := regexp.MustCompile(`<path d="M` + regexp.QuoteMeta(px(f.barAt)) + ` ([\d.]+)C[^"]* ` + regexp.QuoteMeta(px(f.barAt)) + ` ([\d.]+)Z"`)
	var widest float64
	for _, m := range path.FindAllSubmatch(svg, -1) {
		lo, _ := strconv.ParseFloat(string(m[1]), 64)
		hi, _ := strconv.ParseFloat(string(m[2]), 64)
		widest = math.Max(widest, hi-lo)
	}
	if want := 1500 / 20.0; math.Abs(widest-want) > 0.02 { // 1650 W on 150 px: 20 W each
		t.Errorf("1500 W are %v px wide, want %v", widest, want)
	}
}

// TestLongNamesInALedgerAreWhole: in two lines where one is too narrow.
func TestLongNamesInALedgerAreWhole(t *testing.T) {
	s := textsOf(t, "moment", LedgerAt(madeResult(madeReceiver()), madeNow(420)))
	if strings.Contains(s, "…") || !strings.Contains(strings.Join(strings.Fields(s), " "), "water of circuit of the <northern> row of tubes") {
		t.Errorf("names are cut: %s", s)
	}
}
