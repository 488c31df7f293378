package heat

import (
	"math"
	"slices"

	"emberbank/duty"
)

// HeldShare is the share of what is wanted that counts as given.
const HeldShare = 0.98

// Served is what became of a load over a run: amounts in J, or in kg of vapour where the load is one of steam.
type Served struct {
	Steam     bool
	Wanted    float64
	Delivered float64
	Met       float64   // the smaller of the two, taken at each step
	Asked     float64   // s, in which anything was wanted
	Held      float64   // s, of these, in which at least 98 % of it was given
	Heat      float64   // J, carried off by the water of the load's circuits while it flowed or stood open
	Let       float64   // J, let out with the water of circuits that were shut, less what filled those that were opened
	Heated    float64   // J, of Heat, what left while steam or heat was wanted
	Counts    []float64 // s, in which 0, 1, 2, … circuits were open
	Opened    int
	Shut      int
}

// served books what an accepted step of tau (s) from m.t brought the load.
func (m *march) served(tau float64) {
	v := m.load
	if v == nil {
		return
	}
	heat, steam := 0.0, 0.0
	for _, i := range v.l.Circuits {
		heat += m.streams[i].pending
		steam += m.rec.leaves[i].Steam
	}
	s := &v.sum
	wanted := 0.5 * (v.l.Wanted.At(m.t) + v.l.Wanted.Before(m.t+tau)) * tau
	given := heat
	if s.Steam {
		given = steam - v.steamT
	}
	v.steamT = steam
	s.Wanted += wanted
	s.Delivered += given
	s.Met += math.Max(0, math.Min(given, wanted))
	s.Heat += heat
	s.Counts[v.o.Open] += tau
	if wanted > 0 {
		s.Asked += tau
		s.Heated += heat
		if given >= HeldShare*wanted {
			s.Held += tau
		}
	}
}

// delivered returns what the load's circuits give as the row shows them, in W or kg/s.
func (v *serving) delivered(m *march) float64 {
	sum := 0.0
	for _, i := range v.l.Circuits {
		w := m.streams[i]
		switch {
		case v.l.Steam:
			sum += w.steam(w.shown, w.out)
		case w.state == duty.Flowing:
			out := w.flow
			if w.tauOld > 0 { // what leaves differs from what enters as it did over the last step
				out += w.out - w.flowOld
			}
			sum += out*(w.shown[len(w.shown)-1]-w.origin) - w.flow*(w.inlet-w.origin)
		}
	}
	return sum
}

// became returns what became of the load.
func (v *serving) became(m *march) *Served {
	if v == nil {
		return nil
	}
	s := v.sum
	s.Counts = slices.Clone(s.Counts)
	carried := 0.0
	for _, i := range v.l.Circuits {
		carried += m.streams[i].carried
	}
	s.Let = carried - s.Heat
	return &s
}
