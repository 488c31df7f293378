package seek

import "math"

// logImprovement is ln(φ(t) + t Φ(t)), the logarithm of the expected improvement in standard deviations of a value that
// is expected t standard deviations better than the best; right far below too, where the sum itself is 0 in numbers.
//
// Source: Jones, Schonlau & Welch 1998, eq. 15; far below by the series of Mills' ratio, M. Abramowitz, I. A. Stegun,
// Handbook of Mathematical Functions, NBS (1964), eq. 26.2.12.
func logImprovement(t float64) float64 {
	if t > -8 {
		return math.Log(density(t) + t*below(t))
	}
	t2 := t * t
	return -t2/2 - 0.5*math.Log(2*math.Pi) - math.Log(t2) + math.Log1p(-3/t2+15/(t2*t2))
}

// logBelow is ln Φ(t).
func logBelow(t float64) float64 {
	if t > -8 {
		return math.Log(below(t))
	}
	t2 := t * t
	return -t2/2 - 0.5*math.Log(2*math.Pi) - math.Log(-t) + math.Log1p(-1/t2+3/(t2*t2))
}

func density(t float64) float64 { return math.Exp(-t*t/2) / math.Sqrt(2*math.Pi) }

func below(t float64) float64 { return math.Erfc(-t/math.Sqrt2) / 2 }

// under is ∫ Φ((z − mean)/sd) dz from −∞ to b: by how much, on average, a value falls short of b, counting only when it does.
func under(b, mean, sd float64) float64 {
	t := (b - mean) / sd
	return sd * math.Exp(logImprovement(t))
}

// areaGain is by how much the area between a front and a reference point is expected to grow by a variant whose aims
// are normal and independent. The front is by rising first aim, thus falling second, inside the reference. The area that
// is not yet beaten is cut into strips at the front's first aims; a variant adds those points of it that it betters
// in both aims, so that
//
//	E = Σₖ (G₁(aₖ₊₁) − G₁(aₖ)) G₂(bₖ),   G(c) = ∫ Φ((z − μ)/s) dz up to c,
//
// for strips from aₖ to aₖ₊₁ below bₖ.
// Source: M. T. M. Emmerich, A. H. Deutz, J. W. Klinkenberg, "Hypervolume-based expected improvement: monotonicity
// properties and exact computation", IEEE CEC (2011) 2147-2154; the sum is our own way to write it.
func areaGain(front [][2]float64, reference [2]float64, mean, sd [2]float64) float64 {
	gain, before, top := 0.0, 0.0, reference[1]
	for k := range len(front) + 1 {
		end := reference[0]
		if k < len(front) {
			end = front[k][0]
		}
		g := under(end, mean[0], sd[0])
		gain += (g - before) * under(top, mean[1], sd[1])
		before = g
		if k < len(front) {
			top = front[k][1]
		}
	}
	return gain
}

// area is what a front dominates up to a reference point.
func area(front [][2]float64, reference [2]float64) float64 {
	sum, top := 0.0, reference[1]
	for _, p := range front {
		if p[0] < reference[0] && p[1] < top {
			sum += (reference[0] - p[0]) * (top - p[1])
			top = p[1]
		}
	}
	return sum
}
