package bench

import (
	"strings"

	"emberbank/material"
)

// composite mixes a composite by its description; lib is the library that holds it.
func (r *reader) composite(lib *library, v *value) (material.Medium, bool) {
	before := len(r.problems)
	c := material.Composite{
		Name:           v.get("name").word(""),
		FillerFraction: v.get("filler fraction").must(),
		VoidFraction:   v.get("void fraction").number(0),
		Mixing:         v.get("mixing").word(""),
	}
	var okM, okF bool
	c.Matrix, okM = r.entry(lib, v.get("matrix"))
	c.Filler, okF = r.entry(lib, v.get("filler"))
	if f, w := v.get("filler fraction"), v.get("void fraction"); f != nil && w != nil && f.num+w.num >= 1 {
		r.wrong(w, "filler and void leave no room for the matrix", "less than 1 together", "lower one of the two")
	}
	pick := func(key string) *value {
		here, inside := v.get(key), v.get("melting", key)
		if here != nil && inside != nil {
			r.wrong(inside, "it also stands outside melting", "once", "take one of the two out")
		}
		if here != nil {
			return here
		}
		return inside
	}
	one := func(x *value) *material.Curve {
		if x == nil {
			return nil
		}
		k := r.curve(x)
		return &k
	}
	three := func(x *value) *[3]material.Curve {
		if x == nil {
			return nil
		}
		k := r.conductivity(x)
		return &k
	}
	c.Measured = material.Measured{
		Density:            v.get("density").number(0),
		HeatCapacity:       one(v.get("heat capacity")),
		HeatCapacityMelted: one(pick("heat capacity melted")),
		Conductivity:       three(v.get("conductivity")),
		ConductivityMelted: three(pick("conductivity melted")),
	}
	melting := v.get("melting")
	if melting.is("none") {
		c.Filler.Latent = 0
	}
	if !okM || !okF || v.partial || len(r.problems) > before {
		return material.Medium{}, false
	}
	if melting != nil && !melting.is("none") && (melting.has("at") || melting.has("from") || melting.has("to") || melting.has("latent heat")) {
		c.Measured.Melting = r.measuredMelting(c, melting)
	}
	if len(r.problems) > before {
		return material.Medium{}, false
	}
	m, err := c.Medium()
	if err != nil {
		r.wrong(v.get("name"), strings.TrimPrefix(err.Error(), "mixing composite "+c.Name+": "), "", "mend the composite or its materials")
		return material.Medium{}, false
	}
	// A melt that was measured goes on from the solid that was measured, not from the mixed melt.
	if c.Measured.HeatCapacity != nil && c.Measured.HeatCapacityMelted == nil {
		m.HeatCapacityMelted = m.HeatCapacity
	}
	if c.Measured.Conductivity != nil && c.Measured.ConductivityMelted == nil {
		m.ConductivityMelted = m.Conductivity
	}
	if T := v.get("service limit"); T != nil {
		m.ServiceLimit, m.ServiceSource = T.num, "stated in "+v.file
	}
	if s := v.get("source"); s != nil {
		m.Sources = append(m.Sources, "overriding values: "+s.text)
	}
	return m, true
}

// measuredMelting reads the measured melting; what it leaves out comes from the mixing.
func (r *reader) measuredMelting(c material.Composite, v *value) *material.Melting {
	mixed, err := c.Medium()
	if err != nil {
		return nil // told when the composite itself is mixed
	}
	out := &material.Melting{}
	out.Solidus, out.Liquidus = r.meltingRange(v, mixed.Solidus, mixed.Liquidus)
	out.Latent = v.get("latent heat").number(mixed.Latent)
	if out.Latent == 0 && !v.partial {
		r.wrong(v, "the filler has no latent heat of its own", "", `add "latent heat: …", per mass of the whole composite`)
	}
	return out
}
