package web

import (
	"context"
	"fmt"
	"reflect"
	"strings"

	"emberbank/bench"
	"emberbank/block"
	"emberbank/dossier"
	"emberbank/figure"
	"emberbank/heat"
	"emberbank/receiver"

	"github.com/danielgtaylor/huma/v2"
)

// sectionsAPI is the part of the interface that draws the receiver.
func (d *Desk) sectionsAPI(a huma.API) {
	huma.Get(a, "/api/run/section", d.getSection, named("section", "The receiver cut open at a moment, as SVG; before anything is computed, or while its shape has just been changed, the shapes alone"))
	huma.Get(a, "/api/run/ledger", d.getLedger, named("ledger", "Where the heat goes, over the whole run or at a moment with what came and went until then, as SVG"))
	huma.Get(a, "/api/run/chain", d.getChain, named("chain", "The chain of resistances from the block to the water of a pass at a moment, as SVG"))
}

type sectionQuery struct {
	FileQuery
	Axis string  `query:"axis" enum:"depth,width,height" default:"width" doc:"across which the receiver is cut"`
	At   float64 `query:"at" doc:"where, in m from the block's corner"`
	Time float64 `query:"time" doc:"s; the state kept last before it is drawn"`
	// the numbers at the lines stay as they are written, whatever the page does with others
	Kelvin bool `query:"kelvin" doc:"lines of equal temperature stand at round numbers of K, and say these; all other temperatures stay in °C"`
	Room
}

// Room is what a picture may take on a page.
type Room struct {
	Wide float64 `query:"wide" minimum:"240" maximum:"4000" doc:"px that the picture takes; without it, it is laid out as in print"`
	High float64 `query:"high" minimum:"200" maximum:"4000" default:"420" doc:"px that it may take"`
}

type picture struct {
	ContentType string `header:"Content-Type"`
	Body        []byte
}

func svg(b []byte) *picture { return &picture{"image/svg+xml", b} }

var axes = map[string]block.Axis{"depth": block.Depth, "width": block.Width, "height": block.Height}

func (d *Desk) getSection(_ context.Context, q *sectionQuery) (*picture, error) {
	s, err := d.sceneOf(q.Name, q.Time)
	if err != nil {
		return nil, err
	}
	rec := &s.loaded.Problem.Receiver
	axis := axes[q.Axis]
	if low, high := reach(rec, axis); !(q.At >= low && q.At <= high) {
		return nil, huma.Error422UnprocessableEntity(fmt.Sprintf("along %s the receiver reaches from %s to %s mm", q.Axis, figure.Number(1e3*low, 0), figure.Number(1e3*high, 0)))
	}
	v := figure.View{Axis: axis, At: q.At, Wide: q.Wide, High: q.High, Colours: s.colours, Kelvin: q.Kelvin, Sensors: sensorsOf(s.loaded)}
	for i := range s.loaded.Dimensions {
		v.Given = append(v.Given, dossier.Given(&s.loaded.Dimensions[i]))
	}
	for _, w := range s.water {
		one := figure.Wet{Circuit: w.circuit}
		for _, x := range w.stretches {
			one.Along = append(one.Along, figure.WetStretch(x))
		}
		v.Water = append(v.Water, one)
	}
	if s.result == nil {
		return svg(figure.Drawn(rec, v)), nil
	}
	return svg(figure.SectionOf(s.result, rec, s.field, v)), nil
}

// reach is how far a receiver goes along an axis, m.
func reach(rec *receiver.Receiver, a block.Axis) (low, high float64) {
	low, high = rec.Block.Min[a], rec.Block.Max[a]
	for i := range rec.Parts {
		low, high = min(low, rec.Parts[i].Box.Min[a]), max(high, rec.Parts[i].Box.Max[a])
	}
	return low, high
}

// scene is what a picture of a moment shows.
type scene struct {
	loaded  *bench.Run
	result  *heat.Result // nil: nothing is computed of this shape
	field   heat.Field
	water   []wet
	colours figure.Range
}

