package bench

import (
	"emberbank/block"
	"emberbank/receiver"
)

// surfaces builds the six outer sides, always in the order of block.Side.
func (p *plan) surfaces() {
	v := p.v.get("surfaces")
	for s := block.Front; s <= block.Top; s++ {
		at := v.get(s.String())
		if at == nil && s != block.Front && s != block.Back {
			at = v.get("around")
		}
		if at == nil {
			at = v.get("all")
		}
		p.out.Surfaces = append(p.out.Surfaces, p.surface(at, s.String(), s != block.Front))
	}
}

// surface reads one surface; nil stands for the default.
func (p *plan) surface(v *value, name string, touchable bool) receiver.Surface {
	s := receiver.Surface{
		Name: name, Kind: receiver.Exchange, Touchable: touchable,
		Film: receiver.Film{Kind: receiver.FilmOutside}, Emissivity: 0.9,
	}
	switch {
	case v == nil:
	case v.is("adiabatic"):
		s = receiver.Surface{Name: name, Kind: receiver.Adiabatic, Touchable: touchable}
	case v.has("temperature"):
		s = receiver.Surface{
			Name: name, Kind: receiver.FixedTemperature, Temperature: v.get("temperature").num,
			Touchable: v.get("touchable").yes(false),
		}
	default:
		s.Film = outsideFilm(v.get("film"), receiver.FilmOutside)
		s.Emissivity = 0.9
		if s.Film.Kind != receiver.FilmOutside {
			// A film that somebody states is often the whole coefficient, radiation included.
			s.Emissivity = 0
		}
		s.Emissivity = v.get("emissivity").number(s.Emissivity)
		s.Ambient, s.Surrounds = v.get("ambient").pointer(), v.get("surroundings").pointer()
		if s.Surrounds == nil && s.Ambient != nil {
			s.Surrounds = s.Ambient
		}
		s.Touchable = v.get("touchable").yes(touchable)
	}
	return s
}

// outsideFilm reads a film: a value, none or outside; nil stands for the default.
func outsideFilm(v *value, def receiver.FilmKind) receiver.Film {
	switch {
	case v == nil:
		return receiver.Film{Kind: def}
	case v.is("none"):
		return receiver.Film{Kind: receiver.FilmNone}
	case v.is("outside"):
		return receiver.Film{Kind: receiver.FilmOutside}
	}
	return receiver.Film{Kind: receiver.FilmFixed, Value: v.num}
}
