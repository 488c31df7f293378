package heat

import "math"

// This file follows the water back through one slice across liquid, boiling water and steam, so that a slice in which
// water comes to boil, dries or condenses takes the heat that its parts take, without a jump where one phase ends.

// steepest is the largest number of transfer units of one slice that its exponential counts in full.
const steepest = 5.0

var fullGrowth = math.Expm1(steepest) / steepest

// growth returns (Tb − Tin)/(Tb − Tout) − 1 of a slice of n transfer units: e^n − 1, at most so many times n. With the
// most of a flow that passes, that is straight on from steepest units; with 1 it is the heat of water that only stands.
func growth(n, most float64) float64 {
	if n > steepest {
		return n * most
	}
	return math.Min(math.Expm1(n), n*most)
}

// unitsOf undoes growth.
func unitsOf(more, most float64) float64 { return math.Max(math.Log1p(more), more/most) }

// trickle is the share of a circuit's flow below which what enters a slice counts less and less as a flow that passes it.
const trickle = 0.1

// mostGrowth returns how many times the number of its transfer units a slice's growth may be, where a share of the
// circuit's flow enters it.
func mostGrowth(share float64) float64 {
	return 1 + (fullGrowth-1)*math.Min(1, share/trickle)
}

// effective returns U' of a slice: what makes its outlet approach T̄ exponentially at a steady flow.
func effective(u, flowCp float64) float64 {
	if flowCp <= 0 {
		return u
	}
	n := u / flowCp
	if n < 1e-6 {
		return u
	}
	return flowCp * growth(n, fullGrowth)
}

// Boiling water stands as zones of quality: some that wet the wall, some in which it dries, and some of mist on a dry wall.
// Between the ends of a zone, its nodes, the resistance of the chain lies on a straight line.
const (
	wetSteps  = 40
	drySteps  = 24
	mistSteps = 8
	zoneCount = wetSteps + drySteps + mistSteps
)

// nodes are the places of the nodes within their part: the wet one closer where boiling has begun, as there a little steam
// takes much room; the drying one closer towards its end, where a small rest of wet wall still carries most of the heat.
var nodes = func() (at [zoneCount + 1]float64) {
	for k := range wetSteps {
		u := float64(k) / wetSteps
		at[k] = u * (0.03 + u*(0.5+0.47*u))
	}
	for k := range drySteps {
		u := 1 - float64(k)/drySteps
		at[wetSteps+k] = 1 - u*u
	}
	for k := range mistSteps + 1 {
		at[wetSteps+drySteps+k] = float64(k) / mistSteps
	}
	return at
}()

// zones are what a slice conducts by the state of the water in it.
type zones struct {
	ready          bool
	onset, wetFilm float64 // W/(m² K), of the last time that they were asked for: where boiling begins, and of the wet zone
	cp             float64 // J/(kg K), of the liquid
	liquid, vapour float64 // W/K
	most           float64 // of growth: see mostGrowth

	from, to float64                // qualities between which the wall dries
	edge     [zoneCount + 1]float64 // J/kg, the nodes from saturated liquid to saturated vapour
	chain    [zoneCount + 1]float64 // K/W, the whole resistance there; 0: not asked for yet
	mean     [zoneCount]float64     // kg/m³, of whole zones; 0: not asked for yet
	spots    spots
}

// dry sets the nodes for a wall that dries between two qualities.
func (z *zones) dry(b *isobar, from, to float64) {
	z.from, z.to = from, to
	clear(z.mean[:])
	for k, at := range nodes[:wetSteps] {
		z.edge[k] = b.HLiquid + b.latent*from*at
	}
	for k, at := range nodes[wetSteps : wetSteps+drySteps] {
		z.edge[wetSteps+k] = b.HLiquid + b.latent*(from+(to-from)*at)
	}
	for k, at := range nodes[wetSteps+drySteps:] {
		z.edge[wetSteps+drySteps+k] = b.HLiquid + b.latent*(to+(1-to)*at)
	}
	z.edge[zoneCount] = b.HVapour
	z.bend(b.HLiquid + b.latent*b.bend)
}

