package receiver

import "emberbank/material"

// Strength is what the user says of a tube under pressure, from the current code and the tube's papers. Nothing of it enters a
// computation of heat.
type Strength struct {
	Stress    material.Curve // Pa, allowable stress over temperature; known between its Min and Max only
	Joint     float64        // 1, efficiency of the weld seam or quality factor; 1 for seamless tubes
	Undersize float64        // 1, share of the wall that the mill may leave out
	Allowance float64        // m, off the wall: threads, corrosion, erosion
	Source    string         // where the stress comes from; "": not said
}

// At returns the allowable stress in Pa at a temperature in K, and whether it is known there: below the lowest temperature that is
// stated that of the lowest counts, above the highest none.
func (s *Strength) At(T float64) (stress float64, known bool) {
	if !(T <= s.Stress.Max) {
		return 0, false
	}
	return s.Stress.At(T), true
}
