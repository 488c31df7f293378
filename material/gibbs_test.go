package material

import (
	"math"
	"testing"
)

// The heat capacity of tin, magnesium and lead is the second derivative of published Gibbs functions. Here the
// functions stand as published (SGTE unary data, Dinsdale, CALPHAD 15 (1991) 317, in J/mol), and are differenced.
func TestHeatCapacityIsTheCurvatureOfPublishedGibbsFunctions(t *testing.T) {
	const h = 0.5 // K: truncation about 1e-7 of cp, rounding about 1e-8
	for _, c := range []struct {
		what  string
		curve func(e Entry) *Curve
		molar float64
		G     func(T float64) float64
		at    []float64
	}{
		{"tin", func(e Entry) *Curve { return &e.HeatCapacity }, 0.118710, func(T float64) float64 {
			return -5855.135 + 65.443315*T - 15.961*T*math.Log(T) - 18.8702e-3*T*T + 3.121167e-6*T*T*T - 61960/T
		}, []float64{255, 300, 400, 500}},
		{"tin", func(e Entry) *Curve { return &e.HeatCapacityMelted }, 0.118710, func(T float64) float64 {
			return 9496.31 - 9.809114*T - 8.2590486*T*math.Log(T) - 16.814429e-3*T*T + 2.623131e-6*T*T*T - 1081244/T
		}, []float64{510, 600, 700, 790}},
		{"magnesium", func(e Entry) *Curve { return &e.HeatCapacity }, 0.024305, func(T float64) float64 {
			return -8367.34 + 143.675547*T - 26.1849782*T*math.Log(T) + 4.858e-4*T*T - 1.393669e-6*T*T*T + 78950/T
		}, []float64{300, 500, 900}},
		{"magnesium", func(e Entry) *Curve { return &e.HeatCapacityMelted }, 0.024305, func(T float64) float64 {
			return -5439.869 + 195.324057*T - 34.3088*T*math.Log(T)
		}, []float64{930, 1200}},
		{"lead", func(e Entry) *Curve { return &e.HeatCapacity }, 0.2072, func(T float64) float64 {
			return -7650.085 + 101.700244*T - 24.5242231*T*math.Log(T) - 3.65895e-3*T*T - 2.4395e-7*T*T*T
		}, []float64{300, 450, 600}},
		{"lead", func(e Entry) *Curve { return &e.HeatCapacityMelted }, 0.2072, func(T float64) float64 {
			return -10531.095 + 154.243182*T - 32.4913959*T*math.Log(T) + 1.54613e-3*T*T
		}, []float64{610, 900, 1190}},
	} {
		e, _ := Lookup(c.what)
		for _, T := range c.at {
			want := -T * (c.G(T+h) - 2*c.G(T) + c.G(T-h)) / (h * h) / c.molar
			// 1e-4 is what the pieces of 5 K may stray from their formula.
			near(t, c.what, c.curve(e).At(T), want, 0, 1e-4)
		}
	}
	tin, _ := Lookup("tin")
	near(t, "tin above 800 K, 28.4512 J/(mol K)", tin.HeatCapacityMelted.At(1000), 28.4512/0.118710, 0, 1e-6)
}
