package gauge

import (
	"math"
	"testing"

	"emberbank/uncertainty"
)

func known(name string, v, u float64) uncertainty.Quantity {
	return uncertainty.Quantity{Name: name, Value: v, Components: []uncertainty.Component{{Name: "stated", U: u}}}
}

// By hand: 0.035 kg/s · 4184 J/(kg K) · 20 K = 2928.8 W, and 40 W lost, over 0.97: 3060.6 W. Relative parts of the water's
// heat: flow 1 %, rise 0.75 %: √(0.01² + 0.0075²) · 2928.8/0.97 = 37.74 W; the loss adds 10/0.97 W, the share 0.01/0.97 of the
// whole: 31.55 W. Together √(37.74² + 10.31² + 31.55²) = 50.26 W.
func TestWaterCalorimeterByHand(t *testing.T) {
	b, err := Water(known("flow", 0.035, 0.00035), known("rise", 20, 0.15), uncertainty.Exact("c", "", 4184), known("lost", 40, 10), known("taken", 0.97, 0.01))
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(b.Value-3060.62) > 0.02 || math.Abs(b.U-50.26) > 0.05 {
		t.Errorf("%.2f W with u %.3f W, want 3060.62 and 50.26", b.Value, b.U)
	}
}

// 1.2 kg of copper (385 J/(kg K)) that gains 20 K in 30 s takes 308 W; it takes up 0.9 of the light and loses 5 W: 347.8 W.
func TestPlateByHand(t *testing.T) {
	b, err := Plate(uncertainty.Exact("m", "", 1.2), uncertainty.Exact("c", "", 385), known("rise", 20, 0.2), uncertainty.Exact("t", "", 30), uncertainty.Exact("lost", "", 5), uncertainty.Exact("taken", "", 0.9))
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(b.Value-313/0.9) > 1e-9 || math.Abs(b.U-3.08/0.9) > 1e-6 {
		t.Errorf("%.4f W with u %.4f W", b.Value, b.U)
	}
}

// A calibration that all gauges share does not average out; what each reads wrong by itself does, as one over the root of n.
func TestSharedCalibrationDoesNotAverageOut(t *testing.T) {
	var r []uncertainty.Quantity
	for range 25 {
		r = append(r, known("q", 40e3, 2000))
	}
	b, err := Gauges(uncertainty.Exact("area", "m2", 4e-4), known("calibration", 1, 0.03), r)
	if err != nil {
		t.Fatal(err)
	}
	want := math.Hypot(400*0.03, 4e-4*2000*5)
	if math.Abs(b.Value-400) > 1e-9 || math.Abs(b.U-want) > 1e-6 {
		t.Errorf("%.4f W with u %.4f W, want 400 and %.4f", b.Value, b.U, want)
	}
}
