// Package aperture finds the right window: a larger one catches more of a dish's or a lamp's light and loses more of the
// block's heat. Absorbed less lost is computed over the window's size, at one temperature of the block's face, for one
// strength of the beam and over a day, with and without glass and cover; its optimum is told with how flat it is.
//
// What a window loses is what heat.LossOfWindow says: the films, the gap, the pane and the radiation of a run. What it
// takes is the light that it catches times what optics.Uptake says. Left out: conduction that differs with the window's
// size (the front's insulation that a larger window replaces), a face that is hotter where the light is brighter, and the
// time in which block and pane grow warm.
//
//	answer, err := aperture.Find(&q)
//	best := answer.Variants[0].Now.Best // with glass where there is one
package aperture

import (
	"fmt"
	"math"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/optics"
	"emberbank/receiver"
)

// Catch is what windows of rising size catch of the light.
type Catch struct {
	Size  []float64 // m, rising: widths, or diameters of round windows
	Power []float64 // m²: power through each over the beam's irradiance
}

// At returns the power through a window of some size, straight between the points.
func (c *Catch) At(size float64) float64 { return read(c.Size, c.Power, size) }

// Side is what of the light is not known exactly: what windows catch with it at both ends at 95 %; nil: not known there.
type Side struct {
	Name         string
	Below, Above *Catch
}

// Question is what is asked.
type Question struct {
	Receiver *receiver.Receiver // its window, but for the size
	Round    bool
	Ratio    float64 // height over width; of a round window 1
	Most     float64 // m, the largest size
	Catch    Catch
	Sides    []Side
	Angles   []float64    // shares of the light by angle of incidence, in equal bins from 0 to π/2; nil: straight on
	Face     float64      // K, of the block's face
	Out      heat.Weather // all day long
	Beam     float64      // W/m², for the answer of one moment
	Day      []Moment     // by rising time, straight lines between; fewer than two: no day is asked for
}

// Moment is the beam at one time of the day.
type Moment struct {
	At   float64 // s
	Beam float64 // W/m²
}

// Answer is what windows keep.
type Answer struct {
	Face     float64 // K
	Beam     float64 // W/m²
	Lasts    float64 // s, of the day; 0: none
	Variants []Variant
}

// Variant is one way of making the window.
type Variant struct {
	Name    string // such as "with glass"
	Glass   bool
	Now     Curve   // W, the window open
	Covered *Curve  // J over the day, the cover shut whenever the open window would keep less; nil: no day
	Open    *Curve  // J over the day, the window always open; nil: no day
	Outside bool    // at the best size a film was used outside its correlation's range
	Moved   float64 // K, by how much a pane still moved at the end of its rounds; 0: all came to rest
}

// Curve is what windows take in, lose and keep.
type Curve struct {
	Size, Taken, Lost, Kept []float64
	Half                    []float64 // half-width of Kept at 95 % from what is not known of the light; nil: nothing was asked
	Best                    Best
}

// Best is the optimum of a curve.
type Best struct {
	Size, Kept float64 // no window is worth it where Kept is not above 0
	SizeHalf   float64 // m, half-width at 95 % of the size; not a number where nothing was asked
	KeptHalf   float64
	From, To   float64 // m, sizes that lose less than a hundredth of it
	AtEnd      bool    // the largest window asked for is the best
}

// Flat is the share of the best that a size may lose and still count as good.
const Flat = 0.01

// points is how many sizes are looked at.
const points = 120

// Find answers.
func Find(q *Question) (*Answer, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	out := &Answer{Face: q.Face, Beam: q.Beam}
	if n := len(q.Day); n > 1 {
		out.Lasts = q.Day[n-1].At - q.Day[0].At
	}
	ways := []bool{false}
	if q.Receiver.Window.Glass != nil {
		ways = []bool{true, false}
	}
	for _, glass := range ways {
		out.Variants = append(out.Variants, q.variant(glass))
	}
	return out, nil
}

func (q *Question) check() error {
	switch {
	case q.Receiver == nil || q.Receiver.Window == nil:
		return fmt.Errorf("the receiver has no window")
	case !(q.Most > 0):
		return fmt.Errorf("the largest window is %g m: it must be above 0", q.Most)
	case !(q.Ratio > 0):
		return fmt.Errorf("the window's height over its width is %g: it must be above 0", q.Ratio)
	case len(q.Catch.Size) < 2 || len(q.Catch.Size) != len(q.Catch.Power):
		return fmt.Errorf("what windows catch is known for %d sizes and %d powers", len(q.Catch.Size), len(q.Catch.Power))
	case !(q.Face > 0) || !(q.Beam >= 0):
		return fmt.Errorf("a face at %g K and a beam of %g W/m² are no operation", q.Face, q.Beam)
	}
	for i := 1; i < len(q.Day); i++ {
		if !(q.Day[i].At >= q.Day[i-1].At) {
			return fmt.Errorf("the day's times must rise")
		}
	}
	return nil
}

