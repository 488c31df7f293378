package kernel

import "math"

// Loops that a step makes once or a row of the history makes. In all of them plain loop and twin agree to the last bit:
// nothing is fused, and sums are kept alike.

// Course is a moment within a step: see Set.Within.
type Course struct{ On, Bow, Inv float64 }

func within(y, a, b, f, g []float64, at Course) {
	a, b, f, g = a[:len(y)], b[:len(y)], f[:len(y)], g[:len(y)]
	for c := range y {
		d := b[c] - a[c]
		slope := float64(d * at.Inv)
		y[c] = a[c] + float64(at.On*d) + float64(at.Bow*bow(f[c]-slope, slope-g[c]))
	}
}

// bow returns the smaller of p and q where they have one sign, else nothing.
func bow(p, q float64) float64 {
	switch {
	case p*q <= 0:
		return 0
	case math.Abs(p) < math.Abs(q):
		return p
	}
	return q
}

func misses(v, d, f0, f1, weight []float64, share, part float64) {
	d, f0, f1, weight = d[:len(v)], f0[:len(v)], f1[:len(v)], weight[:len(v)]
	for c := range v {
		v[c] += float64((float64(part*(f0[c]+f1[c])) - float64(share*d[c])) * weight[c])
	}
}

func weigh(a, b []float64) float64 {
	var s [4]float64
	n := len(a) &^ 7
	for x, y := a[:n], b[:n]; len(x) >= 8 && len(y) >= 8; x, y = x[8:], y[8:] {
		s[0] += float64(x[0]*y[0]) + float64(x[4]*y[4])
		s[1] += float64(x[1]*y[1]) + float64(x[5]*y[5])
		s[2] += float64(x[2]*y[2]) + float64(x[6]*y[6])
		s[3] += float64(x[3]*y[3]) + float64(x[7]*y[7])
	}
	return weighed(&s, a[n:], b[n:])
}

// weighed adds the products of the last entries, fewer than eight, to four sums, and returns the sum of all.
func weighed(s *[4]float64, a, b []float64) float64 {
	b = b[:len(a)]
	for i, v := range a {
		s[0] += float64(v * b[i])
	}
	return (s[0] + s[1]) + (s[2] + s[3])
}

func extremes(v []float64, high, low float64) (highest, lowest float64) {
	for _, x := range v {
		if x > high {
			high = x
		}
		if x < low {
			low = x
		}
	}
	return high, low
}

func astride(marks []uint64, a, b []float64, lo, hi float64) {
	b = b[:len(a)]
	marks = marks[:(len(a)+63)/64]
	clear(marks)
	for i, x := range a {
		if y := b[i]; (x > lo || y > lo) && (x < hi || y < hi) {
			marks[i/64] |= 1 << (i % 64)
		}
	}
}

func apart(a, b []float64) float64 {
	b = b[:len(a)]
	most := 0.0
	for i := range a {
		if d := math.Abs(a[i] - b[i]); d > most {
			most = d
		}
	}
	return most
}

func pull(y, t []float64, w []float32, p0, p1, p2 []float64, weight float64) float64 {
	t, w, p0, p1, p2 = t[:len(y)], w[:len(y)], p0[:len(y)], p1[:len(y)], p2[:len(y)]
	var s [4]float64
	n := len(y) &^ 3
	for c := range n {
		s[c%4] += pulled(y, t, w, p0, p1, p2, weight, c)
	}
	return pulledLast(&s, y[n:], t[n:], w[n:], p0[n:], p1[n:], p2[n:], weight)
}

// pulled takes what entry c loses and returns it.
func pulled(y, t []float64, w []float32, p0, p1, p2 []float64, weight float64, c int) float64 {
	lost := p0[c] + float64(t[c]*(p1[c]+float64(t[c]*p2[c])))
	y[c] -= float64(float64(weight*float64(w[c])) * lost)
	return lost
}

// pulledLast does the last entries, fewer than four, and returns the sum of all.
func pulledLast(s *[4]float64, y, t []float64, w []float32, p0, p1, p2 []float64, weight float64) float64 {
	for c := range y {
		s[0] += pulled(y, t, w, p0, p1, p2, weight, c)
	}
	return (s[0] + s[1]) + (s[2] + s[3])
}

func link(g []float32, t0, t1, up0, up1, shape []float64, factor, least float64) int {
	t0, t1, up0, up1, shape = t0[:len(g)], t1[:len(g)], up0[:len(g)], up1[:len(g)], shape[:len(g)]
	for i := range g {
		dT := t1[i] - t0[i]
		if !(math.Abs(dT) > least) {
			return i
		}
		v := (up1[i] - up0[i]) / dT * shape[i] * factor
		if !(v > 0) {
			return i
		}
		g[i] = float32(v)
	}
	return len(g)
}

// Newton's method in Glow: the most turns, how little of itself a temperature has moved once it is found, and the least one, in K.
const (
	turns   = 50
	settled = 3e-5
	coldest = 1
)

func glow(x, lost, s, g, area []float64, to Glow) {
	lost, s, g, area = lost[:len(x)], s[:len(x)], g[:len(x)], area[:len(x)]
	for i, T := range x {
		hA, eA := to.H*area[i], to.E*area[i]
		for range turns {
			cube := T * T * T
			off := float64(g[i]*T) + float64(hA*(T-to.Air)) + float64(eA*(float64(cube*T)-to.Sky)) - s[i]
			d := off / (g[i] + hA + float64(4*eA*cube))
			T = max(coldest, T-d)
			if math.Abs(d) < settled*T { // what is left is of the order of its square: a millionth of a kelvin
				break
			}
		}
		x[i] = T
		lost[i] = float64(hA*(T-to.Air)) + float64(eA*(float64(T*T*T*T)-to.Sky))
	}
}