// sceneOf finds the state of a run at a moment. Where the files hold another shape than the one that was computed, the new
// shape is shown at once, without temperatures.
func (d *Desk) sceneOf(name string, t float64) (*scene, error) {
	r, err := d.runs.of(name)
	if err != nil {
		return nil, refused(err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.loaded == nil {
		return nil, huma.Error404NotFound("this is drawn when the files can be read without a mistake")
	}
	s := &scene{loaded: r.loaded}
	for _, a := range []*answer{r.hand, r.growing} { // the old answer stays until its shape is another
		if a == nil || !sameShape(a.loaded, r.loaded) {
			continue
		}
		if f, ok := a.fieldAt(t); ok {
			s.result, s.field, s.water = a.shown(), f, a.waterAt(f.Time)
			s.colours = d.colours(a)
			break
		}
	}
	return s, nil
}

// sameShape tells whether two runs have one drawing.
func sameShape(a, b *bench.Run) bool {
	if a == b {
		return true
	}
	p, q := &a.Problem.Receiver, &b.Problem.Receiver
	if p.Block != q.Block || len(p.Parts) != len(q.Parts) || len(p.Passes) != len(q.Passes) || !reflect.DeepEqual(p.Circuits, q.Circuits) || !reflect.DeepEqual(p.Heaters, q.Heaters) {
		return false
	}
	for i := range p.Parts {
		if p.Parts[i].Box != q.Parts[i].Box || p.Parts[i].Role != q.Parts[i].Role {
			return false
		}
	}
	for i := range p.Passes {
		u, v := &p.Passes[i], &q.Passes[i]
		if u.Axis != v.Axis || u.At != v.At || u.Outer != v.Outer || u.Inner != v.Inner {
			return false
		}
	}
	if p.Window == nil || q.Window == nil {
		return p.Window == q.Window
	}
	return p.Window.Opening == q.Window.Opening && reflect.DeepEqual(p.Window.Glass, q.Window.Glass)
}

type ledgerQuery struct {
	FileQuery
	Time float64 `query:"time" default:"-1" doc:"s, of a moment; the row last before it; below 0: over the whole run"`
	Room
}

func (d *Desk) getLedger(_ context.Context, q *ledgerQuery) (*picture, error) {
	if q.Time >= 0 && q.Wide > 0 {
		return d.ledgerAt(q)
	}
	a, err := d.answerOf(q.Name)
	switch {
	case err != nil:
		return nil, err
	case q.Wide > 0:
		return svg(figure.LedgerFor(a.result, q.Wide, d.colours(a))), nil
	}
	return svg(figure.Ledger(a.result, strings.TrimSpace(a.loaded.Title), d.colours(a))), nil
}

// ledgerAt draws where the heat goes at a moment, also of a run that is still being computed.
func (d *Desk) ledgerAt(q *ledgerQuery) (*picture, error) {
	r, err := d.runs.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	a := r.hand
	switch {
	case a == nil || len(a.h.Time) == 0 || len(a.books.values) == 0 && a.result == nil:
		return nil, huma.Error404NotFound("this is drawn when the first rows are there")
	case a.steady || len(a.books.values) == 0:
		return svg(figure.LedgerFor(a.result, q.Wide, d.colours(a))), nil
	}
	row := rowAt(a.h.Time, q.Time)
	n := figure.Now{To: a.h.Time[row], From: a.h.Time[max(0, row-1)], Row: row, SoFar: a.books.over(-1, row), Wide: q.Wide}
	n.Over = a.books.over(max(0, row-1), row)
	n.Colours = d.colours(a)
	shown := a.shown()
	shown.History = a.h
	return svg(figure.LedgerAt(shown, &n)), nil
}

type chainQuery struct {
	FileQuery
	Pass string  `query:"pass" maxLength:"200" doc:"its name; none: the one that takes most heat at the moment"`
	Time float64 `query:"time" doc:"s; the row last before it"`
	Room
}

// getChain draws the chain of the answer at hand, which may be that of another shape until there is one of the new.
func (d *Desk) getChain(_ context.Context, q *chainQuery) (*picture, error) {
	r, err := d.runs.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.hand == nil || len(r.hand.chains) == 0 {
		return nil, huma.Error404NotFound("this is drawn when the first answer is there")
	}
	c := chainAt(r.hand.chains, q.Pass, q.Time)
	if c == nil {
		return nil, huma.Error404NotFound("no such pass has a chain")
	}
	return svg(figure.Chain(c, q.Wide, q.High, d.colours(r.hand))), nil
}

// chainAt finds the chain of a pass in the last row at or before a moment, or in the first.
func chainAt(all []heat.Chain, pass string, t float64) (best *heat.Chain) {
	for i := range all {
		c := &all[i]
		switch {
		case pass != "" && c.Pass != pass, best != nil && c.Time > t+1e-9:
		case best == nil, c.Time > best.Time, pass == "" && c.Heat > best.Heat:
			best = c
		}
	}
	return best
}

type sensorBody struct {
	Number int         `json:"number"`
	Name   string      `json:"name"`
	At     block.Point `json:"at_m"`
}

// sensorsOf numbers the places at which a run reads temperatures, in the order of the file.
func sensorsOf(loaded *bench.Run) (all []figure.Sensor) {
	for _, p := range loaded.Problem.Probes {
		if p.Kind != heat.Front {
			all = append(all, figure.Sensor{Number: len(all) + 1, Name: p.Name, At: p.At})
		}
	}
	return all
}
