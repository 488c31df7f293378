package balance

import (
	"fmt"
	"math"
)

// Plateau is a slow stretch of a thermometer in the insulation just below the boiling point of water: the front at
// which water boils off holds it back, and lets it go once it has passed.
type Plateau struct {
	Column   string
	At       float64 // K, where it is let go
	From, To float64 // s
	Times    float64 // how many times as long per kelvin as below and above
	Sentence string
}

// The numbers that decide; tried on made-up walls with and without water in the tests.
const (
	plateauTimes  = 1.35 // longer per kelvin than the slower neighbour: held back
	plateauSteady = 0.8  // of its height is the least that the source may fall to
)

// plateauMarks are the ends of the three stretches that are compared, in K from the boiling point: below, where it is held
// back, and above.
var plateauMarks = [...]float64{-42, -26, -20, 0, 3, 17}

// plateaus looks for thermometers in the insulation that are held back near the boiling point of water on their first
// way up: between 92 and 102 °C, since the air's pressure falls with height and steam in a wall may be at a little more.
// In a dry wall under a steady source a thermometer rises slowly, then faster, then slowly again, so that it is nowhere
// slower than both before and after. Where the source is not steady, or the thermometer goes back, nothing is said. The
// form is our own.
func (in *Input) plateaus() []Plateau {
	var out []Plateau
	t := in.History.Time
	power := in.sourcePower()
	for _, i := range in.channels(Insulation) {
		x, v := thinned(t, in.values(i), 2*dryingPoints)
		var best Plateau
		for c := boils - 8; c <= boils+2; c++ {
			if p, ok := stand(x, v, c, t, power); ok && p.Times > best.Times {
				best = p
			}
		}
		if best.Times < plateauTimes {
			continue
		}
		best.Column = in.Channels[i].Column
		best.Sentence = fmt.Sprintf("%q takes %s for the %.0f"+narrow+"K up to %.0f"+narrow+"°C on its first way up, %.1f times as long for each kelvin as below and above.",
			best.Column, hours(best.To-best.From), plateauMarks[3]-plateauMarks[2], best.At-273.15, best.Times)
		out = append(out, best)
	}
	return out
}

// stand measures how long v takes to boiling, on its first way up.
func stand(x, v []float64, boiling float64, t, power []float64) (Plateau, bool) {
	var at [len(plateauMarks)]float64
	k, top := 0, math.Inf(-1)
	if len(v) == 0 || v[0] >= boiling+plateauMarks[0] {
		return Plateau{}, false
	}
	for i := 1; i < len(v) && k < len(at); i++ {
		if k > 0 && v[i] < top-3 {
			return Plateau{}, false // it goes back
		}
		for k < len(at) && v[i] >= boiling+plateauMarks[k] {
			at[k] = x[i-1]
			if v[i] > v[i-1] {
				at[k] += (x[i] - x[i-1]) * math.Max(0, (boiling+plateauMarks[k]-v[i-1])/(v[i]-v[i-1]))
			}
			k++
		}
		top = math.Max(top, v[i])
	}
	if k < len(at) || !steady(t, power, at[0]-(at[5]-at[0]), at[5]) {
		return Plateau{}, false
	}
	slow := func(a, b int) float64 { return (at[b] - at[a]) / (plateauMarks[b] - plateauMarks[a]) }
	return Plateau{At: boiling, From: at[2], To: at[3], Times: slow(2, 3) / math.Max(math.Max(slow(0, 1), slow(4, 5)), 1e-9)}, true
}

// steady tells whether the source, once on, keeps its height from a to b. Without a source nothing is known of it.
func steady(t, power []float64, a, b float64) bool {
	if power == nil {
		return false
	}
	height := quantile(power, 0.98)
	from, to := within(t, a, b)
	for from < to && !(power[from] > 0.5*height) {
		from++
	}
	p := median5(power[from:to])
	return len(p) > 0 && quantile(p, 0.02) > plateauSteady*quantile(p, 0.98)
}
