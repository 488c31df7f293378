package account

import (
	"math"
	"testing"

	"emberbank/duty"
	"emberbank/figure"
	"emberbank/heat"
	"emberbank/material"
	"emberbank/receiver"
)

// TestColoursKeepTheirMeaning: what the bench states holds for all pictures; else the block's service limit where at least half of the
// range up to it is filled, else what is reached.
func TestColoursKeepTheirMeaning(t *testing.T) {
	p := &heat.Problem{Receiver: receiver.Receiver{
		Parts: []receiver.Part{{Role: receiver.RoleBlock, Medium: 0}}, Media: []material.Medium{{ServiceLimit: 600 + zeroCelsius}},
	}}
	p.Duty.Ambient = duty.Signal{T: []float64{0}, V: []float64{10 + zeroCelsius}}
	for _, c := range []struct {
		name     string
		said     [2]float64 // °C
		low, top float64
		want     figure.Range
	}{
		{"stated", [2]float64{20, 280}, 5, 400, figure.Range{Low: 20, Top: 280, Fixed: true}},
		{"half filled", [2]float64{}, 18, 320, figure.Range{Low: 10, Top: 600}},
		{"little filled", [2]float64{}, 18, 280, figure.Range{Low: 10, Top: 280}},
		{"beyond the limit", [2]float64{}, 18, 640, figure.Range{Low: 10, Top: 640}},
	} {
		var said [2]float64
		if c.said[1] > 0 {
			said = [2]float64{c.said[0] + zeroCelsius, c.said[1] + zeroCelsius}
		}
		got := Colours(said, p, c.low, c.top)
		if math.Abs(got.Low-c.want.Low) > 1e-9 || math.Abs(got.Top-c.want.Top) > 1e-9 || got.Fixed != c.want.Fixed {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
	if low, top, _, _ := (figure.Range{Low: 20, Top: 280, Fixed: true}).Rule(); low != 20 || top != 280 {
		t.Errorf("the rule of a stated range goes from %g to %g", low, top)
	}
}
