package unit

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func TestQuantitiesReadAsTyped(t *testing.T) {
	for _, c := range []struct {
		text string
		d    Dimension
		want float64
		half float64
	}{
		{"80 mm", Length, 0.08, 0},
		{"1.5um", Length, 1.5e-6, 0},
		{"1.5 µm", Length, 1.5e-6, 0},
		{"-40 mm", Length, -0.04, 0},
		{"−40 mm", Length, -0.04, 0},
		{"320 degC", Temperature, 593.15, 0},
		{"20 °C", Temperature, 293.15, 0},
		{"300 K", Temperature, 300, 0},
		{"212 degF", Temperature, 373.15, 0},
		{"5 K", TemperatureDifference, 5, 0},
		{"9 degF difference", TemperatureDifference, 5, 0},
		{"16 W/(m K)", Conductivity, 16, 0},
		{"16 W m-1 K-1", Conductivity, 16, 0},
		{"16 W/m/K", Conductivity, 16, 0},
		{"16 W·m⁻¹·K⁻¹", Conductivity, 16, 0},
		{"16 W.m-1.K-1", Conductivity, 16, 0},
		{"380 W/(m²·K)", HeatTransfer, 380, 0},
		{"380 W/(m^2*K)", HeatTransfer, 380, 0},
		{"0.38 kW/m2/K", HeatTransfer, 380, 0},
		{"380 ± 24 W/(m2 K)", HeatTransfer, 380, 24},
		{"(380 ± 24) W/(m2 K)", HeatTransfer, 380, 24},
		{"380 +/- 24 W/(m2 K)", HeatTransfer, 380, 24},
		{"380 W/(m2 K) ± 5 %", HeatTransfer, 380, 19},
		{"380 W/(m2 K) ± 0.024 kW/(m2 K)", HeatTransfer, 380, 24},
		{"20 ± 2 degC", Temperature, 293.15, 2},
		{"20 degC ± 2 K", Temperature, 293.15, 2},
		{"68 ± 1.8 degF", Temperature, 293.15, 1},
		{"0.9 ± 0.05", Dimensionless, 0.9, 0.05},
		{"90 % ± 5 %", Dimensionless, 0.9, 0.05},
		{"10 %", Dimensionless, 0.1, 0},
		{"0.9 kJ/(kg K)", HeatCapacity, 900, 0},
		{"324 kg/h", MassFlow, 0.09, 0},
		{"5400 g/min", MassFlow, 0.09, 0},
		{"5 h 10 min", Time, 18600, 0},
		{"5h10min", Time, 18600, 0},
		{"5\u2009h 10\u2009min", Time, 18600, 0}, // as the summary prints it
		{"1 d 2 h 30.5 s", Time, 93630.5, 0},
		{"1 d 90 min", Time, 91800, 0},
		{"4 h 10 min ± 5 min", Time, 15000, 300},
		{"1 h 40 min ± 10 %", Time, 6000, 600},
		{"10 bar", Pressure, 1e6, 0},
		{"90 min", Time, 5400, 0},
		{"1 d", Time, 86400, 0},
		{"180 deg", Angle, math.Pi, 0},
		{"2 kWh", Energy, 7.2e6, 0},
		{"1e3 W", Power, 1000, 0},
		{"1.5E+3 W", Power, 1500, 0},
	} {
		q, err := Parse(c.text, c.d)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		// 1e-14: a few roundings of one conversion.
		if math.Abs(q.Value-c.want) > 1e-14*math.Abs(c.want) || math.Abs(q.Half-c.half) > 1e-13*c.half {
			t.Errorf("%q: got %.17g ± %.17g, want %g ± %g", c.text, q.Value, q.Half, c.want, c.half)
		}
	}
}

func TestMistakesSayWhatAndFix(t *testing.T) {
	for _, c := range []struct {
		text      string
		d         Dimension
		what, fix string
	}{
		{"5 degC", TemperatureDifference, "is a temperature; a temperature difference", "write 5 K"},
		{"9 degF", TemperatureDifference, "is a temperature;", "write 5 K"},
		{"0.09 kg", MassFlow, "is a mass; a mass flow rate is wanted", `"0.09 kg/s"`},
		{"6 l/min", MassFlow, "is a volume flow rate; a mass flow rate is wanted", "density"},
		{"0,09 kg/s", MassFlow, "comma", "0.09"},
		{"1 000 W", Power, "space inside", "1000"},
		{"1'000 W", Power, "thousands", "1000"},
		{"1,000 W", Power, "comma", "1000"},
		{"80", Length, "no unit", `"80 mm"`},
		{"NaN m", Length, "no number to compute", "finite"},
		{"Inf K", Temperature, "no number to compute", "finite"},
		{"-inf", Dimensionless, "no number to compute", "finite"},
		{"1e999 m", Length, "outside what numbers can hold", "smaller"},
		{"1e308 km", Length, "outside what numbers can hold", "smaller"},
		{"3 barg", Pressure, "gauge", "absolute"},
		{"3 bar(g)", Pressure, "gauge", "absolute"},
		{"30 psig", Pressure, "gauge", "absolute"},
		{"20 C", Temperature, `"C"`, "degC"},
		{"2 hours", Time, `"hours"`, "write h"},
		{"2 furlong", Length, "not a known unit", "mm"},
		{"380 W/m2 K", HeatTransfer, "two ways", "W/(m2 K)"},
		{"380 W/m²K", HeatTransfer, "two ways", "W/(m2 K)"},
		{"0.03 W/mK", Conductivity, "thermal conductance", "millikelvin"},
		{"380 ± 5 % W/(m2 K)", HeatTransfer, "compound", "percentage alone"},
		{"0.9 ± 5 %", Dimensionless, "two ways", "plain numbers"},
		{"20 degC ± 5 %", Temperature, "share of a temperature", "2 K"},
		{"20 degC ± 2 degC", Temperature, "temperature difference", "write 2 K"},
		{"380 W ± 24", Power, "no unit", `"380 ± 24 W"`},
		{"380 ± -24 W", Power, "negative", "95 %"},
		{"-300 degC", Temperature, "absolute zero", "-273.15"},
		{"5 h 70 min", Time, "70 min behind its h, which hold 59", "carry"},
		{"1 d 24 h", Time, "24 h behind its d, which hold 23", "carry"},
		{"10 min 5 h", Time, "shorter unit before a longer", "5 h 10 min"},
		{"5 h 10 h", Time, "names h twice", "5 h 10 min"},
		{"5.5 h 10 min", Time, "fraction before its last unit", "5.5 h"},
		{"−5 h 10 min", Time, "sign", "-310 min"},
		{"5 h 10", Time, "h 10", "W/"},
		{"5 h 10 min ± 5", Time, "no unit", "310 ± 5 min"},
		{"5 m 10 cm", Length, "m 10 cm", "W/"},
		{"", Length, "no text", "80 mm"},
		{"mm", Length, "begin with a number", "80 mm"},
		{"5 W/(m2 K", HeatTransfer, "closing parenthesis", "W/(m2 K)"},
		{"5 W)", Power, "did not open", "remove"},
		{"5 %", Length, "is a share", "80 mm"},
		{"5 m0", Length, "power 0", "leave"},
	} {
		_, err := Parse(c.text, c.d)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%q as %v: got error %v, want an *Error", c.text, c.d, err)
			continue
		}
		if !strings.Contains(e.What, c.what) || !strings.Contains(e.Fix, c.fix) {
			t.Errorf("%q: what %q, fix %q; want %q and %q in them", c.text, e.What, e.Fix, c.what, c.fix)
		}
	}
}
