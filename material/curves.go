package material

// Isotropic returns a curve that holds along depth, width and height alike.
func Isotropic(c Curve) [3]Curve { return [3]Curve{c, c, c} }

// iceZero is 0 °C in K.
const iceZero = 273.15

// points returns a curve from pairs of temperature in K and value, joined by straight lines, holding between
// its first and last row.
func points(rows ...[2]float64) Curve {
	c := Curve{}
	for _, r := range rows {
		c.T = append(c.T, r[0])
		c.V = append(c.V, r[1])
	}
	c.Min, c.Max = c.T[0], c.T[len(c.T)-1]
	return c
}

// pointsC is points with temperatures in °C.
func pointsC(rows ...[2]float64) Curve {
	c := points(rows...)
	for i := range c.T {
		c.T[i] += iceZero
	}
	c.Min, c.Max = c.T[0], c.T[len(c.T)-1]
	return c
}

// stretched carries a table straight on along its first and last piece to the temperatures low and high, in K.
// Tables that begin at 25 °C or 27 °C are carried on to 0 °C this way, and tables that end at a round
// temperature just below the melting point are carried on to it.
func stretched(c Curve, low, high float64) Curve {
	line := func(i, j int, T float64) float64 {
		return c.V[i] + (T-c.T[i])*(c.V[j]-c.V[i])/(c.T[j]-c.T[i])
	}
	n := len(c.T)
	if low < c.T[0] {
		v := line(0, 1, low)
		c.T = append([]float64{low}, c.T...)
		c.V = append([]float64{v}, c.V...)
		n++
	}
	if high > c.T[n-1] {
		v := line(n-2, n-1, high)
		c.T, c.V = append(c.T, high), append(c.V, v)
	}
	c.Min, c.Max = c.T[0], c.T[len(c.T)-1]
	return c
}

// single returns a constant known to hold only between low and high, in K; outside it is kept, with the warning
// that a range brings.
func single(v, low, high float64) Curve {
	return Curve{Poly: []float64{v}, Min: low, Max: high}
}

// sampled lays a formula out as points, one every step K from low to high: linear pieces of 5 K stay within
// 1e-4 of every formula used here.
func sampled(low, high, step float64, f func(T float64) float64) Curve {
	c := Curve{Min: low, Max: high}
	for i := 0; ; i++ {
		T := low + float64(i)*step
		if T > high-1e-6*step {
			break
		}
		c.T, c.V = append(c.T, T), append(c.V, f(T))
	}
	c.T, c.V = append(c.T, high), append(c.V, f(high))
	return c
}

// scaled multiplies every value of a curve of points, for example to turn J/(mol K) into J/(kg K).
func scaled(c Curve, factor float64) Curve {
	out := c
	out.V = make([]float64, len(c.V))
	for i, v := range c.V {
		out.V[i] = v * factor
	}
	return out
}
