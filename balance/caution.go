package balance

import (
	"fmt"
	"math"
	"strings"

	"emberbank/water"
)

// Caution is a danger that a record shows, with the number that shows it.
type Caution struct {
	Kind  string
	Value float64 // K, of the block
	Text  string
}

// The kinds of cautions.
const (
	FirstWater  = "water into a hot block"
	ShutWater   = "water shut in a hot block"
	HotSurfaces = "hot surfaces"
	MoltenMetal = "molten metal"
)

const (
	boilsOpen = 373.15 // K: a block hotter than this may flash the first water to steam (common practice)
	burns     = 333.15 // K: a surface hotter than this burns the skin that touches it (common practice)
)

// Melts is a metal in the block that may melt.
type Melts struct {
	Medium, Metal string
	Solidus       float64 // K
}

// Cautions returns what the stretch of a record from a to b in s shows of dangers, each with the usual words: water let
// into a hot block, or standing in one, hot surfaces, molten metal. The limits are common practice without a source.
func (in *Input) Cautions(a, b float64) []Caution {
	from, to := within(in.History.Time, a, b)
	hot, where := in.hottest(from, to, nil)
	if !(hot > burns) {
		return nil
	}
	var out []Caution
	wet, worst, place := in.wetRows(from, to), math.Inf(-1), ""
	var entered []string
	for _, c := range wet {
		if T, at := in.hottest(from, to, c.rows); T > boilsOpen {
			entered = append(entered, c.of)
			if T > worst {
				worst, place = T, at
			}
		}
	}
	if len(entered) > 0 {
		which := "circuit " + entered[0]
		if len(entered) > 1 {
			which = "the circuits " + strings.Join(entered[:len(entered)-1], ", ") + " and " + entered[len(entered)-1]
		}
		out = append(out, Caution{FirstWater, worst, fmt.Sprintf("Water flows into %s while the block shows %s (%s), above 100"+narrow+"°C: expect steam, hammer and thermal shock at the first water, and scalding steam at the outlet.",
			which, degrees(worst), place)})
	}
	if hot > boilsOpen && len(in.channels(Flow)) > 0 {
		pressure := "its pressure then hangs on how full the tube is, and a full one bursts"
		if p, err := water.SaturationPressure(hot); err == nil {
			pressure = fmt.Sprintf("its saturation pressure there is %.0f"+narrow+"bar, and a tube full of water bursts long before", p/1e5)
		}
		out = append(out, Caution{ShutWater, hot, fmt.Sprintf("The block reaches %s: water shut in by closed valves expands and boils (%s). Drain the tubes, or leave their way out open.", degrees(hot), pressure)})
	}
	for _, m := range in.Melting {
		if hot > m.Solidus {
			out = append(out, Caution{MoltenMetal, hot, fmt.Sprintf("%s holds molten %s at up to %s: a leak burns and sets fire, moisture under it explodes into steam, and its vapour and dust are not for breathing.", m.Medium, m.Metal, degrees(hot))})
		}
	}
	return append(out, Caution{HotSurfaces, hot, fmt.Sprintf("%s stands at up to %s: it and what touches it burn the skin, long after source and water are off. Guard surfaces above 60"+narrow+"°C.", where, degrees(hot))})
}

func degrees(T float64) string { return fmt.Sprintf("%.0f"+narrow+"°C", T-273.15) }

// hottest returns the hottest reading of the block in some rows, in K, and its column; −Inf where there is none.
func (in *Input) hottest(from, to int, rows []bool) (float64, string) {
	hot, where := math.Inf(-1), ""
	for _, i := range in.channels(Block) {
		for k, v := range in.values(i)[from:to] {
			if (rows == nil || rows[k]) && v > hot {
				hot, where = v, in.Channels[i].Column
			}
		}
	}
	return hot, where
}

// wetCircuit is the rows of a stretch in which a circuit's water flows.
type wetCircuit struct {
	of   string
	rows []bool
}

// wetRows returns the circuits whose water flows in a stretch.
func (in *Input) wetRows(from, to int) (all []wetCircuit) {
	for _, i := range in.channels(Flow) {
		most := quantile(in.values(i), 1)
		c := wetCircuit{in.Channels[i].Of, make([]bool, to-from)}
		flows := false
		for k, v := range in.values(i)[from:to] {
			c.rows[k] = v > onShare*most && most > 0
			flows = flows || c.rows[k]
		}
		if flows {
			all = append(all, c)
		}
	}
	return all
}

// caution puts each danger of a report where it is worst: one of its phases.
func (in *Input) caution(out *Report) {
	type at struct {
		phase int
		c     Caution
	}
	var all []at
	for i := range out.Phases {
		p := &out.Phases[i]
		for _, c := range in.Cautions(p.From, p.To) {
			known := false
			for k := range all {
				if all[k].c.Kind == c.Kind && (c.Kind != MoltenMetal || firstWord(all[k].c.Text) == firstWord(c.Text)) {
					known = true
					if c.Value > all[k].c.Value {
						all[k] = at{i, c}
					}
				}
			}
			if !known {
				all = append(all, at{i, c})
			}
		}
	}
	for _, a := range all {
		p := &out.Phases[a.phase]
		p.Cautions = append(p.Cautions, a.c)
	}
}

func firstWord(s string) string {
	word, _, _ := strings.Cut(s, " ")
	return word
}
