package film

import "math"

// CoaxialDisks returns the view factor from disk 1 to a parallel disk 2 on the
// same axis; radii and distance in m:
//
//	F12 = ½ [S − √(S² − 4 (r2/r1)²)],  S = 1 + (1 + R2²)/R1²,  R = r/distance
//
// Source: Howell, A Catalog of Radiation Heat Transfer Configuration Factors,
// C-41; Incropera Table 13.2.
func CoaxialDisks(r1, r2, distance float64) float64 {
	R1, R2 := r1/distance, r2/distance
	s := 1 + (1+R2*R2)/(R1*R1)
	p := 4 * (r2 / r1) * (r2 / r1)
	// ½(s − √(s² − p)) written so that far disks keep their digits.
	return p / 2 / (s + math.Sqrt(math.Max(s*s-p, 0)))
}

// OpposedRectangles returns the view factor between two equal parallel
// rectangles of sides a and b, face to face at the given distance, all in m:
//
//	F = 2/(π X Y) { ln √((1+X²)(1+Y²)/(1+X²+Y²)) + X√(1+Y²) atan(X/√(1+Y²))
//	      + Y√(1+X²) atan(Y/√(1+X²)) − X atan X − Y atan Y },  X = a/distance, Y = b/distance
//
// Source: Howell C-11; Incropera Table 13.2.
func OpposedRectangles(a, b, distance float64) float64 {
	x, y := a/distance, b/distance
	rx, ry := math.Sqrt(1+x*x), math.Sqrt(1+y*y)
	sum := 0.5*math.Log((1+x*x)*(1+y*y)/(1+x*x+y*y)) +
		x*ry*math.Atan(x/ry) + y*rx*math.Atan(y/rx) -
		x*math.Atan(x) - y*math.Atan(y)
	return 2 / (math.Pi * x * y) * sum
}

// EdgeRectangles returns the view factor from rectangle 1 to rectangle 2 that
// stand at a right angle with one edge in common; edge is its length, width and
// height the other sides of 1 and 2, all in m. With H = height/edge,
// W = width/edge:
//
//	F12 = 1/(π W) { W atan(1/W) + H atan(1/H) − √(H²+W²) atan(1/√(H²+W²))
//	  + ¼ ln [ (1+W²)(1+H²)/(1+W²+H²) · (W²(1+W²+H²)/((1+W²)(W²+H²)))^{W²}
//	          · (H²(1+H²+W²)/((1+H²)(H²+W²)))^{H²} ] }
//
// Source: Howell C-14; Incropera Table 13.2.
func EdgeRectangles(edge, width, height float64) float64 {
	w, h := width/edge, height/edge
	w2, h2 := w*w, h*h
	r := math.Sqrt(w2 + h2)
	all := 1 + w2 + h2
	logs := math.Log((1+w2)*(1+h2)/all) +
		w2*math.Log(w2*all/((1+w2)*(w2+h2))) +
		h2*math.Log(h2*all/((1+h2)*(w2+h2)))
	return (w*math.Atan(1/w) + h*math.Atan(1/h) - r*math.Atan(1/r) + logs/4) / (math.Pi * w)
}

// BlackFraction returns the share of a black body's radiation at wavelengths
// below λ; the argument is λT in m K. With x = c₂/(λT), c₂ = 0.014387768775 m K:
//
//	F = 15/π⁴ Σₙ e^{−nx} (x³/n + 3x²/n² + 6x/n³ + 6/n⁴)
//
// For x < 0.5 the complement is summed as a power series instead, since the sum
// over n then needs many terms.
// Source: Planck's law integrated; Incropera Table 12.2. c₂: CODATA 2018.
func BlackFraction(lambdaT float64) float64 {
	if !(lambdaT > 0) {
		return 0
	}
	const c2 = 0.01438776877503933 // m K
	x := c2 / lambdaT
	scale := 15 / pow4(math.Pi)
	if x < 0.5 {
		// ∫₀ˣ t³/(eᵗ − 1) dt from the Bernoulli numbers.
		x2 := x * x
		rest := cube(x) * (1.0/3 - x/8 + x2/60 - x2*x2/5040 + x2*x2*x2/272160 - pow4(x2)/13305600)
		return 1 - scale*rest
	}
	sum := 0.0
	for n := 1.0; n < 200; n++ {
		e := math.Exp(-n * x)
		sum += e * (cube(x)/n + 3*x*x/(n*n) + 6*x/(n*n*n) + 6/pow4(n))
		if e < 1e-18 {
			break
		}
	}
	return scale * sum
}
