package film

import "math"

const lawPool = "standing water boiling off: Cooper 1984 where wet, steam at rest where dry"

const lastWater = 0.02 // share of the volume

// Standing returns the film of an open tube without flow in which water boils
// off at the outlet's pressure, a mean around and along the wall, referred to
// wall minus saturation.
//
// full is the share of the tube's volume that is water, 0..1; inner in m, tilt
// in rad; flux the mean from wall to water in W/m²; over the wall's superheat in
// K, for the steam's natural convection.
//
//	w Cooper + (1−w) Stagnant of the vapour
//
// w is the share of the wall below the water: in a level tube that of
// StratifiedAngle, in one that slopes the share full itself, since the water
// gathers at the lower end; between, from level to 10° of slope, it glides. The
// lying water's share, which would fall upright with the last drop, fades over
// the last fiftieth of the volume.
// Cooper takes the flux of the wet part, flux/w, as long as w is over a tenth
// (below, w counts as that); it is no larger than 1.5 times what the water
// carries at Zuber's flux. All this but Cooper is ours, hence always Outside and
// a factor of two. Over Zuber's flux, or on a wall over Leidenfrost, water does
// not wet the wall and the film may be a tenth of this.
func Standing(t *TwoPhase, full, inner, tilt, flux, over float64, c Choice) Boiled {
	full = reach(full, 0, 1)
	lying := (1 - StratifiedAngle(1-full)/(2*math.Pi)) * smooth(full/lastWater)
	w := reach(lying+smooth(math.Abs(tilt)/levelTo)*(full-lying), 0, 1)
	dry := Stagnant(t.Vapour, inner, over).H
	q := math.Max(flux, 0) / math.Max(w, 0.1)
	q = math.Min(q, 1.5*poolLimit(t))
	wet := math.Max(Cooper(q, t.ReducedPressure, t.MolarMass, 1), Stagnant(t.Liquid, inner, over).H)
	return Boiled{Coefficient{H: mix(dry, wet, w), Law: lawPool, Outside: true, Spread: factorOfTwo}, w, Pool}
}

// poolLimit is Zuber's flux with K = 0.131, and next to nothing where liquid and
// vapour are of one density.
func poolLimit(t *TwoPhase) float64 {
	near := *t
	near.Vapour.Density = math.Min(t.Vapour.Density, t.Liquid.Density*(1-1e-9))
	return Zuber(near, 0.131)
}
