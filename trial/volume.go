package trial

import (
	"fmt"

	"emberbank/history"
	"emberbank/water"
)

// volumes turns flows of volume into flows of mass by the water's density at the meter.
func (j *joining) volumes(rec *Record) {
	n := -1
	for i, l := range j.logs {
		for c := range l.channels {
			n++
			ch := l.channels[c].c
			if !ch.Volume || ch.Quantity != history.MassFlow {
				continue
			}
			at := -1
			if ch.At != "" {
				if at = rec.Index(ch.At); at < 0 {
					j.found = append(j.found, Finding{Source: i, Channel: c, Key: "meter at", Message: fmt.Sprintf("%s: there is no column %q", ch.Name, ch.At), Fix: "name a temperature of this trial"})
					continue
				}
			} else {
				for k := range rec.Columns {
					if rec.Columns[k].Role == Inlet && rec.Columns[k].Of == ch.Of {
						at = k
					}
				}
			}
			j.density(rec, n, at)
		}
	}
}

// usualDensity is that of water at 15 °C and 10 bar in kg/m³, by IAPWS-IF97; 1e-2 covers 0 to 45 °C.
const usualDensity = 999.5

func (j *joining) density(rec *Record, n, at int) {
	c := &rec.Columns[n]
	c.rounding *= usualDensity
	if at < 0 {
		for _, v := range [][]float64{rec.History.Columns[n].Values, c.Rows.values()} {
			for k := range v {
				v[k] *= usualDensity
			}
		}
		rec.Notes = append(rec.Notes, fmt.Sprintf("%s: litres became kilograms by the density of water at 15 degC, since no temperature at the meter is known: 1 %% at 45 degC", c.Name))
		return
	}
	var rho densityCurve
	weigh := func(v, T []float64) {
		last := usualDensity
		for k := range v {
			if T[k] == T[k] {
				last = rho.at(T[k])
			}
			v[k] *= last
		}
	}
	if c.Rows != nil { // before the record's own rows, which may be those of the thermometer
		weigh(c.Rows.Values, rec.beside(at, n))
	}
	weigh(rec.History.Columns[n].Values, rec.History.Columns[at].Values)
	rec.Notes = append(rec.Notes, fmt.Sprintf("%s: litres became kilograms by the density of water at %s (10 bar, IAPWS-IF97)", c.Name, rec.Columns[at].Name))
}

// densityCurve is the density of liquid water at 10 bar, tabulated by whole kelvin as it is asked for.
type densityCurve struct{ table [200]float64 }

func (d *densityCurve) at(T float64) float64 {
	x := min(max(T-zeroDegC, 0), 175)
	i := int(x)
	f := x - float64(i)
	return (1-f)*d.whole(i) + f*d.whole(i+1)
}

func (d *densityCurve) whole(i int) float64 {
	if d.table[i] == 0 {
		d.table[i] = usualDensity
		if s, err := water.AtPT(1e6, zeroDegC+float64(i)); err == nil {
			d.table[i] = s.Density
		}
	}
	return d.table[i]
}