// sized is a window of one size: what it takes of the light, and what its face loses, for each watt of light on it.
type sized struct {
	size       float64
	face, pane float64 // shares that face and pane take
	lost       [3]float64
	light      float64 // W at lost[2]; half of it at lost[1]
	shut       float64 // W
	outside    bool
	moved      float64 // K, of a pane that did not come to rest
}

// loses returns what the open window's face loses with so much light on it, W: a parabola through three balances, since the
// pane's own light lowers it.
func (s *sized) loses(light float64) float64 {
	if s.light == 0 {
		return s.lost[0]
	}
	x := light / s.light
	return s.lost[0]*(1-x)*(1-2*x) + s.lost[1]*4*x*(1-x) + s.lost[2]*x*(2*x-1)
}

func (q *Question) variant(glass bool) Variant {
	v := Variant{Glass: glass, Name: "without glass"}
	if glass {
		v.Name = "with glass"
	}
	strongest := q.Beam
	for _, m := range q.Day {
		strongest = math.Max(strongest, m.Beam)
	}
	all := make([]sized, points)
	for i := range all {
		all[i] = q.sized(q.Most*float64(i+1)/points, glass, strongest)
		v.Moved = math.Max(v.Moved, all[i].moved)
	}
	now := func(c *Catch, s *sized) (taken, lost float64) {
		light := q.Beam * c.At(s.size)
		return light * s.face, s.loses(light)
	}
	v.Now = q.curve(all, now)
	near := int(math.Round(v.Now.Best.Size/q.Most*points)) - 1
	v.Outside = all[max(0, near)].outside
	if len(q.Day) < 2 {
		return v
	}
	open := q.curve(all, func(c *Catch, s *sized) (float64, float64) { return q.day(c, s, false) })
	v.Open = &open
	covered := q.curve(all, func(c *Catch, s *sized) (float64, float64) { return q.day(c, s, true) })
	v.Covered = &covered
	return v
}

func (q *Question) sized(size float64, glass bool, strongest float64) sized {
	w := *q.Receiver.Window
	if !glass {
		w.Glass = nil
	}
	width, height := size, size*q.Ratio
	if q.Round { // films and view factors of the square of the same area
		width = size * math.Sqrt(math.Pi) / 2
		height = width
	}
	w.Opening = block.Box{Max: block.Point{0, width, height}}
	rec := receiver.Receiver{Media: q.Receiver.Media, Window: &w}
	s := sized{size: size, light: strongest * q.Catch.At(size)}
	s.face, s.pane = optics.Uptake(&w, q.Angles)
	for i := range s.lost {
		l := heat.LossOfWindow(&rec, q.Out, q.Face, s.pane*s.light*float64(i)/2, false)
		s.lost[i], s.outside = l.Lost, s.outside || l.Outside
		s.settle(&l)
	}
	shut := heat.LossOfWindow(&rec, q.Out, q.Face, 0, true)
	s.shut = shut.Lost
	s.settle(&shut)
	return s
}

// settle notes a pane that did not come to rest.
func (s *sized) settle(l *heat.WindowLoss) {
	if l.Moved >= heat.SettledPane {
		s.moved = math.Max(s.moved, l.Moved)
	}
}

// step is the longest piece of a day over which the beam is taken at its middle, s.
const step = 300

// day sums what a window takes and loses over the day, J. With a cover it is shut whenever the open window would keep less.
func (q *Question) day(c *Catch, s *sized, cover bool) (taken, lost float64) {
	caught := c.At(s.size)
	for i := 1; i < len(q.Day); i++ {
		a, b := q.Day[i-1], q.Day[i]
		n := math.Ceil((b.At - a.At) / step)
		for k := range int(n) {
			dt := (b.At - a.At) / n
			light := caught * (a.Beam + (float64(k)+0.5)/n*(b.Beam-a.Beam))
			in, out := light*s.face, s.loses(light)
			if cover && in-out < -s.shut {
				in, out = 0, s.shut
			}
			taken += in * dt
			lost += out * dt
		}
	}
	return taken, lost
}

