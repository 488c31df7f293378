package bench

import (
	"fmt"
	"math"

	"emberbank/glass"
	"emberbank/receiver"
)

// angleBins is into how many equal bins the angle of incidence is divided, from 0 to 90 degrees.
const angleBins = 90

// byAngle reads a share that holds at every angle, or one by angle: then the value of light straight on, and the values at
// the middles of the bins.
func (p *plan) byAngle(v *value, def float64) (straight float64, bins []float64) {
	points := v.get("angles").items()
	if len(points) == 0 {
		return v.number(def), nil
	}
	var at, y []float64
	for i, row := range points {
		if i > 0 && row.list[0].num <= at[len(at)-1] {
			p.r.wrong(row.list[0], "not above the angle before it", "angles that rise", "sort the points by angle, each once")
			return math.NaN(), nil
		}
		at, y = append(at, row.list[0].num), append(y, row.list[1].num)
	}
	read := func(x float64) float64 {
		for i := range at {
			switch {
			case x > at[i]:
			case i == 0:
				return y[0]
			default:
				return y[i-1] + (x-at[i-1])/(at[i]-at[i-1])*(y[i]-y[i-1])
			}
		}
		return y[len(y)-1]
	}
	bins = make([]float64, angleBins)
	for i := range bins {
		bins[i] = read((float64(i) + 0.5) / angleBins * math.Pi / 2)
	}
	return y[0], bins
}

func (p *plan) glass(win *receiver.Window, w, g *value) {
	name := g.get("material")
	if name == nil {
		name = &value{node: g.node, file: g.file, path: g.path + ".material", typ: text("", ""), text: "borosilicate-glass"}
	}
	win.Glass = &receiver.Glass{
		Thickness: g.get("thickness").must(), Gap: g.get("gap").must(), Medium: p.medium(name),
		Emissivity: g.get("emissivity").number(0.88), OutsideFilm: outsideFilm(g.get("film"), receiver.FilmOutside),
		FluxLimit: g.get("flux limit").number(0),
	}
	if g.has("transmittance") {
		p.statedGlass(win.Glass, g)
	} else if !g.partial {
		p.computedGlass(win.Glass, g, name)
	}
	if f := w.get("film"); f != nil {
		p.r.wrong(f, "the face behind a pane has no film of its own", "with glass: glass.film, on the pane's outer side", "move it to glass.film, or take it out")
	}
}

// statedGlass takes what somebody measured.
func (p *plan) statedGlass(out *receiver.Glass, g *value) {
	out.Transmittance, out.Absorptance = g.get("transmittance").num, g.get("absorptance").number(0.02)
	for _, key := range []string{"index", "extinction"} {
		if v := g.get(key); v != nil {
			p.r.doubt(v, v.path+" does not count, since the transmittance is given", "take one of the two out")
		}
	}
	if t, a := out.Transmittance, out.Absorptance; t+a > 1+1e-9 {
		at := g.get("absorptance")
		if at == nil {
			at = g.get("transmittance")
		}
		p.r.wrong(at, "transmittance and absorptance are more than 1 together", "at most 1 together", "lower one of the two")
	}
}

// computedGlass finds what the pane does with light from what it is made of.
func (p *plan) computedGlass(out *receiver.Glass, g, name *value) {
	if a := g.get("absorptance"); a != nil {
		p.r.wrong(a, "an absorptance without a transmittance", "both, or neither", "give the transmittance too, or leave both out: they then follow from index and extinction")
		return
	}
	index, extinction := g.get("index"), g.get("extinction")
	m, known := glass.Lookup(name.text)
	switch {
	case index != nil && extinction != nil:
		m = glass.Plain(name.text, index.num, extinction.num)
	case !known:
		p.r.problemAt(g, fmt.Sprintf("%s: nothing is known of what %q does with light", g.path, name.text),
			"a transmittance, or index and extinction", `add "transmittance: 0.9", or "index: 1.5" and "extinction: 10 1/m"`)
		return
	case index != nil:
		n := index.num
		m.Index = func(float64) float64 { return n }
	case extinction != nil:
		k := extinction.num
		m.Extinction = func(float64) float64 { return k }
	}
	p.r.matter = &m
	passLight(out, m, glass.Sun())
}

// passLight sets what a pane of that matter does with light of a spectrum.
func passLight(out *receiver.Glass, m glass.Matter, s glass.Spectrum) {
	if !(out.Thickness > 0) {
		return
	}
	l := glass.At(m, out.Thickness, s, 0)
	out.Transmittance, out.Absorptance = l.Transmitted, l.Absorbed
	out.Transmittances, out.Absorptances = nil, nil
	for _, l := range glass.ByAngle(m, out.Thickness, s, angleBins) {
		out.Transmittances, out.Absorptances = append(out.Transmittances, l.Transmitted), append(out.Absorptances, l.Absorbed)
	}
}
