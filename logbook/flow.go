package logbook

import (
	"math"

	"emberbank/balance"
	"emberbank/bench"
)

// Flow is the heat flow to the water over one drain.
type Flow struct {
	Time []float64 // s from the start of the record
	Heat []float64 // W
	Half []float64 // W, half-width at 95 % of what lasts through the whole drain; noise is not in it
}

// ToWater returns the heat flow to the water of a trial's drains, row by row; none where water, flow or the block's
// temperature are not measured.
//
// Errors of one group are one number: their shares add up, those of different groups as a root of squares. The
// half-width is 1.96 standard uncertainties.
// Source: JCGM 100:2008, 5.2.2 and G.1.3.
func ToWater(t *bench.Trial) []Flow {
	in, _ := Input(t)
	yields, err := balance.Yields(&in, 0)
	if err != nil {
		return nil
	}
	var out []Flow
	for i := range yields {
		y := &yields[i]
		shares, order := map[string]float64{}, []string{}
		for _, e := range y.Errors {
			if _, known := shares[e.Group]; !known {
				order = append(order, e.Group)
			}
			shares[e.Group] += e.U
		}
		relative := 0.0
		for _, g := range order {
			relative = math.Hypot(relative, shares[g])
		}
		f := Flow{Time: y.Time, Heat: y.Q, Half: make([]float64, len(y.Q))}
		for k, q := range y.Q {
			f.Half[k] = 1.96 * math.Hypot(relative*q, y.Rounding)
		}
		out = append(out, f)
	}
	return out
}
