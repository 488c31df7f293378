package account

import (
	"fmt"
	"math"

	"emberbank/aperture"
	"emberbank/history"
)

// RightWindow is which window keeps the most.
type RightWindow struct {
	Shape  string  // such as "square"
	Size   float64 // m, of the window as it is
	Answer *aperture.Answer
}

// kilowatts says a heat flow.
func kilowatts(x float64) string { return fmt.Sprintf("%.3g kW", x/1000) }

// Sentence says which size is right, and how flat that is.
func (w *RightWindow) Sentence() string {
	a := w.Answer
	b := &a.Variants[0].Now.Best
	if !(b.Kept > 0) {
		return fmt.Sprintf("No window keeps heat at %.0f °C and %.4g W/m2: each loses more than it takes in.", a.Face-273.15, a.Beam)
	}
	s := fmt.Sprintf("A window of %.0f mm keeps the most: %s at %.0f °C; from %.0f to %.0f mm it loses less than 1 %%.",
		1000*b.Size, kilowatts(b.Kept), a.Face-273.15, 1000*b.From, 1000*b.To)
	if b.AtEnd {
		s += " It is the largest that the block's face holds or that was looked at: a larger one might keep more."
	}
	return s
}

// RightRow is the best window of one way to make and to use it.
type RightRow struct {
	Name string // such as "with glass, open"
	Day  bool   // J over the day; else W
	aperture.Best
	Less float64 // 1, how much less than the best the window as it is keeps; not a number where it is larger than what was looked at
}

// Rows are the best windows: first at the stated beam, then over the day.
func (w *RightWindow) Rows() []RightRow {
	var now, day []RightRow
	w.each(func(name string, c *aperture.Curve, ofDay bool) {
		r := RightRow{Name: name, Day: ofDay, Best: c.Best, Less: math.NaN()}
		if c.Best.Kept > 0 && w.Size <= c.Size[len(c.Size)-1]*(1+1e-9) {
			r.Less = 1 - history.Straight(c.Size, c.Kept, w.Size)/c.Best.Kept
		}
		if ofDay {
			day = append(day, r)
		} else {
			now = append(now, r)
		}
	})
	return append(now, day...)
}

// sizeText is the best size in mm with its half-width.
func sizeText(b *aperture.Best) string {
	if b.SizeHalf > 0 {
		return fmt.Sprintf("%.0f ± %.0f mm", 1000*b.Size, math.Ceil(1000*b.SizeHalf))
	}
	return fmt.Sprintf("%.0f mm", 1000*b.Size)
}

// line is a row of the report.
func (r *RightRow) line(p *page) {
	if !(r.Kept > 0) {
		p.line("  %s%s", left(r.Name, 26), "none keeps heat")
		return
	}
	amount, half, unit := r.Kept/1000, r.KeptHalf/1000, "kW"
	if r.Day {
		amount, half, unit = r.Kept/3.6e6, r.KeptHalf/3.6e6, "kWh"
	}
	value := fmt.Sprintf("%.3g %s", amount, unit)
	if half > 0 {
		value = fmt.Sprintf("%s ± %s %s", rounded(amount, half), twoDigits(half), unit)
	}
	this := "-"
	if !math.IsNaN(r.Less) {
		this = fmt.Sprintf("%.1f %%", 100*r.Less)
	}
	p.line("  %s%s%s%s%s", left(r.Name, 24), right(sizeText(&r.Best), 13), right(fmt.Sprintf("%.0f to %.0f", 1000*r.From, 1000*r.To), 12), right(value, 19), right(this, 10))
}

