package bench

import (
	"fmt"
	"math"

	"emberbank/aperture"
	"emberbank/dish"
	"emberbank/heat"
	"emberbank/receiver"
	"emberbank/unit"
)

// rightWindowForm asks for the window that keeps the most.
func rightWindowForm() *form {
	return &form{name: "the right window", doc: "How large the receiver's window should be for this light: what it takes in less what it loses, over its size, with the block's face at one temperature. Every size is about the window's middle, of its shape, and lies within the block's face.", fields: []field{
		{key: "at", typ: like(temperature(), "300 degC"), required: true, doc: "temperature of the block's face behind the window"},
		{key: "shape", typ: word("the window's", "square", "round"), def: "the window's", doc: "of the windows that are compared"},
		{key: "day", typ: signalShape(like(quantity(unit.HeatFlux, "0 W/m2", "1500 W/m2"), "850 W/m2")), def: "none", doc: "direct normal irradiance over a day, from the first of its times to the last: what is kept over that time, with the cover shut whenever the open window would keep less, and without a cover"},
		{key: "ambient", typ: outdoors(), def: "20 degC", doc: "temperature of the air"},
		{key: "sky", typ: like(quantity(unit.Temperature, "0 K", "100 degC"), "0 degC"), def: "the ambient", doc: "effective radiating temperature of the sky"},
		{key: "ground", typ: outdoors(), def: "the ambient", doc: "radiating temperature of the ground"},
		{key: "wind", typ: quantity(unit.Speed, "0 m/s", "60 m/s"), def: "0 m/s", doc: "at the receiver"},
		{key: "tilt", typ: quantity(unit.Angle, "-90 deg", "90 deg"), def: "0 deg", doc: "angle of the window's outward normal below the horizontal"},
	}}
}

// rightWindow builds the question, but for what windows catch. Nil: none is asked.
func (r *reader) rightWindow(v *value, rec *receiver.Receiver, d *dish.Dish, beam float64) *aperture.Question {
	switch {
	case v == nil || v.partial:
		return nil
	case rec == nil || rec.Window == nil:
		r.problemAt(v, v.path+": no receiver is named whose window it could be", "a receiver with a window", `add "receiver: receiver.yaml"`)
		return nil
	}
	q := &aperture.Question{Receiver: rec, Face: v.get("at").num, Beam: beam, Ratio: 1, Round: v.get("shape").is("round")}
	o, w := rec.Window.Opening, &d.Window
	if v.get("shape").is("square") && !w.Round && math.Abs(w.Width-w.Height) > 1e-9 {
		r.wrong(v.get("shape"), "the window is neither square nor round, and windows like it or round ones are compared", "the window's, or round", "leave it out, or make the window square")
		return nil
	}
	if s := v.get("shape"); s == nil || s.is("the window's") {
		if q.Round = w.Round; !q.Round {
			q.Ratio = w.Height / w.Width // as the cast's windows of other sizes have it
		}
	}
	room := func(a int) float64 { // about the window's middle, within the block's face
		c := (o.Min[a] + o.Max[a]) / 2
		return 2 * math.Min(c, rec.Block.Max[a]-c)
	}
	q.Most = math.Min(room(1), room(2)/q.Ratio)
	air := v.get("ambient").number(293.15)
	q.Out = heat.Weather{
		Air: air, Sky: v.get("sky").number(air), Ground: v.get("ground").number(air), Wind: v.get("wind").number(0), Tilt: v.get("tilt").number(0),
	}
	if at := v.get("at"); at.num <= air {
		r.wrong(at, fmt.Sprintf("the face is no hotter than the air, %s, and loses nothing", unit.Format(air, unit.Temperature, "degC")), "above the ambient", "give the temperature at which the block works")
	}
	if day := v.get("day"); day != nil {
		q.Day = r.dayOf(day)
	}
	return q
}

// dayOf reads a beam over a day as straight lines between moments.
func (r *reader) dayOf(v *value) []aperture.Moment {
	s := r.signal(v)
	if s.Empty() {
		return nil // told
	}
	if s.Every > 0 {
		s = s.Over(s.Every)
	}
	if len(s.T) < 2 || !(s.T[len(s.T)-1] > s.T[0]) {
		if !v.partial {
			r.wrong(v, "a day has a beginning and an end", "two times or more", `write for example "{table: [[6 h, 0 W/m2], [12 h, 900 W/m2], [18 h, 0 W/m2]]}"`)
		}
		return nil
	}
	var out []aperture.Moment
	for i, t := range s.T {
		if s.Step && i > 0 {
			out = append(out, aperture.Moment{At: t, Beam: s.V[i-1]})
		}
		out = append(out, aperture.Moment{At: t, Beam: s.V[i]})
	}
	return out
}

// RightShape says the shape of the windows that are compared.
func (l *Light) RightShape() string {
	switch {
	case l.Right.Round:
		return "round"
	case l.Right.Ratio == 1:
		return "square"
	}
	return fmt.Sprintf("%.3g to 1", 1/l.Right.Ratio)
}

// Ask puts what windows of the dish catch into the question.
func (l *Light) Ask(res *dish.Result, carried *dish.Carried) *aperture.Question {
	q := *l.Right
	q.Angles = res.WindowAngles
	catch := func(r *dish.Result) *aperture.Catch {
		if r == nil {
			return nil
		}
		c := &r.Scaled
		if q.Round {
			c = &r.Round
		}
		out := &aperture.Catch{Size: c.Size}
		for _, x := range c.Intercept {
			out.Power = append(out.Power, r.Reflected.Value*x.Value)
		}
		return out
	}
	q.Catch = *catch(res)
	q.Most = math.Min(q.Most, q.Catch.Size[len(q.Catch.Size)-1])
	if carried != nil {
		for _, p := range carried.Parts {
			q.Sides = append(q.Sides, aperture.Side{Name: p.Name, Below: catch(p.Below), Above: catch(p.Above)})
		}
	}
	return &q
}
