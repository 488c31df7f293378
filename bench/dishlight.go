package bench

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"sync"

	"emberbank/block"
	"emberbank/dish"
	"emberbank/duty"
	"emberbank/receiver"
)

// The cast of a duty's light is coarse: its errors, standard ones of the power in the window and of the flux at its peak, are
// small beside what is known of a dish, and it takes a fraction of a second.
const (
	coarseError = 0.002
	coarsePeak  = 0.03
	coarseBins  = 40
)

// dishLight reads light that comes from a dish: the power is the beam's times an area, the map that of the cast.
func (r *reader) dishLight(v *value, l *duty.Light, rec *receiver.Receiver) {
	file := v.get("dish")
	for _, key := range []string{"power", "peak", "map", "area", "reading", "cone"} {
		if at := v.get(key); at != nil {
			r.wrong(at, "the dish says this", "a dish and its beam, or power or peak with a map", "take it out, or the dish")
		}
	}
	beam := v.get("beam")
	if beam == nil && !v.partial {
		r.wrong(file, "nothing says how strong the beam is", "the beam beside the dish", `add "beam: 900 W/m2", or a signal over time`)
	}
	l.Power = r.beam(beam)
	content := r.part(file, lightFileForm.laid(), lightRoot)
	if content == nil {
		return
	}
	r.castAlone(content, false) // the duty's own beam counts
	p := &lightPlan{r: r, v: content}
	p.build()
	if rec == nil || rec.Window == nil {
		p.window(nil, content.get("window").has("width") || content.get("window").has("diameter"))
		p.complete()
		return
	}
	p.window(rec, true)
	o := rec.Window.Opening
	w, width, height := &p.out.Window, o.Max[1]-o.Min[1], o.Max[2]-o.Min[2]
	if at := firstOf(content.get("window", "width"), content.get("window", "diameter")); at != nil && (w.Round || math.Abs(w.Width-width) > 1e-6 || math.Abs(w.Height-height) > 1e-6) {
		r.doubt(at, fmt.Sprintf("%s is %q: the receiver's window, %s by %s, counts in a run", at.path, at.typed(), mm(width), mm(height)), "take the window's size out of the light's file, or mend it")
	}
	w.Round, w.Width, w.Height = false, width, height
	p.complete()
	if r.problems.Failed() {
		return
	}
	res, err := castOnce(&p.out)
	if err != nil {
		r.problemAt(file, "no rays can be cast: "+err.Error(), "", "mend what it names")
		return
	}
	if p.missed(res) {
		return
	}
	for i := range l.Power.V {
		l.Power.V[i] *= res.Window.Value
	}
	l.Map, l.Angles = MapOf(&res.Map, AxisOn(o, &p.out)), res.WindowAngles
	if l.Absorbed {
		l.Angles = nil
	}
}

// AxisOn returns where a dish's axis meets the plane of a window's opening, in the receiver's width and height, m.
func AxisOn(opening block.Box, d *dish.Dish) (at [2]float64) {
	for a := range at {
		at[a] = (opening.Min[a+1]+opening.Max[a+1])/2 - d.Window.Centre[a]
	}
	return at
}

// MapOf is a cast's map as a duty takes it, where the dish's axis meets the window's plane at a place in the receiver's width and
// height, m.
func MapOf(m *dish.Map, axis [2]float64) duty.Map {
	out := duty.Map{Kind: duty.Table, Table: slices.Clone(m.Flux)}
	for _, x := range m.Width {
		out.TableWidth = append(out.TableWidth, x+axis[0])
	}
	for _, y := range m.Height {
		out.TableHeight = append(out.TableHeight, y+axis[1])
	}
	return out
}

// casts keeps the last casts of dishes: files are read again and again, by a match or in the page, and the same dish gives
// the same answer. It is full after some megabytes and then begins anew.
var casts = struct {
	sync.Mutex
	held map[string]*dish.Result
}{held: map[string]*dish.Result{}}

const mostCasts = 64

// castOnce casts a dish coarsely, or remembers what came out.
func castOnce(d *dish.Dish) (*dish.Result, error) {
	key, err := json.Marshal(d)
	if err != nil {
		return nil, fmt.Errorf("naming the dish: %w", err)
	}
	casts.Lock()
	defer casts.Unlock() // two that ask for the same wait for one cast
	if res := casts.held[string(key)]; res != nil {
		return res, nil
	}
	res, err := dish.Cast(context.Background(), d, dish.Options{Error: coarseError, Peak: coarsePeak, Bins: coarseBins, Most: 1 << 22})
	if err != nil {
		return nil, err
	}
	if len(casts.held) >= mostCasts {
		clear(casts.held)
	}
	casts.held[string(key)] = res
	return res, nil
}
