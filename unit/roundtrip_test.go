package unit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestPrintedQuantitiesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Dimension(rapid.IntRange(0, int(numDimensions)-1).Draw(t, "kind"))
		u := rapid.SampledFrom(Units(d)).Draw(t, "unit")
		v := rapid.Float64Range(-1e9, 1e9).Draw(t, "value")
		if d == Temperature {
			v = rapid.Float64Range(0.001, 1e4).Draw(t, "temperature")
		}
		text := Format(v, d, u)
		q, err := Parse(text, d)
		if err != nil {
			t.Fatalf("%g as %v in %q printed as %q: %v", v, d, u, text, err)
		}
		atol := 0.0
		if d == Temperature {
			atol = 1e-8 // twelve digits of a Celsius or Fahrenheit number up to 1e4
		}
		if math.Abs(q.Value-v) > atol+1e-11*math.Abs(v) {
			t.Fatalf("%g as %v in %q printed as %q read back as %g", v, d, u, text, q.Value)
		}
		if again := Format(q.Value, d, u); again != text && math.Abs(v) > 1e-6 {
			// A printed text is a fixed point up to the twelfth digit.
			a, _ := Parse(again, d)
			if math.Abs(a.Value-q.Value) > atol+1e-11*math.Abs(v) {
				t.Fatalf("%q read and printed again is %q", text, again)
			}
		}
	})
}

func TestEveryKindReadsItsOwnExampleAndUnits(t *testing.T) {
	for d := Dimension(0); d < numDimensions; d++ {
		if _, err := Parse(d.Example(), d); err != nil {
			t.Errorf("%v: its example %q: %v", d, d.Example(), err)
		}
		if v, err := ToSI(1, d, d.SI()); err != nil || v != 1 {
			t.Errorf("%v: one %s is %g SI, error %v; want 1", d, d.SI(), v, err)
		}
		if len(Units(d)) == 0 {
			t.Errorf("%v has no units", d)
		}
		for _, u := range Units(d) {
			if _, err := Between(d, u); err != nil {
				t.Errorf("%v in %q: %v", d, u, err)
			}
		}
	}
}

func TestOrdinaryNumbersPrintAsPeopleWriteThem(t *testing.T) {
	for _, c := range []struct {
		v    float64
		d    Dimension
		unit string
		want string
	}{
		{0.08, Length, "mm", "80 mm"},
		{0.0015, Length, "", "1.5 mm"},
		{593.15, Temperature, "degC", "320 degC"},
		{273.15, Temperature, "degC", "0 degC"},
		{5, TemperatureDifference, "", "5 K"},
		{5, TemperatureDifference, "degC", "5 K"},
		{0.09, MassFlow, "kg/h", "324 kg/h"},
		{0.9, Dimensionless, "", "0.9"},
		{0.9, Dimensionless, "%", "90 %"},
		{3e14, Energy, "J", "3e+14 J"},
		{-0.04, Length, "mm", "-40 mm"},
		{0, Power, "kW", "0 kW"},
	} {
		if got := Format(c.v, c.d, c.unit); got != c.want {
			t.Errorf("Format(%g, %v, %q) = %q, want %q", c.v, c.d, c.unit, got, c.want)
		}
	}
}

func TestHeadingsSplitIntoNameAndUnit(t *testing.T) {
	for _, c := range []struct{ text, name, unit string }{
		{"ambient [degC]", "ambient", "degC"},
		{" flow rate [kg/s] ", "flow rate", "kg/s"},
		{"length [[in_i]]", "length", "[in_i]"},
		{"T[1] [degC]", "T[1]", "degC"},
		{"plain", "plain", ""},
		{"odd]", "odd]", ""},
		{"[s]", "", "s"},
		{"", "", ""},
	} {
		if n, u := ParseHeading(c.text); n != c.name || u != c.unit {
			t.Errorf("ParseHeading(%q) = %q, %q; want %q, %q", c.text, n, u, c.name, c.unit)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{
		"80 mm", "380 ± 24 W/(m2 K)", "(380 +/- 24) W·m⁻²·K⁻¹", "380 W/m2/K ± 5 %", "−3.5e2 degF", "9 degF difference", "1/K", "3 1/K",
		"1 000,5 W", "5 [Btu_IT]", "90 % ± 5 %", "1e999 m", "3 bar(g)", "((((((((((", "5 m^-", "5 m-−2", "\xff mm", "5 m12m12m12m12m12m12m12m12m12m12m12m12", "±", "5 °", "٣ m", "5 h 10 min", "1 d 2 h 30.5 s ± 5 %", "5h10min", "5 h 70 min", "1 min 2 h",
	} {
		for d := range int(numDimensions) {
			f.Add(s, d)
		}
	}
	f.Fuzz(func(t *testing.T, text string, kind int) {
		d := Dimension(kind)
		q, err := Parse(text, d)
		if err != nil {
			e, ok := err.(*Error)
			if !ok || e.What == "" || e.Fix == "" {
				t.Fatalf("%q as %v: error %#v lacks what or fix", text, d, err)
			}
			return
		}
		if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) || math.IsNaN(q.Half) || math.IsInf(q.Half, 0) || q.Half < 0 {
			t.Fatalf("%q as %v gives %+v", text, d, q)
		}
		if q.Text != text {
			t.Fatalf("%q is kept as %q", text, q.Text)
		}
		// Parse, print, parse agrees, in the unit as typed.
		printed := Format(q.Value, d, q.Unit)
		back, err := Parse(printed, d)
		if err != nil {
			if strings.Contains(err.Error(), "outside what numbers can hold") {
				return // the last digit rounded past the largest number
			}
			t.Fatalf("%q as %v printed as %q: %v", text, d, printed, err)
		}
		c, err := Between(d, q.Unit)
		if err != nil {
			t.Fatalf("%q: unit %q: %v", text, q.Unit, err)
		}
		if tolerance := 1e-10*math.Abs(q.Value) + 1e-11*math.Abs(c.Offset*c.Factor/c.Divisor) + 1e-300; math.Abs(back.Value-q.Value) > tolerance {
			t.Fatalf("%q as %v is %g, printed as %q it is %g", text, d, q.Value, printed, back.Value)
		}
	})
}