// bend moves the nearest node on the wet wall to an enthalpy in J/kg at which the film has a bend.
func (z *zones) bend(h float64) {
	k := z.find(func(edge float64) bool { return edge > h })
	if h-z.edge[k] > z.edge[k+1]-h {
		k++
	}
	if k > 0 && k < wetSteps {
		z.edge[k] = h
	}
}

// at returns the resistance in K/W at node k. It hangs on the slice and its flow as they were laid, and not on which was
// asked for before: a way through a slice crosses few.
func (z *zones) at(k int) float64 {
	if z.chain[k] == 0 {
		z.chain[k] = z.spots.chain(z.from, z.to, k, z.spots.quality(z.edge[k]))
	}
	return z.chain[k]
}

// zone returns the resistance at h within zone k and by how much it rises with h.
func (z *zones) zone(k int, h float64) (r, slope float64) {
	r = z.at(k)
	if wide := z.edge[k+1] - z.edge[k]; wide > 0 {
		slope = (z.at(k+1) - r) / wide
	}
	return r + slope*(h-z.edge[k]), slope
}

// mixture returns the mean density in kg/m³ of a flow's way from one enthalpy to a higher one within zone k.
func (z *zones) mixture(iso *isobar, k int, from, to float64) float64 {
	if from != z.edge[k] || to != z.edge[k+1] {
		return iso.mixture(from, to)
	}
	if z.mean[k] == 0 {
		z.mean[k] = iso.mixture(from, to)
	}
	return z.mean[k]
}

// passage is a steady flow's way through one slice.
type passage struct {
	in      float64 // J/kg, at which it enters
	slope   float64 // about how fast that rises with the enthalpy at which it leaves
	density float64 // kg/m³, the mean over the slice
}

// entry follows the steady flow f in kg/s that leaves a slice at h in J/kg back to where it enters, with Tb in K around
// it. The enthalpy there rises with h always: two flows through the same slice never cross.
//
// Heated water is followed back downwards: through steam, drying, boiling, liquid, each taking its share of the slice;
// cooled water upwards. Within liquid and steam the heat capacity is the mean between h and saturation, for heated
// liquid that of the step's start.
func (iso *isobar) entry(z *zones, Tb, f, h float64) passage {
	T, rise := iso.point(h)
	d := Tb - T
	if d == 0 {
		return passage{h, 1, iso.Density(h)}
	}
	sat := iso.Saturation
	left, density := 1.0, 0.0 // of the slice: still to go, and the integral over the rest
	at := h
	over := Tb - sat
	if d > 0 {
		if h > iso.HVapour {
			// c falls in with h − h″ and T − Tsat, so that the way down ends at saturated steam.
			c := (h - iso.HVapour) / math.Max(T-sat, 1e-9)
			n := z.vapour / (f * c)
			more := (T - sat) / d // growth down to saturation
			if s := growth(n, z.most); s <= more {
				return passage{h - c*s*d, 1 + c*s*rise, iso.Density(h)}
			}
			share := unitsOf(more, z.most) / n
			left -= share
			density += share * 0.5 * (iso.Density(h) + iso.Vapour.Density)
			at = iso.HVapour
		}
		speed := iso.speed(z, h, d)
		for k := z.below(at); at > iso.HLiquid; k-- {
			// ∫ R dh = (Tb − Tsat) ds/f, with the resistance R straight within the zone.
			r, slope := z.zone(k, at)
			floor, need := z.edge[k], left*over/f
			whole := (at - floor) * (r - 0.5*slope*(at-floor))
			if whole >= need {
				to := at - reach(need, r, slope)
				return passage{to, over / ((r - slope*(at-to)) * speed), density + left*iso.mixture(to, at)}
			}
			share := whole * f / over
			left -= share
			density += share * z.mixture(iso, k, floor, at)
			at = floor
		}
		if h <= iso.HLiquid {
			s := growth(z.liquid/(f*z.cp), z.most)
			return passage{h - z.cp*s*d, 1 + z.cp*s*rise, iso.Density(h)}
		}
		s := growth(left*z.liquid/(f*z.cp), z.most)
		return passage{at - z.cp*s*over, z.liquid * (over + s*over) / speed, density + left*iso.Liquid.Density}
	}
	if h < iso.HLiquid {
		c := (iso.HLiquid - h) / math.Max(sat-T, 1e-9)
		n := z.liquid / (f * c)
		more := (T - sat) / d
		if s := growth(n, z.most); s <= more {
			return passage{h - c*s*d, 1 + c*s*rise, iso.Density(h)}
		}
		share := unitsOf(more, z.most) / n
		left -= share
		density += share * iso.Liquid.Density
		at = iso.HLiquid
	}
	speed := iso.speed(z, h, d)
	for k := z.above(at); at < iso.HVapour; k++ {
		r, slope := z.zone(k, at)
		ceiling, need := z.edge[k+1], -left*over/f
		whole := (ceiling - at) * (r + 0.5*slope*(ceiling-at))
		if whole >= need {
			to := at + reach(need, r, -slope)
			return passage{to, over / ((r + slope*(to-at)) * speed), density + left*iso.mixture(at, to)}
		}
		share := whole * f / -over
		left -= share
		density += share * z.mixture(iso, k, at, ceiling)
		at = ceiling
	}
	if h >= iso.HVapour {
		s := growth(z.vapour/(f*iso.vapourCp), z.most)
		return passage{h - iso.vapourCp*s*d, 1 + iso.vapourCp*s*rise, iso.Density(h)}
	}
	s := growth(left*z.vapour/(f*iso.vapourCp), z.most)
	return passage{at - iso.vapourCp*s*over, z.vapour * (over + s*over) / speed, density + left*iso.Vapour.Density}
}

