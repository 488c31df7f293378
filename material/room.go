package material

// Room is how the melt of a composite's filler fits into what is left to it, as shares of the composite's volume at 20 °C. The zero
// Room: nothing melts, or a density is not known.
type Room struct {
	Needs float64 // of the melt, just above its liquidus
	Has   float64 // filler at 20 °C and void together
}

// Left returns the share that stays empty above the melt; below zero there is too little room: the melt is pressed out or bursts what
// holds it.
func (r Room) Left() float64 { return r.Has - r.Needs }

// Room returns how the filler's melt fits:
//
//	needs = φ ρ(20 °C)/ρ(melt),   has = φ + void
//
// φ is the filler's share of the volume at 20 °C. What the melt grows by beyond its liquidus (some 0.01 % a kelvin) and the matrix's own
// growth are left out. ok is false where the filler does not melt or a density is not known.
// Source: balance of mass.
func (c *Composite) Room() (r Room, ok bool) {
	f := &c.Filler
	if !(c.FillerFraction > 0 && f.Latent > 0 && f.Density > 0 && f.LiquidDensity > 0) {
		return Room{}, false
	}
	return Room{c.FillerFraction * f.Density / f.LiquidDensity, c.FillerFraction + c.VoidFraction}, true
}
