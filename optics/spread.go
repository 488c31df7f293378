// Package optics puts light on the window: it shares a flux map out over the faces of cells so that the total is
// kept on any grid. A map's shape is fixed over a run; its strength varies, so shares are found once.
//
// It also says what pane and face take of the light by the angle at which it falls (Uptake). Left out: where the light
// comes from (sun, dish, lamp), and what a pane does by what it is made of (package glass). A map's values only count
// relative to one another. All lengths are in m.
package optics

import (
	"fmt"
	"math"

	"emberbank/block"
	"emberbank/duty"
)

// Rect is a rectangle in the window's plane: width first, then height, in m.
type Rect struct{ Min, Max [2]float64 }

// Face returns the rectangle of cell column (j, k) of a grid: its extent in width and height.
func Face(g *block.Grid, j, k int) Rect {
	w, h := g.Lines[block.Width], g.Lines[block.Height]
	return Rect{[2]float64{w[j], h[k]}, [2]float64{w[j+1], h[k+1]}}
}

// Shares divides the light on an opening over faces in its plane. Each share is the integral of the map over the
// part of the face inside the opening, as a fraction of the sum over all faces: the shares sum to 1 whatever the
// grid. meanOverPeak is the map's mean over the opening divided by its peak (the largest value of the map
// anywhere in its plane: for a Gaussian that at its centre, even where that lies outside the opening), so that a
// stated peak flux times meanOverPeak times the opening's area is the total power.
//
// A map or an opening that Check refuses gives no light: shares of 0 and a mean of 0.
func Shares(m duty.Map, opening block.Box, faces []Rect) (shares []float64, meanOverPeak float64) {
	shares = make([]float64, len(faces))
	o := plane(opening)
	s, err := shapeOf(m, o)
	if err != nil || !(o.area() > 0) {
		return shares, 0
	}
	sum := 0.0
	for n, f := range faces {
		if c, ok := f.clip(o); ok {
			shares[n] = s.integral(c)
			sum += shares[n]
		}
	}
	if sum > 0 {
		for n := range shares {
			shares[n] /= sum
		}
	}
	return shares, s.integral(o) / o.area()
}

// Check returns an error where an opening has no area, a map is not a map, or it leaves no light on the opening.
func Check(m duty.Map, opening block.Box) error {
	o := plane(opening)
	if a := o.area(); !(a > 0) || math.IsInf(a, 0) {
		return fmt.Errorf("the window's opening, %g m by %g m, has no area", o.Max[0]-o.Min[0], o.Max[1]-o.Min[1])
	}
	s, err := shapeOf(m, o)
	if err != nil {
		return err
	}
	if !(s.integral(o) > 0) {
		return fmt.Errorf("the flux map leaves no light on the window's opening")
	}
	return nil
}

// Spread returns the power on each face, in W, of a given total in W.
func Spread(m duty.Map, opening block.Box, faces []Rect, total float64) []float64 {
	shares, _ := Shares(m, opening, faces)
	for n := range shares {
		shares[n] *= total
	}
	return shares
}

// PowerAtPeak returns the total power on an opening, in W, of a map with the given peak flux in W/m².
func PowerAtPeak(m duty.Map, opening block.Box, peak float64) float64 {
	_, mean := Shares(m, opening, nil)
	return peak * mean * plane(opening).area()
}

// plane is the width and height of a box.
func plane(b block.Box) Rect {
	return Rect{
		[2]float64{b.Min[block.Width], b.Min[block.Height]},
		[2]float64{b.Max[block.Width], b.Max[block.Height]},
	}
}

func (r Rect) area() float64 { return (r.Max[0] - r.Min[0]) * (r.Max[1] - r.Min[1]) }

// clip returns the part of r inside o, and whether there is any.
func (r Rect) clip(o Rect) (Rect, bool) {
	for a := range r.Min {
		r.Min[a], r.Max[a] = math.Max(r.Min[a], o.Min[a]), math.Min(r.Max[a], o.Max[a])
		if !(r.Max[a] > r.Min[a]) {
			return r, false
		}
	}
	return r, true
}
