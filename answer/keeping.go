package answer

import "gonum.org/v1/gonum/stat/distuv"

// Keeping says how surely a limit is kept by a response that stands inside it by a distance, with a standard uncertainty u above 0, both
// in the response's unit, and how far inside it would have to stand to keep it with the given confidence:
//
//	share = Φ(inside/u),   room = z u,
//
// z the normal quantile of the confidence; the response is taken as normal about its value.
func Keeping(inside, u, confidence float64) (share, room float64) {
	return distuv.UnitNormal.CDF(inside / u), distuv.UnitNormal.Quantile(confidence) * u
}
