package account

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"emberbank/dish"
	"emberbank/figure"
)

// Light is what is told of a dish and its window.
type Light struct {
	Name    string
	Dish    *dish.Dish
	Result  *dish.Result
	Carried *dish.Carried  // nil: no input is uncertain
	Beam    float64        // W/m²
	Wanted  float64        // 1, standard error of the power at which refining was to end; 0: a number of rays was asked for
	Notes   []string       // what is doubted
	Right   *RightWindow   // nil: not asked
	Given   []figure.Given // the window's lengths, where they are written, about the dish's axis
	Coarse  bool           // cast with few rays, so that an answer is there soon
	Axis    [2]float64     // m, where the dish's axis meets the window's plane, in the receiver's width and height; 0: no receiver is known
}

// WriteLight puts all files of a cast into the sink: the flux map as a duty reads it, the intercept over the window's size, both
// as pictures, the report as text, and light.json last.
func WriteLight(sink Sink, l *Light) error {
	docs := []document{{"flux.csv", func(w io.Writer) error { return fluxTable(newTable(w), l) }}}
	docs = append(docs, inBoth("flux-points", func(t *table) error { return fluxPoints(t, l) })...)
	docs = append(docs, inBoth("intercept", func(t *table) error { return interceptTable(t, l) })...)
	if l.Right != nil {
		docs = append(docs, inBoth("window", l.Right.table)...)
		docs = append(docs, picture("window.svg", func() []byte { return l.KeptPicture(false, figure.Place{}) }))
	}
	docs = append(docs, []document{
		picture("flux.svg", func() []byte { return l.FluxPicture(figure.Place{}) }),
		picture("intercept.svg", func() []byte { return l.CatchPicture(figure.Place{}) }),
		picture("beam.svg", func() []byte { return l.BeamPicture(figure.Place{}) }),
		{"report.txt", func(w io.Writer) error { return LightText(w, l) }},
		{"light.json", func(w io.Writer) error {
			e := json.NewEncoder(w)
			e.SetEscapeHTML(false)
			e.SetIndent("", " ")
			return e.Encode(LightDocument(l))
		}},
	}...)
	for i := range docs {
		if err := docs[i].into(sink); err != nil {
			return err
		}
	}
	return nil
}

// fluxTable is the map at the stated beam, in the form that a duty's map takes: in the receiver's coordinates where it is known,
// else about the dish's axis.
func fluxTable(t *table, l *Light) error {
	m := &l.Result.Map
	t.text("height [mm]")
	for i := range m.Width {
		t.number(l.fluxWidth(i))
	}
	t.end()
	for j := range m.Height {
		t.number(l.fluxHeight(j))
		for i := range m.Width {
			t.number(l.flux(i, j))
		}
		t.end()
	}
	return t.flush()
}

// fluxPoints is the same map as a table like all others: a row for each of its points.
func fluxPoints(t *table, l *Light) error {
	for _, h := range []string{"width [mm]", "height [mm]", "flux [W/m2]"} {
		t.text(h)
	}
	t.end()
	for j := range l.Result.Map.Height {
		for i := range l.Result.Map.Width {
			t.number(l.fluxWidth(i))
			t.number(l.fluxHeight(j))
			t.number(l.flux(i, j))
			t.end()
		}
	}
	return t.flush()
}

// fluxWidth and fluxHeight are where the map's points stand, in mm; flux is what falls there, in W/m².
func (l *Light) fluxWidth(i int) float64  { return 1000 * (l.Result.Map.Width[i] + l.Axis[0]) }
func (l *Light) fluxHeight(j int) float64 { return 1000 * (l.Result.Map.Height[j] + l.Axis[1]) }
func (l *Light) flux(i, j int) float64 {
	return l.Beam * l.Result.Map.Flux[i+j*len(l.Result.Map.Width)]
}

func interceptTable(t *table, l *Light) error {
	heads := []string{"shape", "size [mm]", "area [m2]", "intercept [1]", "standard error of casting [1]", "half-width 95 % of inputs [1]", "power [W]", "mean flux [W/m2]"}
	for _, h := range heads {
		t.text(h)
	}
	t.end()
	r := l.Result
	for _, one := range []struct {
		shape string
		c     *dish.Curve
		half  func(c *dish.Carried) []float64
	}{
		{l.scaledName(), &r.Scaled, func(c *dish.Carried) []float64 { return c.Scaled }},
		{"round", &r.Round, func(c *dish.Carried) []float64 { return c.Round }},
	} {
		for k, size := range one.c.Size {
			t.text(one.shape)
			t.number(1000 * size)
			t.number(one.c.Area[k])
			t.number(one.c.Intercept[k].Value)
			t.number(one.c.Intercept[k].Error)
			if l.Carried != nil {
				t.number(one.half(l.Carried)[k])
			} else {
				t.number(math.NaN())
			}
			power := l.Beam * r.Reflected.Value * one.c.Intercept[k].Value
			t.number(power)
			if one.c.Area[k] > 0 {
				t.number(power / one.c.Area[k])
			} else {
				t.number(math.NaN())
			}
			t.end()
		}
	}
	return t.flush()
}

