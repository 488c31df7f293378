package bench

import (
	"context"
	"fmt"
	"io/fs"
	"math"
	"slices"

	"emberbank/aperture"
	"emberbank/block"
	"emberbank/dish"
	"emberbank/receiver"
)

// Light is a file of kind light, checked and built.
type Light struct {
	Name     string
	Dish     dish.Dish
	Beam     float64 // W/m², direct normal irradiance for which the answer is told
	Error    float64 // 1, wanted standard error of the power in the window
	Seed     uint64
	Receiver *receiver.Receiver // whose window it is; nil: none was named
	Right    *aperture.Question // the window that keeps the most; nil: not asked
	// Dimensions are the window's lengths where they are written, here or in the receiver's file, about the dish's axis. Of a round
	// window it is the diameter, along the width.
	Dimensions []Dimension
	Uncertain  []Uncertain // inputs of the dish, the sun and the window that are written with ±
	Inputs     []Input
	Warnings   []string
}

// lightRoot is before the paths of a light file, in Options and in Uncertain.
const lightRoot = "light."

// LoadLight reads a file of kind light, and the receiver that it names. Problems hold mistakes only.
func LoadLight(fsys fs.FS, name string, opt Options) (*Light, Problems) {
	r := newReader(fsys, opt)
	l := r.loadLight(name)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	return l, nil
}

func (r *reader) loadLight(name string) *Light {
	f := r.openAs(name, "light")
	if f == nil {
		return nil
	}
	v := r.readFile(f, lightFileForm.laid(), lightRoot)
	r.castAlone(v, true)
	var rec *receiver.Receiver
	var made *plan
	known := true // the window's size
	if rv := v.get("receiver"); rv != nil {
		r.loadBenchMaterials()
		before := len(r.uncertain)
		content := r.part(rv, receiverForm.laid(), "receiver.")
		if content != nil {
			made = r.buildReceiver(content)
			rec = &made.out
		}
		r.uncertain = r.uncertain[:before] // the window's loss is not what is asked here
		if known = rec != nil && !content.partial; known && rec.Window == nil {
			r.wrong(rv, "that receiver has no window", "a receiver with a window", "describe its window, or give width and height under window here")
			known = false
		}
	}
	l := &lightPlan{r: r, v: v}
	l.build()
	l.window(rec, known)
	l.complete()
	if r.problems.Failed() {
		return nil
	}
	l.look()
	out := &Light{
		Name: titled(v, name), Dish: l.out, Beam: v.get("beam").number(900),
		Error: v.get("error").number(0.001), Seed: uint64(v.get("seed").number(0)), Receiver: rec, Uncertain: r.uncertain, Inputs: r.inputs,
		Dimensions: l.lengths(made),
	}
	if out.Right = r.rightWindow(v.get("right window"), rec, &l.out, out.Beam); r.problems.Failed() {
		return nil
	}
	for _, q := range r.sorted() {
		if q.Warning && q.File == f.name { // what is doubted of the receiver is told where it is run
			out.Warnings = append(out.Warnings, q.Place()+": "+q.Message)
		}
	}
	return out
}

// uncast are the keys of a light file on which no ray hangs.
var uncast = []string{"beam", "error", "right window"}

// castAlone leaves, of what a light file states with ±, that on which rays hang, and may tell what it leaves out.
func (r *reader) castAlone(v *value, tell bool) {
	for _, key := range uncast {
		below := func(u Uncertain) bool { return covers(lightRoot+key, u.Path) }
		if !slices.ContainsFunc(r.uncertain, below) {
			continue
		}
		r.uncertain = slices.DeleteFunc(r.uncertain, below)
		if at := v.get(key); tell && at != nil {
			r.doubt(at, at.path+": a ± there is not carried; the answer is told for the stated value", "take the ± out, or ask at both its ends")
		}
	}
}

// lightPlan is a light file while it is being built.
type lightPlan struct {
	r      *reader
	v      *value
	out    dish.Dish
	pieces []*value // where each piece was written
	kind   string   // what they are called
}

// build reads all but the window's size.
func (l *lightPlan) build() {
	d := l.v.get("dish")
	l.out.Focal, l.out.Diameter = d.get("focal length").must(), d.get("diameter").must()
	l.out.Tracking = l.v.get("tracking error").number(0)
	l.out.Off = [2]float64{l.v.get("beside the sun", "width").number(0), l.v.get("beside the sun", "height").number(0)}
	l.sun(l.v.get("sun"))
	w := l.v.get("window")
	l.out.Window.Distance = w.get("distance").number(l.out.Focal)
	l.out.Window.Centre = [2]float64{w.get("centre", "width").number(0), w.get("centre", "height").number(0)}
	l.petals(d)
	l.shade(l.v.get("shade"))
}

