package block

import "math"

// discOverlap is the area of the disc of radius r about the origin within a rectangle.
func discOverlap(r, x0, x1, y0, y1 float64) float64 {
	x0, x1 = math.Max(x0, -r), math.Min(x1, r)
	if !(x1 > x0) || y0 >= r || y1 <= -r {
		return 0
	}
	return math.Max(0, discBelow(r, x0, x1, y1)-discBelow(r, x0, x1, y0))
}

// discBelow is the area of the disc between x0 and x1 below y; x0 and x1 lie within the disc's width.
func discBelow(r, x0, x1, y float64) float64 {
	// half is the integral of the half chord up to x.
	half := func(x float64) float64 {
		q := math.Max(-1, math.Min(1, x/r))
		return 0.5 * r * r * (q*math.Sqrt((1-q)*(1+q)) + math.Asin(q))
	}
	whole := 2 * (half(x1) - half(x0))
	if y >= r {
		return whole
	}
	if y <= -r {
		return 0
	}
	m := math.Sqrt((r - y) * (r + y)) // half the chord at y
	a, b := math.Max(x0, -m), math.Min(x1, m)
	mid := 0.0
	if b > a {
		mid = y*(b-a) + half(b) - half(a)
	}
	if y < 0 {
		return mid
	}
	if b > a {
		return whole - 2*(half(b)-half(a)) + mid
	}
	return whole
}
