package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"time"
)

// toy is a made-up trial of a made-up receiver: a block of three lumps in a row, heated at its front by a lamp or the
// sun, wrapped in insulation, cooled by water in a tube. It gives the truth, second by second, from which made-up
// loggers' files are written.
type toy struct {
	step float64 // s
	t    []float64
	col  map[string][]float64 // by place, in SI
}

// toyPlan is what is done.
type toyPlan struct {
	heatFor, holdFor, drainFor, coolFor float64 // s
	power                               float64 // W into the front
	sun                                 bool
	flow                                float64 // kg/s
	inlet, ambient                      float64 // degC
	capacity                            float64 // J/K of the whole block
	ua                                  float64 // W/K from block to water
	standing                            float64 // how far the outlet's sensor follows the block while the water stands, 0 to 1
	step                                float64
}

func usualPlan() toyPlan {
	return toyPlan{heatFor: 5400, holdFor: 900, drainFor: 2400, coolFor: 1500, power: 3000, flow: 0.05, inlet: 14, ambient: 21, capacity: 42e3, ua: 60, step: 1, standing: 0.12}
}

func runToy(p toyPlan, rng *rand.Rand) *toy {
	total := p.heatFor + p.holdFor + p.drainFor + p.coolFor
	n := int(total/p.step) + 1
	y := &toy{step: p.step, col: map[string][]float64{}}
	const zero = 273.15
	front, core, back := p.ambient, p.ambient, p.ambient
	skin, tube, outlet := p.ambient, p.ambient, p.ambient
	c := p.capacity / 3
	link, loss := p.capacity/400, 2.2
	cloud, wind := 1.0, 2.0
	phase := rng.Float64() * 6
	put := func(name string, v float64) { y.col[name] = append(y.col[name], v) }
	for k := range n {
		t := float64(k) * p.step
		ambient := p.ambient + 0.8*math.Sin(t/3000+phase) + 0.05*math.Sin(t/200)
		inlet := p.inlet + 0.3*math.Sin(t/1700+2*phase) + 0.002*(t-p.heatFor)/60
		sun, lamp, flow := 0.0, 0.0, 0.0
		if p.sun {
			cloud += p.step / 60 * (0.98 - cloud + 0.5*rng.NormFloat64())
			cloud = min(max(cloud, 0.5), 1)
			sun = 880 * math.Sin(math.Pi*(0.25+0.5*t/total)) * cloud
		}
		heated := 0.0
		if t < p.heatFor {
			lamp = p.power / 0.45
			heated = p.power
			if p.sun {
				heated = p.power * sun / 880
				lamp = 0
			}
		}
		if t >= p.heatFor+p.holdFor && t < p.heatFor+p.holdFor+p.drainFor {
			flow = p.flow * (1 + 0.01*math.Sin(t/40))
		}
		q := 0.0
		if flow > 0 {
			e := 1 - math.Exp(-p.ua/(flow*4186))
			mean := (front + core + back) / 3
			q = flow * 4186 * e * (mean - inlet)
			outlet += p.step / 8 * (inlet + q/(flow*4186) - outlet)
			tube = inlet
		} else {
			outlet += p.step / 900 * (ambient + p.standing*(core-ambient) - outlet)
			tube += p.step / 1500 * (ambient - tube)
		}
		front += p.step / c * (heated - link*(front-core) - q/3 - loss*(front-ambient)*0.5)
		core += p.step / c * (link*(front-core) - link*(core-back) - q/3 - loss*(core-ambient)*0.1)
		back += p.step / c * (link*(core-back) - q/3 - loss*(back-ambient)*0.2)
		skin += p.step / 2500 * (ambient + 0.06*(core-ambient) - skin)
		wind = max(0, wind+p.step/30*(2-wind)+0.2*math.Sqrt(p.step)*rng.NormFloat64())
		y.t = append(y.t, t)
		put("front", front+zero)
		put("core", core+zero)
		put("back", back+zero)
		put("jacket", skin+zero)
		put("circuit main inlet", tube+zero)
		put("circuit main outlet", outlet+zero)
		put("circuit main flow", flow)
		put("ambient", ambient+zero)
		put("irradiance", sun)
		put("lamp power", lamp)
		put("wind", wind)
		put("circuit main pressure", 3.2e5-2e4*flow/p.flow+500*math.Sin(t/90))
	}
	return y
}

