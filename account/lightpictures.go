package account

import (
	"fmt"
	"math"
	"strings"

	"emberbank/aperture"
	"emberbank/block"
	"emberbank/figure"
)

// FluxPicture draws the light on the window's plane.
func (l *Light) FluxPicture(at figure.Place) []byte {
	r, w := l.Result, &l.Dish.Window
	peak := l.peak()
	s := figure.Spot{
		Width: r.Map.Width, Height: r.Map.Height, Flux: make([]float64, len(r.Map.Flux)), Round: w.Round, Peak: r.PeakAt, Given: l.lengths(), Coarse: l.Coarse,
		Window:     [4]float64{w.Centre[0] - w.Width/2, w.Centre[0] + w.Width/2, w.Centre[1] - w.Height/2, w.Centre[1] + w.Height/2},
		PeakSays:   []string{"peak " + kilo(peak.Value, peak.Half, "kW/m²"), "burns and blinds"},
		WindowSays: l.windowName(),
	}
	for n, f := range r.Map.Flux {
		s.Flux[n] = l.Beam * f / 1000
	}
	return figure.Flux(l.Name+": the light in the window's plane", []string{l.Sentence(), "Concentrated light burns and blinds."}, s, at)
}

// lengths are the window's, those that are written somewhere with where.
func (l *Light) lengths() []figure.Given {
	w := &l.Dish.Window
	all := []figure.Given{{What: "width of the window", Axis: block.Width, From: w.Centre[0] - w.Width/2, To: w.Centre[0] + w.Width/2}}
	if !w.Round {
		all = append(all, figure.Given{What: "height of the window", Axis: block.Height, From: w.Centre[1] - w.Height/2, To: w.Centre[1] + w.Height/2})
	}
	for i := range all {
		for _, g := range l.Given {
			if g.Axis == all[i].Axis {
				all[i] = g
			}
		}
	}
	return all
}

// CatchPicture draws what windows of other sizes catch.
func (l *Light) CatchPicture(at figure.Place) []byte {
	r, w := l.Result, &l.Dish.Window
	c, other := &r.Scaled, &r.Round
	k := figure.Catch{
		Name: l.scaledName() + " windows by their width", OtherName: "round windows", At: 1000 * w.Width, Coarse: l.Coarse,
		AtSays: fmt.Sprintf("%s: %.0f %%", l.windowName(), 100*r.Intercept.Value),
	}
	if w.Round {
		c, other, k.Name, k.OtherName = &r.Round, &r.Scaled, "round windows by their diameter", "square windows"
	}
	for i, size := range c.Size {
		x := c.Intercept[i]
		k.Size, k.Share = append(k.Size, 1000*size), append(k.Share, x.Value)
		at := math.NaN()
		if size <= other.Size[len(other.Size)-1] {
			at = other.At(size)
		}
		k.Other = append(k.Other, at)
		if l.Carried != nil {
			half := l.Carried.Scaled
			if w.Round {
				half = l.Carried.Round
			}
			h := math.Hypot(1.96*x.Error, half[i])
			k.Low, k.High = append(k.Low, math.Max(0, x.Value-h)), append(k.High, math.Min(1, x.Value+h))
		}
	}
	return figure.Intercept(l.Name+": what a window catches", []string{l.Sentence()}, k, at)
}

// BeamPicture draws where the beam goes.
func (l *Light) BeamPicture(at figure.Place) []byte {
	var to []figure.Went
	for _, p := range l.Parts() {
		to = append(to, figure.Went{Name: p.Name, Power: p.Power})
	}
	return figure.Beam(l.Name+": where the beam goes", "the dish's aperture", to, at)
}

// KeptPicture draws what windows keep over their size, at the stated beam or over the day; nil where that is not asked.
func (l *Light) KeptPicture(day bool, at figure.Place) []byte {
	if l.Right == nil {
		return nil
	}
	w := l.Right
	k := figure.Keeping{Unit: "kW", Name: w.Shape + " windows by their width", At: 1000 * w.Size, AtSays: fmt.Sprintf("now %.4g mm", 1000*w.Size), Coarse: l.Coarse}
	per := 1000.0
	if day {
		k.Unit, per = "kWh", 3.6e6
	}
	if w.Shape == "round" {
		k.Name = "round windows by their diameter"
	}
	w.each(func(name string, c *aperture.Curve, ofDay bool) {
		if ofDay == day {
			k.Lines = append(k.Lines, keptLine(strings.TrimSuffix(name, ", open"), c, per, len(k.Lines) == 0))
		}
		if ofDay == day && len(k.Lines) == 1 {
			w.bestOf(&k, c, per)
		}
	})
	if len(k.Lines) == 0 {
		return nil
	}
	says := []string{w.Sentence()}
	if k.Lines[0].Low != nil {
		says = append(says, "Tint: 95\u2009% from what is not known of the light.")
	}
	return figure.Keeps(l.Name+": what a window keeps", says, k, at)
}

// keptLine is one way of making the window, in a unit of so many W or J; of the first it is told too what it takes in and loses.
func keptLine(name string, c *aperture.Curve, per float64, first bool) figure.Kept {
	l := figure.Kept{Name: name}
	for i, size := range c.Size {
		l.Size, l.Keeps = append(l.Size, 1000*size), append(l.Keeps, c.Kept[i]/per)
		if !first {
			continue
		}
		l.Taken, l.Lost = append(l.Taken, c.Taken[i]/per), append(l.Lost, c.Lost[i]/per)
		if c.Half != nil {
			l.Low, l.High = append(l.Low, (c.Kept[i]-c.Half[i])/per), append(l.High, (c.Kept[i]+c.Half[i])/per)
		}
	}
	return l
}

// bestOf says which window is best, and how flat that is.
func (w *RightWindow) bestOf(k *figure.Keeping, c *aperture.Curve, per float64) {
	b := &c.Best
	if !(b.Kept > 0) {
		k.BestSays, k.FlatSays = "no window keeps heat", "each loses more than it takes in"
		return
	}
	k.Best, k.From, k.To = 1000*b.Size, 1000*b.From, 1000*b.To
	k.BestSays = fmt.Sprintf("best: %s, %.3g %s", sizeText(b), b.Kept/per, k.Unit)
	k.FlatSays = fmt.Sprintf("%.0f to %.0f mm: less than 1 %% less", k.From, k.To)
}
