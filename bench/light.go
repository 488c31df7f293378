package bench

import (
	"fmt"
	"math"
	"path"

	"emberbank/duty"
	"emberbank/glass"
	"emberbank/receiver"
	"emberbank/unit"
)

// The mean flux on the opening, W/m², outside of which light is doubted: below it no concentrator is at work, above
// it few are (common practice). They catch W typed for kW and kW for MW.
const faintest, brightest = 10, 10e6

// checkFlux doubts light that is far from what concentrators give.
func (r *reader) checkFlux(l *duty.Light, at *value, area float64) {
	if !l.Peak {
		area = max(area, 1e-12)
	} else {
		area = 1
	}
	x := greatest(&l.Power, 0, math.Inf(1)) / area
	if x > 0 && (x < faintest || x > brightest) {
		r.doubt(at, fmt.Sprintf("%s is %q: light of up to %.3g kW/m2 on the opening", at.path, at.typed(), x/1000),
			fmt.Sprintf("look at the unit (W, kW, MW) and at the opening's size: from %g to %g kW/m2 is common practice", faintest/1000.0, brightest/1000.0))
	}
}

// light reads the flux on the window.
func (r *reader) light(v *value, rec *receiver.Receiver) *duty.Light {
	if v == nil {
		return nil
	}
	l := &duty.Light{Absorbed: v.get("counts").is("absorbed")}
	if v.has("dish") {
		r.dishLight(v, l, rec)
		r.spectrum(v.get("spectrum"), rec)
		return l
	}
	stated := r.lightPower(v, l)
	var open [2][2]float64
	known := rec != nil
	if known && rec.Window != nil {
		for i := range 2 {
			open[i] = [2]float64{rec.Window.Opening.Min[i+1], rec.Window.Opening.Max[i+1]}
		}
	} else if known {
		open = [2][2]float64{{0, rec.Block.Max[1]}, {0, rec.Block.Max[2]}}
	}
	carries := r.lightMap(v.get("map"), l, stated, open, known && !v.partial)
	if stated == nil && !carries && !v.partial {
		r.wrong(v, "nothing gives its power", "power, peak, beam, a reading, or a map with the flux's unit", `add "power: 2 kW"`)
	}
	if rec != nil && rec.Window != nil && stated != nil {
		r.checkFlux(l, stated, (open[0][1]-open[0][0])*(open[1][1]-open[1][0]))
	}
	switch c := v.get("cone"); {
	case c == nil:
	case l.Absorbed:
		r.doubt(c, c.path+" does not count: the light is stated as what the block absorbs", `take it out, or "counts: absorbed"`)
	default:
		l.Angles = glass.Cone(c.num, angleBins)
	}
	r.spectrum(v.get("spectrum"), rec)
	return l
}

// lightPower reads how strong the light is, and returns where that is stated; nil: nowhere.
func (r *reader) lightPower(v *value, l *duty.Light) *value {
	power, peak, beam, area, reading := v.get("power"), v.get("peak"), v.get("beam"), v.get("area"), v.get("reading")
	if beam == nil && area != nil {
		r.wrong(area, "an area catches a beam, and none is given", "area with beam", `add "beam: 850 W/m2", or take it out`)
	}
	switch {
	case reading != nil && firstOf(power, peak, beam) != nil:
		r.wrong(reading, "both a reading and "+firstOf(power, peak, beam).path+" are given", "one of the two", "take one out")
	case beam != nil && (power != nil || peak != nil):
		r.wrong(firstOf(power, peak), "the beam says it already", "power, peak, or beam with a dish or an area", "take one out")
	case beam != nil && area == nil:
		if !v.partial {
			r.wrong(beam, "a beam needs the dish that it falls on", "dish and beam together, or area and beam", `add "dish: light.yaml" or "area: 4 m2", or give power in its place`)
		}
	case beam != nil:
		l.Power = r.byArea(beam, area)
	case power != nil && peak != nil:
		r.wrong(peak, "both power and peak are given", "one of the two", "take one out")
	case power != nil:
		l.Power = r.signal(power)
	case peak != nil:
		l.Power, l.Peak = r.signal(peak), true
	case reading != nil:
		r.lightReading(reading, l)
	}
	return firstOf(power, peak, beam, reading)
}

