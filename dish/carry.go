package dish

import (
	"context"
	"fmt"
	"math"
)

// Side is what of a dish is not known exactly, with the dish as it is at both ends of that: at 95 %, below and above.
type Side struct {
	Name         string
	Below, Above *Dish // nil: not allowed there
}

// Carried is what uncertain inputs make of a cast: half-widths at 95 %, those of the casting left out.
type Carried struct {
	Window, Reflected, Intercept, Peak, Mean float64   // as in Result
	Round, Scaled                            []float64 // of the curves' intercepts
	Parts                                    []Part
}

// Part is one input's part.
type Part struct {
	Name         string
	Below, Above *Result // nil: not cast
	Window       float64 // m², change of the power in the window when the input rises by its half-width
	Share        float64 // of the variance of the power in the window
}

// mostCarried is how many rays carry an uncertainty.
const mostCarried = 500_000

// Carry casts a dish with each uncertain input at both of its ends and adds the effects as squares:
//
//	u_i(y) = (y+ − y−)/2,   U(y)² = Σ u_i²
//
// All casts send the same rays, from the same seed, so that what chance does to one it does to all and falls out of the
// differences: no more of them than a million, with the dish as it stands cast anew where that had more. An end that is not
// allowed is left out, and the other counts alone. Inputs are taken as independent.
//
// Source: JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 5.1.2 eq. 10 with 5.1.3 note 2.
func Carry(ctx context.Context, d *Dish, base *Result, sides []Side, opt Options) (*Carried, error) {
	opt.Bins, opt.Half = max(len(base.Map.Width), len(base.Map.Height)), base.half
	progress := opt.Progress
	opt.Progress = nil
	if opt.Rays = base.Rays; opt.Rays > mostCarried {
		opt.Rays = mostCarried
		var err error
		if base, err = Cast(ctx, d, opt); err != nil {
			return nil, fmt.Errorf("carrying uncertainty: %w", err)
		}
	}
	out := &Carried{Round: make([]float64, len(base.Round.Size)), Scaled: make([]float64, len(base.Scaled.Size))}
	for i, s := range sides {
		p := Part{Name: s.Name}
		for _, end := range []struct {
			d    *Dish
			into **Result
		}{{s.Below, &p.Below}, {s.Above, &p.Above}} {
			if end.d == nil {
				continue
			}
			r, err := Cast(ctx, end.d, opt)
			if err != nil {
				return nil, fmt.Errorf("carrying the uncertainty of %s: %w", s.Name, err)
			}
			*end.into = r
		}
		if progress != nil {
			progress(int64(i+1), math.NaN())
		}
		out.add(base, &p)
	}
	out.root()
	return out, nil
}

// change is what an input at its ends does to a number of the result.
func (p *Part) change(base *Result, of func(r *Result) float64) float64 {
	switch {
	case p.Below == nil && p.Above == nil:
		return 0
	case p.Below == nil:
		return of(p.Above) - of(base)
	case p.Above == nil:
		return of(base) - of(p.Below)
	}
	return (of(p.Above) - of(p.Below)) / 2
}

func (c *Carried) add(base *Result, p *Part) {
	p.Window = p.change(base, func(r *Result) float64 { return r.Window.Value })
	for _, one := range []struct {
		sum *float64
		of  func(r *Result) float64
	}{
		{&c.Window, func(r *Result) float64 { return r.Window.Value }},
		{&c.Reflected, func(r *Result) float64 { return r.Reflected.Value }},
		{&c.Intercept, func(r *Result) float64 { return r.Intercept.Value }},
		{&c.Peak, func(r *Result) float64 { return r.Peak.Value }},
		{&c.Mean, func(r *Result) float64 { return r.Mean.Value }},
	} {
		x := p.change(base, one.of)
		*one.sum += x * x
	}
	for k, size := range base.Round.Size {
		x := p.change(base, func(r *Result) float64 { return r.Round.At(size) })
		c.Round[k] += x * x
	}
	for k, size := range base.Scaled.Size {
		x := p.change(base, func(r *Result) float64 { return r.Scaled.At(size) })
		c.Scaled[k] += x * x
	}
	c.Parts = append(c.Parts, *p)
}

func (c *Carried) root() {
	for i := range c.Parts {
		if c.Window > 0 {
			c.Parts[i].Share = c.Parts[i].Window * c.Parts[i].Window / c.Window
		}
	}
	for _, x := range []*float64{&c.Window, &c.Reflected, &c.Intercept, &c.Peak, &c.Mean} {
		*x = math.Sqrt(*x)
	}
	for _, list := range [][]float64{c.Round, c.Scaled} {
		for k := range list {
			list[k] = math.Sqrt(list[k])
		}
	}
}

// At returns the intercept of a window of some size, m, straight between the curve's points.
func (c *Curve) At(size float64) float64 {
	for i := 1; i < len(c.Size); i++ {
		if size <= c.Size[i] {
			f := (size - c.Size[i-1]) / (c.Size[i] - c.Size[i-1])
			return c.Intercept[i-1].Value + f*(c.Intercept[i].Value-c.Intercept[i-1].Value)
		}
	}
	return c.Intercept[len(c.Size)-1].Value
}
