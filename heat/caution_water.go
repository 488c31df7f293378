package heat

import (
	"fmt"
	"math"

	"emberbank/duty"
	"emberbank/water"
)

// This file holds the dangers of water in a hot block: let in, shut in, under the pressure that it comes to, and let out.

const boilingPoint = 373.15 // K: tubes hotter than this may flash the first water to steam, whatever the pressure

const atmosphere = 101325.0 // Pa, of the open

// leaving is what has left a circuit so far, at rows.
type leaving struct {
	richest float64 // J/kg, the most
	driest  float64 // the same as quality at the circuit's pressure
}

// wetting notes water let into a circuit whose tubes are hot.
func (c *cautions) wetting(circuit int, T float64, pass string) {
	c.pressing(circuit, T, pass)
	if T <= boilingPoint || c.known(KindWetting, c.circuits[circuit], T, pass) {
		return
	}
	name := c.march.b.rec.Circuits[circuit].Name
	c.raise(Caution{Kind: KindWetting, Place: c.circuits[circuit], Value: T, Limit: boilingPoint, Source: "common practice"}, pass,
		func(T float64, pass string) string {
			return fmt.Sprintf("Water enters circuit %s while the block around pass %s stands at %.0f °C, above 100 °C: expect steam, hammer and thermal shock at the first water, and scalding steam at the outlet. %s",
				name, pass, T-273.15, practice)
		})
}

// closing notes a circuit shut in a hot block with water in it.
func (c *cautions) closing(circuit int, T float64, pass string) {
	if T <= boilingPoint || c.known(KindClosed, c.circuits[circuit], T, pass) {
		return
	}
	name, w := c.march.b.rec.Circuits[circuit].Name, c.march.streams[circuit]
	holds := "full of water"
	if w.filled(c.march.tubes) < 0.98 {
		holds = "with water and steam in it"
	}
	c.raise(Caution{
		Kind: KindClosed, Place: c.circuits[circuit], Value: T, Limit: boilingPoint,
		Source: "common practice; saturation pressure by IAPWS-IF97",
	}, pass, func(T float64, pass string) string {
		reached := ""
		switch {
		case w.shut.full && w.shut.p >= sealedLimit:
			reached = fmt.Sprintf(" In this run it passes %.0f bar, where the run ends: it would rise on.", sealedLimit/1e5)
		case w.highest > 0:
			reached = fmt.Sprintf(" In this run it comes to %.3g bar.", w.highest/1e5)
		}
		return fmt.Sprintf("Circuit %s is shut %s in a block at %.0f °C (pass %s): trapped water expands and boils and can burst the tube. %s%s Relieve the pressure or drain it. %s",
			name, holds, T-273.15, pass, saturation(T), reached, practice)
	})
}

// pressing notes a circuit that holds water in a block hotter than the water's boiling point: the pressure that it comes
// to where nothing lets it out.
func (c *cautions) pressing(circuit int, T float64, pass string) {
	iso := c.march.streams[circuit].iso
	if T <= iso.Saturation || c.known(KindSaturation, c.circuits[circuit], T, pass) {
		return
	}
	name, p, boils := c.march.b.rec.Circuits[circuit].Name, iso.P, iso.Saturation
	c.raise(Caution{
		Kind: KindSaturation, Place: c.circuits[circuit], Value: T, Limit: boils,
		Source: "boiling point at the water's pressure, IAPWS-IF97",
	}, pass, func(T float64, pass string) string {
		return fmt.Sprintf("The water of circuit %s, at %.3g bar, boils at %.0f °C; the block around it stands at up to %.0f °C (pass %s). %s Wherever the water is shut in or its way out is blocked its pressure rises towards that: tubes, joints and a relief that nothing can shut off must be made for it. %s",
			name, p/1e5, boils-273.15, T-273.15, pass, saturation(T), practice)
	})
}

const criticalDensity = 322.0 // kg/m³, IAPWS R7-97(2012)

// saturation says what pressure water at T (K) would have.
func saturation(T float64) string {
	p, err := water.SaturationPressure(T)
	if err != nil {
		reached := "more than 1000 bar"
		if third, err := water.AtVT(1/criticalDensity, T); err == nil {
			reached = fmt.Sprintf("about %.0f bar", 10*math.Round(third.P/1e6))
		}
		return fmt.Sprintf("Above 373.946 °C water has no saturation pressure: that of trapped water is then set by how full the tube is. A tube a third full of cold water comes to %s there; a full one bursts long before.", reached)
	}
	return fmt.Sprintf("Its saturation pressure at that temperature is %.1f bar.", p/1e5)
}

