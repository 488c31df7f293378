package account

import "emberbank/dish"

// LightSchema is the first entry of light.json.
const LightSchema = "emberbank/light-result/1"

// LightJSON is light.json, in SI; shares are of 1. Errors are standard errors of the casting, half-widths those of the inputs at
// 95 %.
type LightJSON struct {
	Schema    string           `json:"schema"`
	Name      string           `json:"name"`
	Verdict   string           `json:"verdict"`
	Caution   string           `json:"caution"`
	Beam      float64          `json:"beam_W_m2"`
	Window    lightWindowJSON  `json:"window"`
	Power     amountJSON       `json:"power_W"`
	Reflected amountJSON       `json:"reflected_W"`
	Intercept amountJSON       `json:"intercept"`
	Mean      amountJSON       `json:"mean_flux_W_m2"`
	Peak      amountJSON       `json:"peak_flux_W_m2"`
	PeakAt    [2]float64       `json:"peak_at_m"`
	Spot      [2]float64       `json:"spot_centre_m"`
	Aperture  float64          `json:"aperture_m2"`
	Gaps      float64          `json:"gaps_m2"`
	RimAngle  float64          `json:"rim_angle_rad"`
	Ends      []lightEndJSON   `json:"ends"`
	Curves    []lightCurve     `json:"curves"`
	Angles    []float64        `json:"window_angle_shares"` // in equal bins from 0 to 90 degrees of incidence
	Map       lightMapJSON     `json:"map"`
	Uncertain []lightPartJSON  `json:"uncertain"`
	Rays      int64            `json:"rays"`
	Notes     []string         `json:"notes"`
	Right     *rightWindowJSON `json:"right_window,omitempty"`
}

type amountJSON struct {
	Value float64  `json:"value"`
	Error float64  `json:"standard_error"`
	Half  *float64 `json:"half_width_95_inputs"`
}

type lightWindowJSON struct {
	Distance float64    `json:"distance_m"`
	Round    bool       `json:"round"`
	Width    float64    `json:"width_m"`
	Height   float64    `json:"height_m"`
	Centre   [2]float64 `json:"centre_m"`
}

type lightEndJSON struct {
	Name  string  `json:"name"`
	Area  float64 `json:"area_m2"`
	Error float64 `json:"standard_error_m2"`
	Rays  int64   `json:"rays"`
}

type lightCurve struct {
	Shape     string    `json:"shape"`
	Size      []float64 `json:"size_m"`
	Area      []float64 `json:"area_m2"`
	Intercept []float64 `json:"intercept"`
	Error     []float64 `json:"standard_error"`
	Half      []float64 `json:"half_width_95_inputs"`
}

type lightMapJSON struct {
	Width  []float64 `json:"width_m"`
	Height []float64 `json:"height_m"`
	Suns   []float64 `json:"concentration"` // width running fastest
	Error  []float64 `json:"standard_error"`
	Power  float64   `json:"plane_m2"`
}

type lightPartJSON struct {
	Path  string  `json:"path"`
	Power float64 `json:"power_W"`
	Share float64 `json:"share"`
}

// LightDocument is what light.json holds.
func LightDocument(l *Light) LightJSON {
	r, w := l.Result, &l.Dish.Window
	d := LightJSON{
		Schema: LightSchema, Name: l.Name, Verdict: l.Sentence(), Caution: LightCaution, Beam: l.Beam,
		Window: lightWindowJSON{w.Distance, w.Round, w.Width, w.Height, w.Centre}, PeakAt: r.PeakAt, Spot: r.Centre, Aperture: r.Whole, Gaps: r.Gaps,
		RimAngle: r.RimAngle, Angles: r.WindowAngles, Map: lightMapJSON{r.Map.Width, r.Map.Height, r.Map.Flux, r.Map.Error, r.Map.Power},
		Uncertain: []lightPartJSON{}, Rays: r.Rays, Notes: append([]string{}, l.Notes...),
	}
	amount := func(a dish.Amount, factor float64, half func(c *dish.Carried) float64) amountJSON {
		out := amountJSON{Value: factor * a.Value, Error: factor * a.Error}
		if l.Carried != nil {
			h := factor * half(l.Carried)
			out.Half = &h
		}
		return out
	}
	d.Power = amount(r.Window, l.Beam, func(c *dish.Carried) float64 { return c.Window })
	d.Reflected = amount(r.Reflected, l.Beam, func(c *dish.Carried) float64 { return c.Reflected })
	d.Intercept = amount(r.Intercept, 1, func(c *dish.Carried) float64 { return c.Intercept })
	d.Mean = amount(r.Mean, l.Beam, func(c *dish.Carried) float64 { return c.Mean })
	d.Peak = amount(r.Peak, l.Beam, func(c *dish.Carried) float64 { return c.Peak })
	for _, e := range r.Ends {
		d.Ends = append(d.Ends, lightEndJSON{e.End.Name(), e.Power.Value, e.Power.Error, e.Rays})
	}
	curve := func(shape string, c *dish.Curve, half func(c *dish.Carried) []float64) {
		out := lightCurve{Shape: shape, Size: c.Size, Area: c.Area}
		for _, x := range c.Intercept {
			out.Intercept, out.Error = append(out.Intercept, x.Value), append(out.Error, x.Error)
		}
		if l.Carried != nil {
			out.Half = half(l.Carried)
		}
		d.Curves = append(d.Curves, out)
	}
	curve(l.scaledName(), &r.Scaled, func(c *dish.Carried) []float64 { return c.Scaled })
	curve("round", &r.Round, func(c *dish.Carried) []float64 { return c.Round })
	if l.Carried != nil {
		for _, p := range l.Carried.Parts {
			d.Uncertain = append(d.Uncertain, lightPartJSON{p.Name, l.Beam * p.Window, p.Share})
		}
	}
	if l.Right != nil {
		d.Right = l.Right.document()
	}
	return d
}
