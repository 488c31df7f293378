package unit

import (
	"math"
	"testing"
)

// The factors are as printed in NIST Special Publication 811 (2008), appendix B.8, alphabetical list, with the
// digits given there; those marked exact are printed in bold there. Values copied from memory of that list and
// cross-checked against their definitions in the table of symbols; so an error in a definition shows here.
const sp811 = "NIST SP 811 (2008), appendix B.8, from memory"

func TestFactorsMatchNISTSP811(t *testing.T) {
	for _, c := range []struct {
		unit   string
		d      Dimension
		want   float64
		digits float64 // relative precision of the printed factor; 0: exact
		source string
	}{
		{"in", Length, 2.54e-2, 0, sp811 + ", inch"},
		{"ft", Length, 3.048e-1, 0, sp811 + ", foot"},
		{"ft2", Area, 9.290304e-2, 0, sp811 + ", square foot"},
		{"in2", Area, 6.4516e-4, 0, sp811 + ", square inch"},
		{"ft3", Volume, 2.831685e-2, 1e-6, sp811 + ", cubic foot"},
		{"gal", Volume, 3.785412e-3, 1e-6, sp811 + ", gallon (US)"},
		{"lb", Mass, 4.535924e-1, 1e-6, sp811 + ", pound (avoirdupois)"},
		{"lb/ft3", Density, 1.601846e1, 1e-6, sp811 + ", pound per cubic foot"},
		{"lb/h", MassFlow, 1.259979e-4, 1e-6, sp811 + ", pound per hour"},
		{"psi", Pressure, 6.894757e3, 1e-6, sp811 + ", psi"},
		{"atm", Pressure, 1.01325e5, 0, sp811 + ", atmosphere, standard"},
		{"bar", Pressure, 1e5, 0, sp811 + ", bar"},
		{"Btu", Energy, 1.055056e3, 1e-6, sp811 + ", British thermal unit IT"},
		{"Btu/h", Power, 2.930711e-1, 1e-6, sp811 + ", Btu IT per hour"},
		{"Btu/(h ft2)", HeatFlux, 3.154591, 1e-6, sp811 + ", Btu IT per square foot hour"},
		{"Btu/(h ft2 degF)", HeatTransfer, 5.678263, 1e-6, sp811 + ", Btu IT per hour square foot degree Fahrenheit"},
		{"Btu/(h ft degF)", Conductivity, 1.730735, 1e-6, sp811 + ", Btu IT foot per hour square foot degree Fahrenheit"},
		{"Btu/(lb degF)", HeatCapacity, 4.1868e3, 0, sp811 + ", Btu IT per pound degree Fahrenheit"},
		{"Btu/lb", SpecificEnergy, 2.326e3, 0, sp811 + ", Btu IT per pound"},
		{"cal_IT", Energy, 4.1868, 0, sp811 + ", calorie IT"},
		{"cal_th", Energy, 4.184, 0, sp811 + ", calorie th"},
		{"hp", Power, 7.456999e2, 1e-6, sp811 + ", horsepower (550 ft lbf/s)"},
		{"kWh", Energy, 3.6e6, 0, sp811 + ", kilowatt hour"},
		{"deg", Angle, 1.745329e-2, 1e-6, sp811 + ", degree (angle)"},
		{"degF difference", TemperatureDifference, 5.0 / 9, 0, sp811 + ", degree Fahrenheit (temperature interval)"},
		{"W/cm2", HeatFlux, 1e4, 0, sp811 + ", watt per square centimeter"},
	} {
		got, err := ToSI(1, c.d, c.unit)
		if err != nil {
			t.Errorf("%s: %v", c.unit, err)
			continue
		}
		tolerance := c.digits
		if tolerance == 0 {
			tolerance = 1e-13 // roundings of a few products
		}
		if math.Abs(got-c.want) > tolerance*c.want {
			t.Errorf("%s: got %.10g, want %.10g (%s)", c.unit, got, c.want, c.source)
		}
	}
}