// scaledName is the shape of the windows that are like the window.
func (l *Light) scaledName() string {
	if w := &l.Dish.Window; !w.Round && w.Width != w.Height {
		return fmt.Sprintf("%.3g to 1", w.Width/w.Height)
	}
	return "square"
}

// windowName says the window's size in words.
func (l *Light) windowName() string {
	w := &l.Dish.Window
	switch {
	case w.Round:
		return fmt.Sprintf("window of %.4g mm across", 1000*w.Width)
	case w.Width == w.Height:
		return fmt.Sprintf("window of %.4g mm", 1000*w.Width)
	}
	return fmt.Sprintf("window of %.4g by %.4g mm", 1000*w.Width, 1000*w.Height)
}

// half is the half-width at 95 % of an amount: of the casting, and of inputs where they were carried.
func (l *Light) half(a dish.Amount, inputs func(c *dish.Carried) float64) float64 {
	h := 1.96 * a.Error
	if l.Carried != nil {
		h = math.Hypot(h, inputs(l.Carried))
	}
	return h
}

// LightNumber is one of the main numbers of a cast, in SI, with its half-width at 95 %; 0: nothing is known of that.
type LightNumber struct {
	Name        string
	Value, Half float64
	Unit        string
	Where       string // what stands behind it
}

// Numbers are what a cast comes to at the stated beam.
func (l *Light) Numbers() []LightNumber {
	r, b := l.Result, l.Beam
	return []LightNumber{
		{"power in the window", b * r.Window.Value, b * l.half(r.Window, func(c *dish.Carried) float64 { return c.Window }), "W", ""},
		{"intercept factor", r.Intercept.Value, l.half(r.Intercept, func(c *dish.Carried) float64 { return c.Intercept }), "1", ""},
		{"mean flux on the window", b * r.Mean.Value, b * l.half(r.Mean, func(c *dish.Carried) float64 { return c.Mean }), "W/m2", ""},
		l.peak(),
	}
}

func (l *Light) peak() LightNumber {
	r := l.Result
	return LightNumber{
		"peak flux", l.Beam * r.Peak.Value, l.Beam * l.half(r.Peak, func(c *dish.Carried) float64 { return c.Peak }), "W/m2",
		fmt.Sprintf(", at %.0f, %.0f mm", math.Round(1000*r.PeakAt[0])+0, math.Round(1000*r.PeakAt[1])+0), // + 0: no minus before a zero
	}
}

func (n *LightNumber) text() string {
	if n.Unit == "1" {
		return percent(n.Value, n.Half) + n.Where
	}
	return kilo(n.Value, n.Half, "k"+n.Unit) + n.Where
}

// kilo prints W/m² or W as thousands with their half-width, to the digits that it leaves.
func kilo(x, half float64, unit string) string {
	x, half = x/1000, half/1000
	if half > 0 {
		return fmt.Sprintf("%s ± %s %s", rounded(x, half), twoDigits(half), unit)
	}
	return fmt.Sprintf("%.4g %s", x, unit)
}

// Sentence says in one sentence what a cast comes to.
func (l *Light) Sentence() string {
	r := l.Result
	return fmt.Sprintf("The %s catches %.0f %% of what the dish throws back: %.3g kW of %.3g kW at %.4g W/m², peak %.0f kW/m².",
		l.windowName(), 100*r.Intercept.Value, l.Beam*r.Window.Value/1000, l.Beam*r.Reflected.Value/1000, l.Beam, l.Beam*r.Peak.Value/1000)
}

// LightCaution stands wherever the flux is shown.
const LightCaution = "Concentrated light burns and blinds, beside the window and where it falls while the dish turns. Nobody looks at the lit window or stands in the beam without eye protection made for it; a shut-off that needs no power turns the dish away. Local codes and licensed practice decide."

// LightText prints a cast for a terminal: what it comes to, where the beam goes, what the window's size does, what the inputs'
// uncertainty does, and the caution.
func LightText(w io.Writer, l *Light) error {
	r, p := l.Result, &page{}
	p.paragraph("", l.Name)
	p.line("")
	p.paragraph("", l.Sentence())
	p.line("")
	p.line("%s%s", left("At "+fmt.Sprintf("%.4g W/m2", l.Beam), 34), "with half-widths at 95 %")
	row := func(name, value string) { p.line("  %s%s", left(name, 32), value) }
	for _, n := range l.Numbers() {
		row(n.Name, n.text())
	}
	row("concentration, mean and peak", fmt.Sprintf("%.3g and %.3g", r.Mean.Value, r.Peak.Value))
	l.whereItGoes(p)
	l.sizes(p)
	l.unsure(p)
	if l.Right != nil {
		l.Right.text(p)
	}
	if len(l.Notes) > 0 {
		p.line("")
		p.line("To be read with care")
		for _, n := range l.Notes {
			p.paragraph("  - ", n+".")
		}
	}
	p.line("")
	p.paragraph("CAUTION ", LightCaution)
	p.line("")
	p.paragraph("", l.Statistics())
	_, err := io.WriteString(w, p.b.String())
	return err
}