// text prints the answer.
func (w *RightWindow) text(p *page) {
	a := w.Answer
	p.line("")
	p.paragraph("", w.Sentence())
	p.line("")
	p.line("%s%s%s%s%s", left(fmt.Sprintf("Right window, %s", w.Shape), 26), right("best", 13), right("1 % less", 12), right("keeps", 19), right("this one", 10))
	day := false
	for _, r := range w.Rows() {
		if r.Day && !day {
			day = true
			p.line("  over %.3g h", a.Lasts/3600)
		}
		r.line(p)
	}
	p.paragraph("  ", fmt.Sprintf("What it takes in less what it loses with the block's face at %.0f °C everywhere, at %.4g W/m2; \"1 %% less\" spans the sizes in mm that keep 99 %% of the best, \"this one\" is what the window of %.4g mm keeps less than that.", a.Face-273.15, a.Beam, 1000*w.Size))
	for i := range a.Variants {
		if a.Variants[i].Outside {
			p.paragraph("  ", a.Variants[i].Name+": some films were used outside the range of their correlations; they are good to a factor of two.")
		}
		if moved := a.Variants[i].Moved; moved > 0 {
			p.paragraph("  ", fmt.Sprintf("%s: a pane's temperature had not come to rest; the last round still moved it by %.2g K.", a.Variants[i].Name, moved))
		}
	}
}

// each gives every curve with what it is called.
func (w *RightWindow) each(do func(name string, c *aperture.Curve, day bool)) {
	for i := range w.Answer.Variants {
		v := &w.Answer.Variants[i]
		do(v.Name+", open", &v.Now, false)
		if v.Covered != nil {
			do(v.Name+" and cover", v.Covered, true)
			do(v.Name+", no cover", v.Open, true)
		}
	}
}

func (w *RightWindow) table(t *table) error {
	t.texts("window", "size [mm]", "taken in", "lost", "kept", "half-width 95 % of kept", "unit")
	t.end()
	w.each(func(name string, c *aperture.Curve, day bool) {
		unit := "W"
		if day {
			name, unit = name+", day", "J"
		}
		for i := range c.Size {
			half := math.NaN()
			if c.Half != nil {
				half = c.Half[i]
			}
			t.text(name)
			t.numbers(1000*c.Size[i], c.Taken[i], c.Lost[i], c.Kept[i], half)
			t.text(unit)
			t.end()
		}
	})
	return t.flush()
}

// rightWindowJSON is the answer in SI.
type rightWindowJSON struct {
	Verdict string             `json:"verdict"`
	Shape   string             `json:"shape"`
	Face    float64            `json:"face_degC"`
	Beam    float64            `json:"beam_W_m2"`
	Lasts   float64            `json:"day_s"`
	Curves  []rightWindowCurve `json:"curves"`
}

type rightWindowCurve struct {
	Name     string    `json:"name"`
	Unit     string    `json:"unit"` // of what is taken in, lost and kept: W or J
	Best     float64   `json:"best_m"`
	Kept     float64   `json:"best_kept"`
	From     float64   `json:"from_m"`
	To       float64   `json:"to_m"`
	AtEnd    bool      `json:"at_largest"`
	SizeHalf *float64  `json:"best_half_width_95_m"`
	KeptHalf *float64  `json:"best_kept_half_width_95"`
	Sizes    []float64 `json:"size_m"`
	Taken    []float64 `json:"taken"`
	Lost     []float64 `json:"lost"`
	Keeps    []float64 `json:"kept"`
	Half     []float64 `json:"kept_half_width_95"`
}

func (w *RightWindow) document() *rightWindowJSON {
	a := w.Answer
	out := &rightWindowJSON{Verdict: w.Sentence(), Shape: w.Shape, Face: a.Face - 273.15, Beam: a.Beam, Lasts: a.Lasts}
	w.each(func(name string, c *aperture.Curve, day bool) {
		one := rightWindowCurve{
			Name: name, Unit: "W", Best: c.Best.Size, Kept: c.Best.Kept, From: c.Best.From, To: c.Best.To, AtEnd: c.Best.AtEnd,
			Sizes: c.Size, Taken: c.Taken, Lost: c.Lost, Keeps: c.Kept, Half: c.Half,
		}
		if day {
			one.Name, one.Unit = name+", day", "J"
		}
		if c.Half != nil && c.Best.Kept > 0 {
			one.SizeHalf, one.KeptHalf = &c.Best.SizeHalf, &c.Best.KeptHalf
		}
		out.Curves = append(out.Curves, one)
	})
	return out
}
