package trial

import (
	"math"
	"slices"
	"strings"
)

// tally counts things of one kind.
type tally struct {
	count int
	first int // line
}

func (t *tally) add(line int) {
	if t.count == 0 {
		t.first = line
	}
	t.count++
}

// channelState is what reading a channel needs and gathers.
type channelState struct {
	c        *Channel
	at       int // cell
	quality  int // cell, -1
	repairs  Repairs
	missing  tally
	garbled  tally
	doubtful tally
	outside  tally
	codes    map[string]int
	electric float64
	typed    string    // the first garbled cell
	decimals int       // most behind the decimal sign of a number
	counted  bool      // whether a number was seen
	below    []float64 // of a flow: its readings before all of them were set to zero
}

// value reads one cell into SI.
func (st *channelState) value(cell []byte, decimal byte, src *Source, line int) float64 {
	v, ok := number(cell, decimal)
	if !ok {
		if noValueWord(cell) || slices.ContainsFunc(src.Missing, func(m string) bool { return strings.EqualFold(m, string(cell)) }) {
			st.miss(string(cell), line)
			return math.NaN()
		}
		if st.garbled.count == 0 {
			st.typed = shortened(legible(cell))
		}
		st.garbled.add(line)
		return math.NaN()
	}
	if v <= -900 || v >= 7000 || len(src.Missing) > 0 {
		if slices.Contains(noValueNumbers, v) || slices.ContainsFunc(src.Missing, func(m string) bool { x, ok := number([]byte(m), '.'); return ok && x == v }) {
			st.miss(string(cell), line)
			if st.repairs.Missing != Off {
				return math.NaN()
			}
		}
	}
	if n := decimals(cell, decimal); n > st.decimals || !st.counted {
		st.decimals, st.counted = n, true
	}
	c := st.c
	if c.Signal == nil {
		return c.Conversion.ToSI(v)
	}
	g := c.Signal
	switch {
	case g.Couple != "":
		return v * st.electric // V; the junction's temperature comes later
	case g.Table != nil:
		y, within := g.Table.At(v)
		if !within {
			st.outside.add(line)
			if st.repairs.Range != Off {
				return math.NaN()
			}
		}
		v = y
	default:
		v = g.Shift + g.Factor*v
	}
	return c.Conversion.ToSI(v)
}

func (st *channelState) miss(code string, line int) {
	st.missing.add(line)
	if len(st.codes) < 32 {
		st.codes[code]++
	}
}

func shortened(s string) string {
	s = strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f {
			return ' '
		}
		return c
	}, s)
	if r := []rune(s); len(r) > 30 {
		return string(r[:29]) + "…"
	}
	return s
}
