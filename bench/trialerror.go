package bench

import (
	"math"
	"strings"

	"emberbank/history"
	"emberbank/trial"
	"emberbank/unit"
)

// half95 is the half-width of the 95 % interval of a normal distribution in standard deviations.
const half95 = 1.959963984540054

// error reads an error in the channel's quantity, or as a share of the reading.
func (p *trialPlan) error(v *value, c *trial.Channel) (constant, relative float64) {
	if v == nil {
		return 0, 0
	}
	fits := map[unit.Dimension]history.Quantity{
		unit.TemperatureDifference: history.Temperature, unit.MassFlow: history.MassFlow, unit.VolumeFlow: history.MassFlow, unit.Power: history.HeatFlow,
		unit.HeatFlux: history.Irradiance, unit.Pressure: history.Pressure, unit.Speed: history.Speed, unit.Angle: history.Angle,
		unit.Length: history.Length, unit.Energy: history.Heat,
	}
	if v.typ.dim == unit.Dimensionless {
		if c.Quantity == history.Fraction && !strings.Contains(v.text, "%") {
			return v.num, 0
		}
		return 0, v.num
	}
	q, ok := fits[v.typ.dim]
	if !ok || q != c.Quantity {
		p.r.wrong(v, "it does not fit what is measured", "an error of "+quantityName(c.Quantity)+", or a share such as 2 %", "give it in a unit of "+quantityName(c.Quantity))
		return 0, 0
	}
	x := v.num
	if v.typ.dim == unit.VolumeFlow {
		x *= 1000 // kg/m³: near enough for an error
	}
	return x, 0
}

// parts reads how well a channel is known.
func (p *trialPlan) parts(v *value, c *trial.Channel) {
	zeroAt := 0.0
	if c.Quantity == history.Temperature {
		zeroAt = 273.15
	}
	add := func(group, what string, constant, relative float64) {
		if constant > 0 || relative > 0 {
			c.Parts = append(c.Parts, trial.Part{Group: group, What: what, Constant: constant / half95, Relative: relative / half95, Zero: zeroAt, DoF: math.Inf(1)})
		}
	}
	own := "own " + c.Name
	group := own
	pair := v.get("pair")
	if pair != nil {
		group = "pair " + pair.text
	}
	cal, given := v.get("calibration"), v.get("uncertainty").items()
	couple, cls := v.get("couple"), v.get("class")
	if cls != nil && couple == nil {
		p.r.wrong(cls, "a class belongs to a thermocouple's type", "class with couple", `add "couple: K", or what else it is`)
	}
	if couple != nil && c.Sensor == "" {
		c.Sensor = "thermocouple " + couple.text
		if cls != nil {
			c.Sensor += ", class " + cls.text
		}
	}
	switch {
	case len(given) > 0:
		sumC, sumR := 0.0, 0.0
		for _, e := range given {
			a, b := p.error(e, c)
			sumC, sumR = math.Hypot(sumC, a), math.Hypot(sumR, b)
		}
		add(group, "given", sumC, sumR)
	case cal != nil:
	case couple != nil && cls != nil:
		if c.Quantity != history.Temperature {
			p.r.wrong(couple, "a thermocouple measures a temperature", "couple for a temperature", "take it out")
			break
		}
		part, _, _, err := trial.Tolerance(couple.text, int(cls.num), group)
		if err != nil {
			p.r.wrong(cls, err.Error(), "1 to 3", "give another class, or the uncertainty")
			break
		}
		c.Parts = append(c.Parts, part)
	}
	if cal != nil {
		a, b := 0.0, 0.0
		if u := cal.get("uncertainty"); u != nil {
			a, b = p.error(u, c)
		}
		add("calibration "+cal.get("name").word(""), "calibration", a, b)
		p.corrections(cal.get("corrections"), c)
	}
	if d := v.get("drift"); d != nil {
		a, b := p.error(d, c)
		add(own, "drift", a, b)
	}
	if d := v.get("pair difference"); d != nil {
		if pair == nil {
			p.r.wrong(d, "there is no pair", "pair difference with pair", `add "pair: NAME" to both sensors`)
		}
		a, b := p.error(d, c)
		add(own+" of the pair", "difference of the pair", a/math.Sqrt2, b/math.Sqrt2)
	}
}

func (p *trialPlan) corrections(v *value, c *trial.Channel) {
	if v == nil {
		return
	}
	if c.Quantity != history.Temperature {
		p.r.wrong(v, "corrections are for temperatures", "corrections of a temperature", "put them into the points of signal")
		return
	}
	t := &trial.Table{}
	for _, row := range v.items() {
		x, y := row.list[0], row.list[1]
		if n := len(t.X); n > 0 && x.num <= t.X[n-1] {
			p.r.wrong(x, "not above the reading before it", "readings that rise", "sort the pairs by reading, each once")
			continue
		}
		t.X, t.Y = append(t.X, x.num), append(t.Y, y.num)
	}
	if len(t.X) > 0 {
		c.Correction = t
	}
}