// logarithmic returns the logarithmic mean of two positive numbers; where they are near each other by (2 √(a b) +
// (a + b)/2)/3, which is good to 2e-5 and needs no logarithm.
func logarithmic(a, b float64) float64 {
	if b > 0.67*a && b < 1.5*a {
		return (2*math.Sqrt(a*b) + 0.5*(a+b)) / 3
	}
	r := (b - a) / a
	return a * r / math.Log1p(r)
}

// speed returns the heat that a slice gives to water at h, d in K colder, in W.
func (iso *isobar) speed(z *zones, h, d float64) float64 {
	switch {
	case h <= iso.HLiquid:
		return z.liquid * d
	case h >= iso.HVapour:
		return z.vapour * d
	}
	r, _ := z.zone(z.below(h), h)
	return d / r
}

// reach returns how far one must go for ∫ R dh = need, with R = r here and falling by slope with the way.
func reach(need, r, slope float64) float64 {
	return 2 * need / (r + math.Sqrt(math.Max(r*r-2*slope*need, 0)))
}

// find returns the last zone whose lower edge is not past a place; past tells, of an edge, whether it is.
func (z *zones) find(past func(edge float64) bool) int {
	lo, hi := 0, zoneCount // edge[lo] counts as not past, edge[hi] as past
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; past(z.edge[mid]) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo
}

// below returns the zone of boiling water that ends at or holds h, for water that is followed downwards.
func (z *zones) below(h float64) int { return z.find(func(edge float64) bool { return edge >= h }) }

// above is below for water that is followed upwards: the zone that begins at or holds h.
func (z *zones) above(h float64) int { return z.find(func(edge float64) bool { return edge > h }) }

// boiledOff returns ∫ m dh in J from h0 up to h, for a slice that holds m0 kg at h0 and m1 at h. What boils gives up
// water as its volume grows: the mass falls like 1/(a + b h), as that of a mixture in a given room does. Water that
// shrinks keeps its mass: what fills it up comes in as flow.
func (iso *isobar) boiledOff(m0, m1, h0, h float64) float64 {
	from := math.Max(h0, iso.HLiquid)
	if h <= from || m1 >= m0 {
		return m0 * (h - h0)
	}
	return m0*(from-h0) + logarithmic(m0, m1)*(h-from)
}
