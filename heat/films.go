package heat

import (
	"fmt"
	"math"

	"emberbank/duty"
	"emberbank/film"
)

// FilmUse is what one circuit had to do with a correlation of its films that was outside the range for which it was
// published.
type FilmUse struct {
	Circuit string
	Law     string
	Time    float64 // s, in which some film of the circuit was outside; of all its laws together
	Wet     float64 // s, in which the circuit held water
	Share   float64 // of the heat, without sign, that passed through the circuit's films: what passed through this law's
	Factor  float64 // by which such a film may be off either way, at 95 %: 2 is half or double
}

// larger are factors on what leads heat from the block to the water, all 1 in a run: see gains.
type larger struct{ film, contact, wall float64 }

// within returns the film that heat takes for a computed coefficient, in W/(m² K): at the part t.films, from −1 to 1, of
// its own spread.
func (t *tubes) within(c film.Coefficient) float64 { return c.Within(t.films) * t.more.film }

// take gives a slice a computed film and remembers which.
func (t *tubes) take(s *slice, c film.Coefficient) {
	s.made = c
	s.filmR = 1 / (t.within(c) * s.inner)
}

// use adds up, over a run, the films that a circuit used.
type use struct {
	wet, outside float64 // s, with water; with a film outside its range
	heat         float64 // J, without sign, through computed films
	laws         []lawUse
	unsettled    int // slices, step by step, with a film that did not come to agree with its flux
}

type lawUse struct {
	law    string
	heat   float64 // J, without sign
	factor float64
}

// count books a step of tau (s) in which the slices took the given heat (J), or the moment of a steady state with a tau
// of 0 and heat in W.
func (u *use) count(w *stream, t *tubes, tau float64, heat func(slice int) float64) {
	if w.state == duty.Drained {
		return
	}
	u.wet += tau
	outside := false
	for i, si := range w.slices {
		s := &t.slices[si]
		if s.unsettled || w.plan[i].zones.ready && w.plan[i].zones.spots.unsettled {
			u.unsettled++
		}
		if s.made.Law == "" || s.u == 0 {
			continue
		}
		q := math.Abs(heat(si))
		u.heat += q
		if !s.made.Outside || q == 0 {
			continue
		}
		outside = true
		l := u.of(s.made.Law)
		l.heat += q
		l.factor = math.Max(l.factor, 1+s.made.Spread)
	}
	if outside {
		u.outside += tau
	}
}

// of returns the entry of a law.
func (u *use) of(law string) *lawUse {
	for i := range u.laws {
		if u.laws[i].law == law {
			return &u.laws[i]
		}
	}
	u.laws = append(u.laws, lawUse{law: law})
	return &u.laws[len(u.laws)-1]
}

// leastUse is the share of a circuit's heat below which a film outside its range is not worth a word.
const leastUse = 1e-3

// filmUses lists what was outside its range, circuit by circuit, the law with most heat first.
func (r *recorder) filmUses() []FilmUse {
	var list []FilmUse
	for i := range r.uses {
		u := &r.uses[i]
		first := len(list)
		for _, l := range u.laws {
			if u.heat <= 0 || l.heat < leastUse*u.heat {
				continue
			}
			f := FilmUse{Circuit: r.m.b.rec.Circuits[i].Name, Law: l.law, Time: u.outside, Wet: u.wet, Share: l.heat / u.heat, Factor: l.factor}
			at := len(list)
			for at > first && list[at-1].Share < f.Share {
				at--
			}
			list = append(list, FilmUse{})
			copy(list[at+1:], list[at:])
			list[at] = f
		}
	}
	return list
}

// warnFilmUses says for each circuit which films were outside their range, for how long, how much heat went through
// them, and how far they may be off.
func (r *recorder) warnFilmUses(uses []FilmUse) {
	for i := range r.uses {
		if n := r.uses[i].unsettled; n > 0 {
			r.m.warn(fmt.Sprintf("in circuit %s a film and its own flux, or the water of a slice and its heat, did not agree %d times in all (steps times slices): the last try was taken there",
				r.m.b.rec.Circuits[i].Name, n))
		}
	}
	for i := 0; i < len(uses); {
		f := uses[i]
		laws, share, factor := "", 0.0, 0.0
		for ; i < len(uses) && uses[i].Circuit == f.Circuit; i++ {
			if laws != "" {
				laws += "; "
			}
			laws += fmt.Sprintf("%s, %s of the heat", uses[i].Law, percent(uses[i].Share))
			share += uses[i].Share
			factor = math.Max(factor, uses[i].Factor)
		}
		when := fmt.Sprintf("for %.0f s of the %.0f s with water", f.Time, f.Wet)
		if r.m.p.Steady {
			when = "in the steady state"
		}
		r.m.warn(fmt.Sprintf("films in circuit %s were outside the range of their correlations %s, and %s of the circuit's heat passed through such films (%s): take them within a factor of %.2g either way",
			f.Circuit, when, percent(share), laws, factor))
	}
}

// percent says a share to two digits.
func percent(share float64) string {
	if share >= 0.0995 {
		return fmt.Sprintf("%.0f %%", 100*share)
	}
	return fmt.Sprintf("%.2g %%", 100*share)
}
