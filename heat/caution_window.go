package heat

import (
	"fmt"
	"math"

	"emberbank/film"
)

// stated is the source of a limit that the files state.
const stated = "stated"

// watchWindow compares what the light does to pane and face in the present row with their limits.
func (r *recorder) watchWindow() {
	m := r.m
	win := m.b.rec.Window
	if len(r.window) == 0 {
		return
	}
	hottest := 0.0 // K
	if r.hottestCounts() {
		below := 0 // the cell behind the hottest face
		for _, i := range r.window {
			if T := m.skin.T[i]; T > hottest {
				hottest, below = T, int(m.b.faces[i].cell)
			}
		}
		if l := win.ServiceLimit; l > 0 && hottest > l && !r.known(KindServiceLimit, "the window's face", hottest, "") {
			r.pastService("the window's face", hottest, l, stated)
		}
		md := &m.b.rec.Media[m.b.medium[below]]
		if l := md.ServiceLimit; l > 0 && hottest > l && !r.known(KindServiceLimit, md.Name, hottest, "") {
			r.pastService(md.Name, hottest, l, md.ServiceSource)
		}
	}
	signal := m.lightAt(m.t)
	flux := r.peakShare * signal * m.falling
	if g := win.Glass; g != nil {
		r.flux("pane", "the pane", flux, g.FluxLimit)
		r.watchPane(r.peakShare*signal*m.inPane, hottest)
		flux *= g.Transmittance
	}
	r.flux("window's face", "the block's face", flux, win.FluxLimit)
}

// hottestCounts tells whether the temperature of the hottest face behind the window matters to a row: whether some limit is set to it, to its
// medium or to a pane.
func (r *recorder) hottestCounts() bool {
	win := r.m.b.rec.Window
	if win == nil {
		return false
	}
	counts := win.ServiceLimit > 0
	for i := range r.m.b.rec.Media {
		counts = counts || r.m.b.rec.Media[i].ServiceLimit > 0
	}
	return counts
}

// flux says that light is brighter than what it falls on bears.
func (r *recorder) flux(place, name string, flux, limit float64) {
	if !(limit > 0 && flux > limit) || r.known(KindFlux, place, flux, "") {
		return
	}
	r.raise(Caution{Kind: KindFlux, Place: place, Value: flux, Limit: limit, Source: stated}, "",
		func(flux float64, _ string) string {
			return fmt.Sprintf("Light of up to %.0f kW/m² falls on %s, which bears %.0f kW/m² by what is stated. %s", flux/1e3, name, limit/1e3, practice)
		})
}

// watchPane compares the pane with its service limit: as hot as it is as a whole, and where the light is brightest, as hot
// as it would become there if that light (absorbed, W/m²) stayed and the glass led nothing aside. Glass leads badly, so the
// middle of a small spot comes near to that.
func (r *recorder) watchPane(absorbed, face float64) {
	m := r.m
	p := m.skin.pane
	md := &m.b.rec.Media[p.win.Glass.Medium]
	limit := md.ServiceLimit
	if !(limit > 0) {
		return
	}
	name := "the pane of " + md.Name
	if p.T > limit && !r.known(KindServiceLimit, name, p.T, "") {
		r.pastService(name, p.T, limit, md.ServiceSource)
	}
	if absorbed <= 0 {
		return
	}
	place := name + " in the brightest light"
	if T := p.bright(absorbed, face, m.skin.windowNow()); T > limit && !r.known(KindServiceLimit, place, T, "") {
		r.raise(Caution{Kind: KindServiceLimit, Place: place, Value: T, Limit: limit, Source: md.ServiceSource}, "",
			func(T float64, _ string) string {
				return fmt.Sprintf("Where the light is brightest %s heads for %.0f °C, above its service limit of %.0f °C: so hot it would become there if it led no heat aside. A pane that is hot in its middle and cool at its rim may also crack. %s",
					name, T-273.15, limit-273.15, practice)
			})
	}
}

// windowNow returns what the block's face behind the window exchanges with at present.
func (s *skin) windowNow() *condition {
	for i := range s.b.patches {
		if s.b.patches[i].surface == nil {
			return &s.conds[i]
		}
	}
	return &condition{}
}

// bright returns the temperature, in K, at which a piece of the pane stands that absorbs so much light (W/m²) before a face
// at a temperature in K, with the films and the radiation of the whole pane.
func (p *pane) bright(absorbed, face float64, gap *condition) float64 {
	T := math.Max(p.T, 300)
	r, ro := gap.eps*film.StefanBoltzmann, p.eps*film.StefanBoltzmann
	for range 60 {
		f := p.h*(T-p.air) + ro*(p4(T)-p.radiator4) - gap.h*(face-T) - r*(p4(face)-p4(T)) - absorbed
		d := f / (p.h + gap.h + 4*(r+ro)*T*T*T)
		T = math.Max(1, T-clamp(d, -200, 200))
		if math.Abs(d) < 1e-6*T {
			break
		}
	}
	return T
}