// curve asks all sizes, and asks them again for each end of what is not known.
func (q *Question) curve(all []sized, ask func(c *Catch, s *sized) (taken, lost float64)) Curve {
	one := func(c *Catch) Curve {
		var out Curve
		for i := range all {
			taken, lost := ask(c, &all[i])
			out.Size, out.Taken, out.Lost, out.Kept = append(out.Size, all[i].size), append(out.Taken, taken), append(out.Lost, lost), append(out.Kept, taken-lost)
		}
		out.Best = best(out.Size, out.Kept)
		return out
	}
	base := one(&q.Catch)
	if len(q.Sides) == 0 {
		return base
	}
	base.Half = make([]float64, len(all))
	size, kept := 0.0, 0.0
	for _, s := range q.Sides {
		below, above := &base, &base
		half := 1.0
		if s.Below != nil {
			c := one(s.Below)
			below = &c
		}
		if s.Above != nil {
			c := one(s.Above)
			above = &c
		}
		if s.Below != nil && s.Above != nil {
			half = 0.5
		}
		for i := range base.Half {
			base.Half[i] = math.Hypot(base.Half[i], half*(above.Kept[i]-below.Kept[i]))
		}
		size = math.Hypot(size, half*(above.Best.Size-below.Best.Size))
		kept = math.Hypot(kept, half*(above.Best.Kept-below.Best.Kept))
	}
	base.Best.SizeHalf, base.Best.KeptHalf = size, kept
	return base
}

// best finds the optimum of a curve: the top of the parabola that lies closest to what is within half a hundredth of the
// highest point, so that the scatter of casting does not move it.
func best(size, kept []float64) Best {
	top := 0
	for i, v := range kept {
		if v > kept[top] {
			top = i
		}
	}
	b := Best{Size: size[top], Kept: kept[top], SizeHalf: math.NaN(), KeptHalf: math.NaN(), AtEnd: top == len(size)-1}
	if !(b.Kept > 0) {
		b.Size, b.AtEnd = 0, false
		return b
	}
	near := func(share float64) (lo, hi int) {
		for lo = top; lo > 0 && kept[lo-1] >= (1-share)*b.Kept; lo-- {
		}
		for hi = top; hi < len(kept)-1 && kept[hi+1] >= (1-share)*b.Kept; hi++ {
		}
		return lo, hi
	}
	if lo, hi := near(Flat / 2); !b.AtEnd && hi-lo >= 3 {
		if at, v, ok := summit(size[lo:hi+1], kept[lo:hi+1]); ok && at >= size[lo] && at <= size[hi] {
			b.Size, b.Kept = at, v
		}
	}
	lo, hi := near(Flat)
	cross := func(i, k int) float64 { // where the curve comes to 99 % between two points
		if k < 0 || k >= len(size) {
			return size[i]
		}
		f := (kept[i] - (1-Flat)*b.Kept) / (kept[i] - kept[k])
		return size[i] + math.Max(0, math.Min(1, f))*(size[k]-size[i])
	}
	b.From, b.To = cross(lo, lo-1), cross(hi, hi+1)
	return b
}

// summit fits a parabola by least squares and returns its top.
func summit(x, y []float64) (at, top float64, ok bool) {
	n := float64(len(x))
	mid, scale := 0.5*(x[0]+x[len(x)-1]), 0.5*(x[len(x)-1]-x[0])
	var s2, s4, sy, sxy, sx2y float64 // sums over even points: odd powers vanish
	for i := range x {
		u := (x[i] - mid) / scale
		s2 += u * u
		s4 += u * u * u * u
		sy += y[i]
		sxy += u * y[i]
		sx2y += u * u * y[i]
	}
	d := n*s4 - s2*s2
	if d == 0 || s2 == 0 {
		return 0, 0, false
	}
	a, b, c := (n*sx2y-s2*sy)/d, sxy/s2, (s4*sy-s2*sx2y)/d
	if !(a < 0) {
		return 0, 0, false
	}
	u := -b / (2 * a)
	return mid + scale*u, c + u*(b+a*u), true
}

// read draws straight lines between points, keeps the last value beyond them, and goes to nothing with x before the first.
func read(x, y []float64, at float64) float64 {
	if at < x[0] {
		return y[0] * math.Max(0, at/math.Max(x[0], 1e-12))
	}
	return history.Straight(x, y, at)
}