// toyColumn is one column of a made-up file.
type toyColumn struct {
	place, heading, unit string // unit as in the file
	noise                float64
	round                int // digits behind the point
	bias                 float64
}

func toyValue(place string, v float64, unit string) float64 {
	switch unit {
	case "degC", "°C", "C":
		return v - 273.15
	case "degF", "°F", "F":
		return (v-273.15)*1.8 + 32
	case "l/min":
		return v * 60
	case "l/h", "kg/h":
		return v * 3600
	case "m3/h":
		return v * 3.6
	case "kW", "g/s":
		if unit == "kW" {
			return v / 1000
		}
		return v * 1000
	case "bar":
		return v / 1e5
	case "mbar":
		return v / 100
	case "gal/min":
		return v * 60 / 3.785411784
	}
	return v
}

// toyFile says how a made-up file looks.
type toyFile struct {
	sep, decimal string
	preamble     []string
	unitsRow     bool
	clock        string // iso, dotted, us, elapsed, doy, split
	start        time.Time
	every        float64 // s
	columns      []toyColumn
	missing      string // code
	missingShare float64
}

// write makes the text of a logger's file. It is drawn with the generator given, so that it is the same each time.
func (f *toyFile) write(y *toy, rng *rand.Rand) string {
	var b strings.Builder
	for _, l := range f.preamble {
		b.WriteString(l + "\n")
	}
	var head, units []string
	switch f.clock {
	case "elapsed":
		head, units = []string{"Time"}, []string{"s"}
	case "doy":
		head, units = []string{"Year", "Day", "Hour_Minute"}, []string{"", "", ""}
	case "split":
		head, units = []string{"Date", "Time"}, []string{"", ""}
	default:
		head, units = []string{"Timestamp"}, []string{""}
	}
	for _, c := range f.columns {
		head, units = append(head, c.heading), append(units, c.unit)
	}
	if f.sep != " " || !strings.ContainsAny(strings.Join(head, ""), " ") {
		if !f.unitsRow {
			for i := range head {
				if units[i] != "" {
					head[i] += " [" + units[i] + "]"
				}
			}
		}
		b.WriteString(strings.Join(head, f.sep) + "\n")
		if f.unitsRow {
			b.WriteString(strings.Join(units, f.sep) + "\n")
		}
	}
	num := func(v float64, digits int) string {
		return strings.Replace(fmt.Sprintf("%.*f", digits, v), ".", f.decimal, 1)
	}
	every := max(1, int(f.every/y.step))
	for k := 0; k < len(y.t); k += every {
		at := f.start.Add(time.Duration(y.t[k] * 1e9))
		var row []string
		switch f.clock {
		case "elapsed":
			row = append(row, num(y.t[k], 1))
		case "doy":
			row = append(row, fmt.Sprint(at.Year()), fmt.Sprint(at.YearDay()), at.Format("1504"))
		case "split":
			row = append(row, at.Format("02.01.2006"), at.Format("15:04:05"))
		case "dotted":
			row = append(row, at.Format("02.01.2006 15:04:05"))
		case "us":
			row = append(row, at.Format("01/02/2006 03:04:05 PM"))
		default:
			row = append(row, at.Format("2006-01-02 15:04:05"))
		}
		for _, c := range f.columns {
			v := toyValue(c.place, y.col[c.place][k]+c.bias, c.unit)
			if c.place == "circuit main flow" && y.col[c.place][k] == 0 {
				v = math.Abs(0.002 * c.noise * rng.NormFloat64())
			} else {
				v += c.noise * rng.NormFloat64()
			}
			if rng.Float64() < f.missingShare {
				row = append(row, f.missing)
				continue
			}
			row = append(row, num(v, c.round))
		}
		b.WriteString(strings.Join(row, f.sep) + "\n")
	}
	return b.String()
}
