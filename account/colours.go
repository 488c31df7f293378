package account

import (
	"math"

	"emberbank/figure"
	"emberbank/heat"
	"emberbank/receiver"
)

const zeroCelsius = 273.15

// Colours are the temperatures over which the pictures of a run are coloured: those that its bench's file states, in K; where it
// states none, from the coolest ambient to the service limit of the block's medium where what is reached, from low to top in
// °C, fills half of that, else what is reached.
func Colours(said [2]float64, p *heat.Problem, low, top float64) figure.Range {
	if said[1] > said[0] {
		return figure.Range{Low: said[0] - zeroCelsius, Top: said[1] - zeroCelsius, Fixed: true}
	}
	for _, T := range p.Duty.Ambient.V {
		low = math.Min(low, T-zeroCelsius)
	}
	if limit := serviceLimit(&p.Receiver) - zeroCelsius; top <= limit && top-low >= 0.5*(limit-low) {
		top = limit
	}
	return figure.Range{Low: low, Top: top}
}

// ColoursOf are Colours for what a run has reached.
func ColoursOf(said [2]float64, p *heat.Problem, r *heat.Result) figure.Range {
	low, top := figure.Reach(r)
	if !(low <= top) {
		return figure.Range{}
	}
	return Colours(said, p, low, top)
}

// serviceLimit is that of the block's medium, K; 0: none is known.
func serviceLimit(rec *receiver.Receiver) float64 {
	for _, part := range rec.Parts {
		if part.Role == receiver.RoleBlock && part.Medium >= 0 && part.Medium < len(rec.Media) {
			return rec.Media[part.Medium].ServiceLimit
		}
	}
	return 0
}
