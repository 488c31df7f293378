package dossier

import (
	"math"

	"emberbank/bench"
	"emberbank/hazard"
	"emberbank/heat"
)

// safeTouch is what a hand may touch, and how hot the surfaces are that were warned of.
type safeTouch struct {
	Limit    *float64      `json:"limit_degC,omitempty"` // of the runs, above which they warn
	Source   string        `json:"limit_source,omitempty"`
	Burns    []safeBurn    `json:"burns_from"`
	Surfaces []safeSurface `json:"surfaces_above_the_limit"`
}

// safeBurn is a threshold of burns.
type safeBurn struct {
	Surface string  `json:"surface"`
	Contact float64 `json:"contact_s"`
	Low     float64 `json:"from_degC"`
	High    float64 `json:"to_degC"`
}

// safeSurface is a surface above the limit of touch.
type safeSurface struct {
	Surface string  `json:"surface"`
	Run     string  `json:"run"`
	At      float64 `json:"first_above_s"`
	Hottest float64 `json:"hottest_degC"`
	Borne   float64 `json:"metal_is_borne_s"`
}

func touchOf(first *bench.Run, runs []counted) safeTouch {
	out := safeTouch{Burns: []safeBurn{}, Surfaces: []safeSurface{}}
	if l := first.Problem.TouchLimit; l > 0 {
		out.Limit, out.Source = maybe(l-iceZero), first.Problem.TouchSource
	}
	for _, t := range hazard.Touches() {
		out.Burns = append(out.Burns, safeBurn{t.Surface, t.Contact, t.Low - iceZero, t.High - iceZero})
	}
	for i := range runs {
	cautions:
		for _, w := range runs[i].cautions {
			if w.Kind != heat.KindTouch {
				continue
			}
			s := safeSurface{w.Place, runs[i].Name(), w.At, w.Value - iceZero, hazard.Bears(hazard.Metal, w.Value)}
			for k := range out.Surfaces {
				if o := &out.Surfaces[k]; o.Surface == s.Surface {
					if s.Hottest > o.Hottest {
						*o = s
					}
					continue cautions
				}
			}
			out.Surfaces = append(out.Surfaces, s)
		}
	}
	return out
}

// safeLight is the light on the window, and how far what it throws back and what misses reaches.
type safeLight struct {
	From     string   `json:"from"`
	Run      string   `json:"run"`
	At       float64  `json:"at_s"`
	Absorbed float64  `json:"absorbed_W"`
	Falling  *float64 `json:"falling_W,omitempty"`
	Thrown   *float64 `json:"thrown_back_W,omitempty"`
	Peak     *float64 `json:"peak_absorbed_W_per_m2,omitempty"`

	EyeLong   float64  `json:"eye_beyond_1000_s_W_per_m2"`
	EyeShort  float64  `json:"eye_10_s_W_per_m2"`
	SkinShort float64  `json:"skin_1_s_W_per_m2"`
	ClearLong *float64 `json:"dull_face_eye_beyond_1000_s_m,omitempty"`
	ClearEye  *float64 `json:"dull_face_eye_10_s_m,omitempty"`

	Dish     string   `json:"dish,omitempty"`
	Power    *float64 `json:"dish_power_W,omitempty"`
	DishPeak *float64 `json:"dish_peak_W_per_m2,omitempty"`
	Half     *float64 `json:"dish_rim_angle_rad,omitempty"`
	Misses   *float64 `json:"dish_misses_window_share,omitempty"`
	ConeEye  *float64 `json:"cone_mean_eye_10_s_m,omitempty"`
	ConeSkin *float64 `json:"cone_mean_skin_1_s_m,omitempty"`
}

// lightOf works out the light of the run in which most is absorbed; nil: no run has light.
func (g *Gathered) lightOf(first *bench.Run, runs []counted) *safeLight {
	var out *safeLight
	var of *counted
	for i := range runs {
		if q, at, ok := runs[i].peak("absorbed"); ok && q > 0 && (out == nil || q > out.Absorbed) {
			of = &runs[i]
			out = &safeLight{From: of.origin("absorbed"), Run: of.Name(), At: at, Absorbed: q, EyeLong: hazard.EyeLimit(math.Inf(1)), EyeShort: hazard.EyeLimit(10)}
			out.SkinShort, _ = hazard.SkinLimit(1)
		}
	}
	if out == nil {
		return nil
	}
	if l := of.run.Problem.Duty.Light; l != nil && !l.Peak && !l.Absorbed {
		falling := l.Power.At(out.At)
		if thrown := falling - out.Absorbed; thrown > 0 {
			long, short := hazard.ThrownClear(thrown, out.EyeLong), hazard.ThrownClear(thrown, out.EyeShort)
			out.Falling, out.Thrown, out.ClearLong, out.ClearEye = &falling, &thrown, &long, &short
		}
	}
	if peaks, _ := worst(runs, heat.KindLight); len(peaks) > 0 {
		out.Peak = &peaks[0].Value
	}
	if lights := g.Of("light"); len(lights) > 0 {
		out.dish(lights[0])
	}
	return out
}

// dish takes over what rays by the dish have told.
func (o *safeLight) dish(r *Result) {
	power, ok := r.Number("/power_W/value")
	half, is := r.Number("/rim_angle_rad")
	if !ok || !is || !(power.Value > 0 && half.Value > 0 && half.Value < math.Pi/2) {
		return
	}
	eye, skin := hazard.BeyondClear(power.Value, half.Value, o.EyeShort), hazard.BeyondClear(power.Value, half.Value, o.SkinShort)
	o.Dish, o.Power, o.Half, o.ConeEye, o.ConeSkin = r.Name(), &power.Value, &half.Value, &eye, &skin
	if peak, ok := r.Number("/peak_flux_W_m2/value"); ok {
		o.DishPeak = &peak.Value
	}
	if caught, ok := r.Number("/intercept/value"); ok {
		misses := 1 - caught.Value
		o.Misses = &misses
	}
}