// lightMap reads how the flux spreads over the opening, and tells whether the map carries a power of its own.
func (r *reader) lightMap(m *value, l *duty.Light, stated *value, open [2][2]float64, known bool) (carries bool) {
	switch {
	case m == nil || m.is("uniform"):
	case m.has("gaussian"):
		g := m.get("gaussian")
		l.Map.Kind = duty.Gaussian
		if s := g.get("sigma"); s != nil {
			l.Map.Sigma = [2]float64{s.num, s.num}
		} else {
			l.Map.Sigma = [2]float64{g.get("sigma width").must(), g.get("sigma height").must()}
		}
		for i, key := range []string{"width", "height"} {
			c := g.get("centre", key)
			l.Map.Centre[i] = c.number((open[i][0] + open[i][1]) / 2)
			if known && c != nil && (c.num < open[i][0] || c.num > open[i][1]) {
				r.doubt(c, fmt.Sprintf("%s is %q: the spot's middle lies beside the window", c.path, c.typed()), "check the centre")
			}
		}
		l.Map.Floor = g.get("floor").number(0)
	case m.has("table"):
		scale := r.fluxTable(m.get("table"), &l.Map)
		if carries = scale > 0; carries && known {
			r.measuredMap(m.get("table"), stated, l, open, scale)
		}
	}
	return carries
}

// fluxTable reads a map: widths in the first row, heights in the first column, their unit in the corner. Where the corner
// names the flux's unit as well, it returns the SI value of 1 in that unit; else 0.
func (r *reader) fluxTable(v *value, m *duty.Map) (scale float64) {
	m.Kind = duty.Table
	t := r.table(path.Join(path.Dir(v.file), v.text), v)
	if t == nil {
		return 0
	}
	lengths, scale := r.fluxUnit(t)
	_, u := unit.ParseHeading(lengths)
	conv, err := unit.Between(unit.Length, u)
	if err != nil {
		what, fix := unitTrouble(err, quantity(unit.Length, "", ""))
		r.report(Problem{
			File: t.name, Line: 1, Column: 1, Typed: t.headings[0], Message: fmt.Sprintf("the first cell is %q: %s", t.headings[0], what),
			Allowed: `"height [mm]": the unit of both coordinates in brackets`, Fix: fix,
		})
		return 0
	}
	rising := func(have []float64, x float64, line, col int, text string) bool {
		if n := len(have); n > 0 && x <= have[n-1] {
			r.report(Problem{
				File: t.name, Line: line, Column: col, Typed: text, Message: fmt.Sprintf("the coordinate %q does not rise", text),
				Allowed: "coordinates that rise along the first row and down the first column", Fix: "sort the table",
			})
			return false
		}
		return true
	}
	for i, h := range t.headings[1:] {
		x, ok := r.cell(t, h, 1, i+2)
		if !ok || !rising(m.TableWidth, conv.ToSI(x), 1, i+2, h) {
			return 0
		}
		m.TableWidth = append(m.TableWidth, conv.ToSI(x))
	}
	if len(m.TableWidth) == 0 {
		r.report(Problem{File: t.name, Line: 1, Column: 1, Message: "the map has no widths in its first row", Fix: "write widths behind the first cell"})
		return 0
	}
	total := 0.0
	for k, row := range t.rows {
		y, ok := r.cell(t, row[0], t.lines[k], 1)
		if !ok || !rising(m.TableHeight, conv.ToSI(y), t.lines[k], 1, row[0]) {
			return 0
		}
		m.TableHeight = append(m.TableHeight, conv.ToSI(y))
		for i, text := range row[1:] {
			f, ok := r.cell(t, text, t.lines[k], i+2)
			if !ok {
				return 0
			}
			if f < 0 {
				r.report(Problem{
					File: t.name, Line: t.lines[k], Column: i + 2, Typed: text, Message: fmt.Sprintf("the flux is %q", text),
					Allowed: "zero or more", Fix: "mend the cell",
				})
				return 0
			}
			total += f
			m.Table = append(m.Table, f)
		}
	}
	if !(total > 0) || math.IsInf(total, 0) {
		r.report(Problem{File: t.name, Line: 1, Column: 1, Message: "the map is zero everywhere", Allowed: "some flux above zero", Fix: "fill the map"})
		return 0
	}
	return scale
}
