package trial

import (
	"fmt"
	"math"

	"emberbank/history"
	"emberbank/uncertainty"
)

// Couples are the types of thermocouple whose tolerance classes are known.
var Couples = []string{"K", "N", "E", "J", "T", "R", "S", "B"}

// Tolerance returns the tolerance class of a thermocouple as a systematic error of one group: its limits
//
//	±max(a, b |t|), t in degC
//
// are taken as those of a uniform distribution, so that the standard uncertainty is the limit over √3.
// from and to are the range of the class in K. Sources: IEC 60584-1:2013 for a and b, see package uncertainty; JCGM
// 100:2008, 4.3.7, for √3.
func Tolerance(couple string, cls int, group string) (p Part, from, to float64, err error) {
	a, b, from, to, err := uncertainty.ThermocoupleClass(couple, cls)
	if err != nil {
		return Part{}, 0, 0, err
	}
	return Part{
		Group: group, What: fmt.Sprintf("tolerance, IEC 60584-1 type %s class %d", couple, cls), Constant: a / math.Sqrt(3),
		Relative: b / math.Sqrt(3), Zero: zeroDegC, Larger: true, DoF: math.Inf(1),
	}, from, to, nil
}

// couple is a reference function: mV over degC, in two ranges.
type couple struct {
	below, above []float64
	a0, a1, a2   float64 // + a0 exp(a1 (t − a2)²) above 0 degC
	from, to     float64
}

// The reference functions of ITS-90. Source: IEC 60584-1:2013, tables of coefficients, which are those of NIST
// Monograph 175 (Burns, Scroger, Strouse, Croarkin, Guthrie 1993).
var couples = map[string]*couple{
	"K": {
		below: []float64{
			0, 0.039450128025, 2.3622373598e-05, -3.2858906784e-07, -4.9904828777e-09, -6.7509059173e-11, -5.7410327428e-13,
			-3.1088872894e-15, -1.0451609365e-17, -1.9889266878e-20, -1.6322697486e-23,
		},
		above: []float64{
			-0.017600413686, 0.038921204975, 1.8558770032e-05, -9.9457592874e-08, 3.1840945719e-10, -5.6072844889e-13,
			5.6075059059e-16, -3.2020720003e-19, 9.7151147152e-23, -1.2104721275e-26,
		},
		a0: 0.1185976, a1: -0.0001183432, a2: 126.9686, from: -270, to: 1372,
	},
	"N": {
		below: []float64{
			0, 0.026159105962, 1.0957484228e-05, -9.3841111554e-08, -4.6412039759e-11, -2.6303357716e-12, -2.2653438003e-14,
			-7.6089300791e-17, -9.3419667835e-20,
		},
		above: []float64{
			0, 0.025929394601, 1.571014188e-05, 4.3825627237e-08, -2.5261169794e-10, 6.4311819339e-13, -1.0063471519e-15,
			9.9745338992e-19, -6.0863245607e-22, 2.0849229339e-25, -3.0682196151e-29,
		},
		from: -270, to: 1300,
	},
}

// emf returns the voltage in mV of a couple whose junctions are at t and 0 degC.
func (c *couple) emf(t float64) float64 {
	k := c.above
	if t < 0 {
		k = c.below
	}
	e := 0.0
	for i := len(k) - 1; i >= 0; i-- {
		e = e*t + k[i]
	}
	if t >= 0 && c.a0 != 0 {
		e += c.a0 * math.Exp(c.a1*(t-c.a2)*(t-c.a2))
	}
	return e
}

// slope returns what the couple gives for a kelvin, in mV, at the least between 0 and 400 °C: the most that a step of a
// voltage can hide there.
func (c *couple) slope() float64 {
	least := math.Inf(1)
	for t := 0.0; t <= 400; t += 100 {
		least = math.Min(least, (c.emf(t+1)-c.emf(t-1))/2)
	}
	return least
}

// temperature returns t in degC for a voltage in mV against 0 degC, NaN outside the couple's range. It halves the
// range, which cannot fail where the function rises, and it does from −250 degC on; then two Newton steps.
func (c *couple) temperature(e float64) float64 {
	lo, hi := -250.0, c.to
	if !(e >= c.emf(lo) && e <= c.emf(hi)) {
		return math.NaN()
	}
	for range 24 {
		mid := (lo + hi) / 2
		if c.emf(mid) < e {
			lo = mid
		} else {
			hi = mid
		}
	}
	t := (lo + hi) / 2
	for range 2 {
		d := (c.emf(t+0.01) - c.emf(t-0.01)) / 0.02
		t -= (c.emf(t) - e) / d
	}
	return t
}

// couples turns voltages of thermocouples into temperatures: to the voltage measured that of the cold junction is added.
func (j *joining) couples(rec *Record) {
	n := -1
	for i, l := range j.logs {
		for c := range l.channels {
			n++
			g := l.channels[c].c.Signal
			if g == nil || g.Couple == "" {
				continue
			}
			tc, ok := couples[g.Couple]
			if !ok {
				j.tell(i, "signal.couple", fmt.Sprintf("%s: the reference function of thermocouple %s is not known", rec.Columns[n].Name, g.Couple), "take K or N, or a table of points", false)
				continue
			}
			var junction []float64
			if g.Junction != "" {
				at := rec.Index(g.Junction)
				if at < 0 || at == n || rec.Columns[at].Quantity != history.Temperature {
					j.tell(i, "signal.junction", fmt.Sprintf("%s: there is no temperature %q for the cold junction", rec.Columns[n].Name, g.Junction), "name a temperature of this trial", false)
					continue
				}
				junction = rec.History.Columns[at].Values
			}
			turn := func(v, junction []float64) {
				for k := range v {
					e := v[k] * 1e3
					if junction != nil {
						e += tc.emf(junction[k] - zeroDegC)
					}
					v[k] = tc.temperature(e) + zeroDegC
				}
			}
			if own := rec.Columns[n].Rows; own != nil {
				var beside []float64
				if junction != nil {
					beside = rec.beside(rec.Index(g.Junction), n)
				}
				turn(own.Values, beside)
			}
			turn(rec.History.Columns[n].Values, junction)
			rec.Columns[n].rounding /= tc.slope() * 1e-3
			rec.Notes = append(rec.Notes, fmt.Sprintf("%s: from the voltage by the reference function of type %s (IEC 60584-1)", rec.Columns[n].Name, g.Couple))
		}
	}
}