func (l *lightPlan) sun(v *value) {
	s := &l.out.Sun
	switch {
	case v == nil:
		*s = dish.Sun{Shape: dish.Limb, Circumsolar: 0.05}
	case v.has("pill-box"):
		s.HalfAngle = v.get("pill-box", "half angle").number(0)
	case v.has("gaussian"):
		s.Shape, s.Sigma = dish.GaussianSun, v.get("gaussian", "sigma").must()
	case v.has("limb darkened"):
		s.Shape, s.Circumsolar = dish.Limb, v.get("limb darkened", "circumsolar ratio").number(0.05)
	}
}

// roundOr reads a diameter, or width and height.
func (l *lightPlan) roundOr(v *value) (round bool, width, height float64) {
	d, w, h := v.get("diameter"), v.get("width"), v.get("height")
	switch {
	case d != nil && (w != nil || h != nil):
		l.r.wrong(d, "both a diameter and a width or height are given", "a diameter, or width and height", "take one of the two out")
		return true, math.NaN(), math.NaN()
	case d != nil:
		return true, d.num, d.num
	case (w == nil) != (h == nil):
		l.r.wrong(firstOf(w, h), "width and height belong together", "both, or a diameter", "add the other one")
		return false, math.NaN(), math.NaN()
	}
	return false, w.number(0), h.number(0)
}

func (l *lightPlan) shade(v *value) {
	if v == nil {
		return
	}
	b := &l.out.Body
	b.Round, b.Width, b.Height = l.roundOr(v)
	b.Depth = v.get("depth").number(0)
	if d := v.get("depth"); d != nil && b.Width == 0 {
		l.r.wrong(d, "a depth without a size shades nothing", "width and height, or a diameter", "add the size of what stands there")
	}
	for _, a := range v.get("arms").items() {
		sin, cos := math.Sincos(a.get("angle").must())
		edge := b.Width / 2
		if !b.Round && b.Width > 0 { // where the ray from the axis leaves the rectangle
			edge = math.Min(b.Width/2/math.Max(math.Abs(cos), 1e-9), b.Height/2/math.Max(math.Abs(sin), 1e-9))
		}
		inner, outer := a.get("inner").number(edge), a.get("outer").number(l.out.Diameter/2)
		l.out.Arms = append(l.out.Arms, dish.Arm{
			From: [3]float64{inner * cos, inner * sin, l.out.Window.Distance}, To: [3]float64{outer * cos, outer * sin, outer * outer / (4 * l.out.Focal)},
			Width: a.get("width").must(),
		})
	}
}

// window sets the window's size: its own, or the receiver's.
func (l *lightPlan) window(rec *receiver.Receiver, known bool) {
	v := l.v.get("window")
	w := &l.out.Window
	w.Round, w.Width, w.Height = l.roundOr(v)
	if w.Width != 0 || !known {
		return
	}
	if rec == nil || rec.Window == nil {
		if !l.v.partial {
			l.r.problemAt(firstOf(v, l.v), "nothing says how large the window is", "width and height, a diameter, or a receiver", `add "window: {width: 180 mm, height: 180 mm}", or "receiver: receiver.yaml"`)
		}
		return
	}
	o := rec.Window.Opening
	w.Width, w.Height = o.Max[1]-o.Min[1], o.Max[2]-o.Min[2]
}

// lengths lists where the window's size is written: in the light's own file, else in that of the receiver, nil where none was named.
func (l *lightPlan) lengths(rec *plan) (out []Dimension) {
	w, v := &l.out.Window, l.v.get("window")
	size := [2]float64{w.Width, w.Height}
	own := func(key string, a block.Axis) {
		i := int(a - block.Width)
		d := Dimension{Kind: DimensionWindow, What: key + " of the window", Axis: a, From: w.Centre[i] - size[i]/2, To: w.Centre[i] + size[i]/2}
		if d.at(v.get(key)) {
			out = append(out, d)
		}
	}
	own("diameter", block.Width)
	own("width", block.Width)
	own("height", block.Height)
	if len(out) > 0 || rec == nil {
		return out
	}
	for _, d := range rec.dimensions() {
		if i := int(d.Axis - block.Width); d.Kind == DimensionWindow {
			d.From, d.To = w.Centre[i]-size[i]/2, w.Centre[i]+size[i]/2
			out = append(out, d)
		}
	}
	return out
}