// percent prints a share with its half-width, in per cent.
func percent(x, half float64) string {
	if half > 0 {
		return fmt.Sprintf("%s ± %s %%", rounded(100*x, 100*half), twoDigits(100*half))
	}
	return fmt.Sprintf("%.4g %%", 100*x)
}

// LightPart is where a part of the beam on the dish's aperture ends.
type LightPart struct {
	Name  string
	Power float64 // W
	Share float64 // of the beam
	Rays  int64   // 0: none was counted
}

// Parts are where the beam goes.
func (l *Light) Parts() []LightPart {
	r := l.Result
	one := func(name string, area float64, rays int64) LightPart {
		return LightPart{name, l.Beam * area, area / r.Whole, rays}
	}
	out := []LightPart{one("gaps and missing mirrors", r.Gaps, 0)}
	for _, e := range r.Ends {
		out = append(out, one(e.End.Name(), e.Power.Value, e.Rays))
	}
	return out
}

// whereItGoes prints where the beam on the dish's aperture ends.
func (l *Light) whereItGoes(p *page) {
	r := l.Result
	p.line("")
	p.line("%s%s%s%s", left("Where the beam goes", 38), right("kW", 9), right("of the beam", 13), right("rays", 13))
	for _, part := range append(l.Parts(), LightPart{"all of the dish's aperture", l.Beam * r.Whole, 1, r.Rays}) {
		count := ""
		if part.Rays > 0 {
			count = fmt.Sprint(part.Rays)
		}
		p.line("  %s%s%s%s", left(part.Name, 36), right(fmt.Sprintf("%.3f", part.Power/1000), 9), right(fmt.Sprintf("%.2f %%", 100*part.Share), 13), right(count, 13))
	}
}

// sizes prints some windows of other sizes.
func (l *Light) sizes(p *page) {
	r, w := l.Result, &l.Dish.Window
	shape, c, halves := l.scaledName(), &r.Scaled, []float64(nil)
	if w.Round {
		shape, c = "round", &r.Round
	}
	if l.Carried != nil {
		if halves = l.Carried.Scaled; w.Round {
			halves = l.Carried.Round
		}
	}
	p.line("")
	p.line("%s%s%s%s", left("Other sizes, "+shape, 22), right("caught", 18), right("kW", 9), right("mean kW/m2", 13))
	for _, f := range []float64{0.4, 0.6, 0.8, 1, 1.25, 1.5, 2} {
		size := f * w.Width
		if size > c.Size[len(c.Size)-1]*(1+1e-9) {
			continue
		}
		share, half := c.At(size), 0.0
		k := min(len(c.Size)-1, int(math.Round(size/c.Size[1])))
		half = 1.96 * c.Intercept[k].Error
		if halves != nil {
			half = math.Hypot(half, halves[k])
		}
		power := l.Beam * r.Reflected.Value * share
		area := size * size * w.Height / w.Width
		if w.Round {
			area *= math.Pi / 4
		}
		mark := ""
		if f == 1 {
			mark = "  this one"
		}
		p.line("  %s%s%s%s%s", left(fmt.Sprintf("%.4g mm", 1000*size), 20), right(percent(share, half), 18), right(fmt.Sprintf("%.3f", power/1000), 9), right(fmt.Sprintf("%.1f", power/area/1000), 13), mark)
	}
}

// unsure prints what the inputs' uncertainty does to the power in the window.
func (l *Light) unsure(p *page) {
	if l.Carried == nil || len(l.Carried.Parts) == 0 {
		return
	}
	p.line("")
	p.line("%s%s%s", left("Uncertain", 44), right("power [kW]", 12), right("share", 9))
	for _, q := range l.Carried.Parts {
		p.line("  %s%s%s", left(q.Name, 42), right(fmt.Sprintf("%+.3f", l.Beam*q.Window/1000), 12), right(fmt.Sprintf("%.0f %%", 100*q.Share), 9))
	}
	p.paragraph("  ", "What the power in the window does when the input rises by its half-width at 95 %, and that input's share of the variance.")
}

// Statistics says how many rays were cast, and what they leave open.
func (l *Light) Statistics() string {
	r := l.Result
	s := fmt.Sprintf("%d rays leave a standard error of %.2g %% of the power in the window and of %.2g %% of the flux at its peak.",
		r.Rays, 100*r.Window.Error/r.Window.Value, 100*r.Peak.Error/math.Max(r.Peak.Value, 1e-300))
	if l.Wanted > 0 && r.Window.Error > l.Wanted*r.Window.Value {
		s += fmt.Sprintf(" The wanted %.2g %% was not reached.", 100*l.Wanted)
	}
	return s
}