// letOut notes water that flashes in the open, and steam.
func (r *recorder) letOut(i int, w *stream) {
	m := r.m
	if w.state != duty.Flowing && !(w.state == duty.Open && w.boils) {
		return
	}
	h := w.iso.HVapour
	if w.state == duty.Flowing {
		h = w.shown[len(w.shown)-1]
	}
	T := w.last().temperature(h)
	r.choking(i, w, h)
	x := &r.left[i]
	if h > r.openLiquid || T > boilingPoint {
		x.richest = math.Max(x.richest, h)
		if !r.known(KindHotOutlet, r.circuits[i], T, "") {
			name := m.b.rec.Circuits[i].Name
			r.raise(Caution{Kind: KindHotOutlet, Place: r.circuits[i], Value: T, Limit: boilingPoint, Source: "common practice; share of steam by IAPWS-IF97"}, "",
				func(T float64, _ string) string {
					return fmt.Sprintf("Water leaves circuit %s at up to %.0f °C: let into the open, up to %.0f %% of it is steam at once; steam and what it throws about scald. %s",
						name, T-273.15, 100*clamp((x.richest-r.openLiquid)/r.openLatent, 0, 1), practice)
				})
		}
	}
	steam := w.steam(w.shown, w.out)
	if !(steam > 0) {
		return
	}
	x.driest = math.Max(x.driest, w.last().quality(h))
	if r.known(KindSteam, r.circuits[i], steam, "") {
		return
	}
	name := m.b.rec.Circuits[i].Name
	r.raise(Caution{Kind: KindSteam, Place: r.circuits[i], Value: steam, Source: "common practice; volume by IAPWS-IF97"}, "",
		func(steam float64, _ string) string {
			state := fmt.Sprintf("of a quality of up to %.2f", x.driest)
			switch {
			case x.driest > 1.0005:
				state = "superheated at times"
			case x.driest >= 0.9995:
				state = "dry"
			}
			return fmt.Sprintf("Up to %.2g kg/h of steam leaves circuit %s, %s, and fills up to %.2g m³ an hour in the open: it scalds, cannot be seen where it is dry, and hammers where it meets cold water or condensate. Lead it away in warm pipes that fall and drain, to where nobody stands. %s",
				3600*steam, name, state, 3600*steam*r.openVolume, practice)
		})
}

// watchWalls compares the outer face of every tube's wall, the hotter one while heat goes to the water, with the service
// temperature of its material.
func (r *recorder) watchWalls() {
	m := r.m
	for i := range m.tubes.slices {
		s := &m.tubes.slices[i]
		medium := m.b.rec.Passes[s.pass].WallMedium
		if medium < 0 || s.first == s.last {
			continue
		}
		md := &m.b.rec.Media[medium]
		limit, source := md.ServiceLimit, md.ServiceSource
		if md.TubeLimit > 0 {
			limit, source = md.TubeLimit, md.TubeSource
		}
		if !(limit > 0) {
			continue
		}
		T := s.bore - s.heat*s.contact
		if T <= limit || r.known(KindTubeWall, r.tubeWalls[medium], T, m.b.rec.Passes[s.pass].Name) {
			continue
		}
		r.raise(Caution{Kind: KindTubeWall, Place: r.tubeWalls[medium], Value: T, Limit: limit, Source: source}, m.b.rec.Passes[s.pass].Name,
			func(T float64, pass string) string {
				return fmt.Sprintf("The wall of a tube of %s reaches %.0f °C (pass %s), above its limit of %.0f °C; under pressure a tube gives way far below that, the sooner the hotter. %s",
					md.Name, T-273.15, pass, limit-273.15, practice)
			})
	}
}

// steamGamma is the ratio of heat capacities of steam near saturation, from memory.
const steamGamma = 1.3

// choking raises a caution where what leaves with steam would leave as fast as sound: a² = γ p/ρ with the density of the
// homogeneous mixture. It is that of a perfect gas laden with drops that neither boil nor follow in temperature; water that
// flashes chokes sooner, at about half of it (order of magnitude from memory).
func (r *recorder) choking(i int, w *stream, h float64) {
	if w.state != duty.Flowing || h <= w.iso.HLiquid {
		return
	}
	m := r.m
	G := w.flow / m.tubes.slices[w.slices[len(w.slices)-1]].section
	rho := w.iso.Density(math.Min(h, w.iso.High))
	speed, sound := G/rho, math.Sqrt(steamGamma*w.iso.P/rho)
	if speed < 0.5*sound || r.known(KindChoke, r.circuits[i], speed, "") {
		return
	}
	name := m.b.rec.Circuits[i].Name
	r.raise(Caution{Kind: KindChoke, Place: r.circuits[i], Value: speed, Limit: 0.5 * sound, Source: "speed of sound of a perfect gas laden with drops, γ = 1.3 (from memory)"}, "",
		func(speed float64, _ string) string {
			return fmt.Sprintf("Water and steam would leave circuit %s at %.0f m/s, near or beyond the speed of sound there (%.0f m/s): the outlet chokes, the true pressures in the tubes are higher than computed, and so are the saturation temperatures. Take a wider bore, less flow or a higher pressure at the outlet. %s",
				name, speed, sound, practice)
		})
}