// complete finds what is wrong with the whole.
func (l *lightPlan) complete() {
	if l.v.partial || l.r.problems.Failed() {
		return
	}
	d, w := l.v.get("dish"), l.v.get("window")
	for i := range l.out.Pieces {
		if o := &l.out.Pieces[i].Outline; o.Kind == dish.IsSector && o.Inner >= o.Outer {
			l.r.problemAt(l.pieces[i], fmt.Sprintf("petal %s has no area: its inner edge lies %s from the axis, its outer one %s", l.out.Pieces[i].Name, mm(o.Inner), mm(o.Outer)),
				"an inner edge nearer to the axis than the outer one", "mend inner or outer, or raise the diameter")
			return
		}
		if reach := l.out.Pieces[i].Outline.Reach(); reach > l.out.Diameter/2*(1+1e-9) {
			l.r.problemAt(l.pieces[i], fmt.Sprintf("%s %s reaches %s from the axis: beyond the dish's rim at %s", l.kind, l.out.Pieces[i].Name, mm(reach), mm(l.out.Diameter/2)),
				"within the dish's diameter", "make it smaller, move it, or raise the diameter")
			return
		}
	}
	if i, k := l.out.Overlap(); i >= 0 {
		l.r.problemAt(l.pieces[k], fmt.Sprintf("%ss %s and %s overlap", l.kind, l.out.Pieces[i].Name, l.out.Pieces[k].Name), l.kind+"s beside one another", "mend their edges: no light meets two mirrors at once")
		return
	}
	rim := 0.0
	there := false
	for i := range l.out.Pieces {
		if p := &l.out.Pieces[i]; p.Present {
			rim, there = math.Max(rim, p.Outline.Reach()), there || p.Reflectance > 0
		}
	}
	if !there {
		l.r.problemAt(firstOf(d.get("petals"), d.get("facets"), d), "no "+l.kind+" of the dish is there to reflect light", "at least one that is there, with a reflectance above 0", "take some out of missing, or look at the reflectance")
		return
	}
	if forward := rim * rim / (4 * l.out.Focal); l.out.Window.Distance <= forward {
		at := firstOf(w.get("distance"), d.get("focal length"))
		l.r.wrong(at, fmt.Sprintf("so the window's plane, %s before the vertex, lies behind the dish, whose mirrors reach %s forward", mm(l.out.Window.Distance), mm(forward)),
			"a window before the dish", "lengthen the focal length or the window's distance, or take a smaller diameter")
		return
	}
	if h := l.out.Hole; h >= l.out.Diameter {
		l.r.wrong(d.get("hole"), "no smaller than the dish", "less than "+mm(l.out.Diameter), "take a smaller hole")
	} else if err := l.out.Check(); err != nil {
		l.r.problemAt(l.v, "no rays can be cast: "+err.Error(), "", "mend what it names")
	}
}

// leastCaught is the share of what the mirrors throw back below which a window is missed.
const leastCaught = 0.01

// look casts some rays to see whether the window lies where the light goes.
func (l *lightPlan) look() {
	if res, err := dish.Cast(context.Background(), &l.out, dish.Options{Rays: 1}); err == nil {
		l.missed(res)
	}
}

// tenth prints a length to a tenth of a millimetre.
func tenth(x float64) string { return mm(math.Round(x*1e4)/1e4 + 0) } // no minus before a zero

// missed tells, in words too, that the window catches next to nothing.
func (l *lightPlan) missed(res *dish.Result) bool {
	if res.Intercept.Value >= leastCaught {
		return false
	}
	w := l.v.get("window")
	l.r.problemAt(firstOf(w.get("centre"), w.get("distance"), w, l.v), fmt.Sprintf("the window misses the light: it catches %.2g %% of what the dish throws back; the spot's middle lies at %s, %s beside the axis, the window's at %s, %s",
		100*res.Intercept.Value, tenth(res.Centre[0]), tenth(res.Centre[1]), tenth(l.out.Window.Centre[0]), tenth(l.out.Window.Centre[1])),
		fmt.Sprintf("a window that catches more than %g %%", 100*leastCaught), "look at the window's distance against the focal length, at its centre, and at how far the dish points beside the sun")
	return true
}

// Sides are the dish as it is with each uncertain input at both ends of its band; an end that is not allowed is left out.
func (l *Light) Sides(fsys fs.FS, name string) []dish.Side {
	var out []dish.Side
	for _, u := range l.Uncertain {
		s := dish.Side{Name: u.Path}
		for _, end := range []struct {
			at   float64
			into **dish.Dish
		}{{u.Value - u.Half, &s.Below}, {u.Value + u.Half, &s.Above}} {
			if at, problems := LoadLight(fsys, name, Options{Override: map[string]float64{u.Path: end.at}}); !problems.Failed() {
				*end.into = &at.Dish
			}
		}
		out = append(out, s)
	}
	return out
}
