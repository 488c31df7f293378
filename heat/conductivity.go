package heat

import (
	"math"

	"emberbank/material"
)

// conductivity is one medium's conductivity tabulated over temperature.
type conductivity struct {
	solid, liquid [3][]float64
	passing       [3][]float64 // W/(m K), of the phase that belongs to the temperature
	row           [3][]entry
	same          bool // isotropic
	melts, sharp  bool
	fusion        float64 // K
	fixed         bool
}

// entry is one interval of a table: with f from 0 to 1 through it, the conductivity is k + f dk and its integral up to
// there upTo + f (first + f second).
type entry struct{ upTo, first, second, k, dk float64 }

// The tables run from tableStart in steps of 1 K; between entries k is straight, beyond the ends constant.
const (
	tableStart = 173.15
	tableSize  = 1601
)

func tabulate(m *material.Medium) conductivity {
	c := conductivity{same: true, fixed: true, melts: m.Latent > 0, fusion: m.Solidus}
	c.sharp = c.melts && m.Liquidus-m.Solidus < 1e-9
	for a := range 3 {
		c.solid[a] = sample(&m.Conductivity[a])
		c.liquid[a] = c.solid[a]
		if c.melts {
			c.liquid[a] = sample(&m.ConductivityMelted[a])
		}
		for i := range c.solid[a] {
			c.same = c.same && c.solid[a][i] == c.solid[0][i] && c.liquid[a][i] == c.liquid[0][i]
			c.fixed = c.fixed && c.solid[a][i] == c.solid[a][0] && c.liquid[a][i] == c.solid[a][0]
		}
	}
	for a := range 3 {
		switch {
		case c.fixed:
		case c.same && a > 0:
			c.passing[a], c.row[a] = c.passing[0], c.row[0]
		default:
			c.integrate(a, m)
		}
	}
	return c
}

// integrate lays the conductivity of the phase that belongs to each temperature, along axis a, and its integral.
func (c *conductivity) integrate(a int, m *material.Medium) {
	const parts = 16
	at := func(T float64) float64 {
		f := 0.0
		if c.melts {
			switch {
			case T >= m.Liquidus:
				f = 1
			case T > m.Solidus:
				f = (T - m.Solidus) / (m.Liquidus - m.Solidus)
			}
		}
		return c.at(a, T, f)
	}
	c.passing[a], c.row[a] = make([]float64, tableSize), make([]entry, tableSize-1)
	integral := 0.0
	c.passing[a][0] = at(tableStart)
	for i := 1; i < tableSize; i++ {
		sum := 0.0
		for j := range parts {
			sum += at(tableStart+float64(i-1)+(float64(j)+0.5)/parts) / parts
		}
		c.passing[a][i] = at(tableStart + float64(i))
		// Straight within the interval, scaled to the integral that a step inside it leaves.
		k0, k1 := c.passing[a][i-1], c.passing[a][i]
		scale := sum / (0.5 * (k0 + k1))
		c.row[a][i-1] = entry{integral, scale * k0, scale * 0.5 * (k1 - k0), k0, k1 - k0}
		integral += sum
	}
}

// follow reads conductivities and their integrals along axis a for temperatures T. Beyond the table's ends the
// integral is not a number.
func (c *conductivity) follow(a int, T, k, upTo []float64) {
	k, upTo = k[:len(T)], upTo[:len(T)]
	row := c.row[a]
	for i, t := range T {
		x := t - tableStart
		q := uint(int(x))
		if !(x > 0) || q >= uint(len(row)) {
			k[i], upTo[i] = read(c.passing[a], t), math.NaN()
			continue
		}
		r := &row[q]
		f := x - float64(int(x))
		k[i] = r.k + f*r.dk
		upTo[i] = r.upTo + f*(r.first+f*r.second)
	}
}

// mean returns the mean conductivity along axis a between two temperatures of one medium.
func (c *conductivity) mean(a int, T1, T2 float64) float64 {
	return (c.upTo(a, T2) - c.upTo(a, T1)) / (T2 - T1)
}

// upTo returns the integral up to T, inside the table.
func (c *conductivity) upTo(a int, T float64) float64 {
	x := T - tableStart
	r := &c.row[a][int(x)]
	f := x - float64(int(x))
	return r.upTo + f*(r.first+f*r.second)
}

func sample(c *material.Curve) []float64 {
	out := make([]float64, tableSize)
	for i := range out {
		out[i] = c.At(tableStart + float64(i))
	}
	return out
}

func read(t []float64, T float64) float64 {
	x := T - tableStart
	if !(x > 0) { // or no number, in an attempt that went astray
		return t[0]
	}
	i := int(x)
	if i >= len(t)-1 {
		return t[len(t)-1]
	}
	f := x - float64(i)
	return t[i] + f*(t[i+1]-t[i])
}

// at returns the conductivity along axis a at temperature T and melted fraction f.
func (c *conductivity) at(a int, T, f float64) float64 {
	switch {
	case f <= 0:
		return read(c.solid[a], T)
	case f >= 1:
		return read(c.liquid[a], T)
	}
	return (1-f)*read(c.solid[a], T) + f*read(c.liquid[a], T)
}
