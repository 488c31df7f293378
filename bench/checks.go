package bench

import (
	"fmt"
	"math"

	"emberbank/material"
)

// checkOwn builds every material and composite that a receiver describes, used or not, so that its mistakes show.
func (p *plan) checkOwn() {
	p.r.checkLibrary(p.lib)
}

func (r *reader) checkLibrary(lib *library) {
	for _, name := range lib.names {
		if v := lib.materials[name]; v != nil {
			r.ownEntry(v)
		} else {
			r.composite(lib, lib.composites[name])
		}
	}
	for _, v := range lib.twins {
		if v.typ.mapped().find("matrix") != nil {
			r.composite(lib, v)
		} else {
			r.ownEntry(v)
		}
	}
}

// warnings gathers what a reader of results should know of the media in use.
func mediumWarnings(media []material.Medium) (warnings, sources []string) {
	for i := range media {
		m := &media[i]
		if m.FromMemory {
			what := "some values"
			if len(m.MemoryOf) > 0 {
				what = joined2(m.MemoryOf)
			}
			warnings = append(warnings, fmt.Sprintf("%s: from memory: %s (uncertainty ±%.0f %%); check against a data sheet",
				m.Name, what, 100*math.Max(m.Uncertainty, 0.2)))
		}
		for _, n := range m.Notes {
			warnings = append(warnings, m.Name+": "+n)
		}
		for _, s := range m.Sources {
			sources = append(sources, m.Name+": "+s)
		}
	}
	return warnings, sources
}

// joined2 lists words: a, b and c.
func joined2(words []string) string {
	out := ""
	for i, w := range words {
		switch {
		case i == 0:
		case i == len(words)-1:
			out += " and "
		default:
			out += ", "
		}
		out += w
	}
	return out
}
