package account

import (
	"math"
	"strings"
	"testing"

	"emberbank/heat"
	"emberbank/yield"
)

// madeReport is invented: 10 kWh of light, of which 6 kWh leave with the water.
func madeReport() *yield.Report {
	const kWh = 3.6e6
	return &yield.Report{
		Span: 2 * 86400, Air: 290.15, Light: 10 * kWh, Offered: 12 * kWh, Absorbed: 9 * kWh, Delivered: 6 * kWh, Lost: 3.5 * kWh, Stored: -0.5 * kWh,
		ByPath: []heat.Share{{Name: "window", Amount: 3 * kWh}, {Name: "back", Amount: 0.5 * kWh}}, Serves: 333.15, Begins: 2 * kWh, Unused: 1.5 * kWh,
		Swing: 4 * kWh, Charges: 1.25, Drains: 1.375, First: 0.58, Second: 0.125,
		Served: &heat.Served{Wanted: 8 * kWh, Delivered: 6 * kWh, Met: 6 * kWh, Asked: 4 * 3600, Held: 3 * 3600, Counts: []float64{44 * 3600, 3 * 3600, 3600}, Opened: 5, Shut: 5},
		Cycle:  yield.Cycle{Mean: 353.15, Reversible: 1.07 * kWh, Endoreversible: 0.56 * kWh}, NotBeside: "no light came in",
	}
}

func said(y *yield.Report) string {
	p := &page{}
	p.amounts(y)
	text := strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ").Replace(p.b.String())
	return strings.Join(strings.Fields(text), " ")
}

func TestWhatARunAmountsToIsSaidInWords(t *testing.T) {
	got := said(madeReport())
	for _, want := range []string{
		"What it amounts to in 2 d", "wanted 8.00 kWh", "given 6.00 kWh; 75 % of what was wanted when it was wanted", "hours held 3 h of 4 h",
		"circuits open none for 44 h, 1 for 3 h, 2 for 1 h; opened 5 and shut 5 times", "light on the window 10.00 kWh of 12.00 kWh that was offered",
		"charged and drained 1.25 and 1.38 times the swing of 4.00 kWh", "2.00 kWh at the start, 1.50 kWh left unused at the end", "efficiency, first law 58 %",
		"efficiency, second law 12 %", "The store beside the receiver is not compared: no light came in.",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not said in\n%s", want, got)
		}
	}
	if said(nil) != "" {
		t.Error("of nothing it says something")
	}
}

// What is not known is not said: no load, no efficiency, nothing stored.
func TestWhatIsNotKnownIsNotSaid(t *testing.T) {
	y := madeReport()
	y.Served, y.First, y.Second, y.Serves, y.Swing = nil, math.NaN(), math.NaN(), math.NaN(), 0
	got := said(y)
	for _, not := range []string{"wanted 8", "hours held", "efficiency", "at the start", "charged and drained", "NaN"} {
		if strings.Contains(got, not) {
			t.Errorf("%q is said in\n%s", not, got)
		}
	}
	names := map[string]any{}
	for _, m := range yields(y) {
		names[m.key] = m.value
	}
	for _, n := range []string{"efficiency_first_law", "efficiency_second_law"} {
		if v, is := names[n].(num); !is || !math.IsNaN(float64(v)) {
			t.Errorf("%s is %v", n, names[n])
		}
	}
	if _, there := names["load"]; there {
		t.Error("a load is told that is not there")
	}
}
