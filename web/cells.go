package web

import (
	"context"
	"encoding/binary"
	"fmt"
	"hash/fnv"
	"math"
	"net/http"
	"strconv"
	"strings"

	"emberbank/figure"
	"emberbank/heat"
	"emberbank/receiver"

	"github.com/danielgtaylor/huma/v2"
)

// mostCells bounds what is handed out of one grid: the fields of more would not fit where a picture of them is drawn.
const mostCells = 4 << 20

// cellsAPI lays what the cut-away is drawn from: the cells, their temperatures, and the water in the tubes.
func (d *Desk) cellsAPI(a huma.API) {
	huma.Get(a, "/api/run/cells", d.getCells, named("cells", "The grid of an answer: its lines, what fills each cell, the tubes and the window"))
	huma.Get(a, "/api/run/cells/field", d.getCellField, named("cell-field", "Temperatures and melted shares of all cells at a moment, as numbers of four bytes"), func(o *huma.Operation) {
		o.Responses = map[string]*huma.Response{"200": {
			Description: "Little-endian float32, in the order of cells with depth running fastest, then width, then height: first the temperature of every cell in °C, not a number in air; then of every cell the melted share from 0 to 1.",
			Content:     map[string]*huma.MediaType{octets: {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}},
		}, "304": {Description: "It is what the tag stands for that was shown."}}
	})
	huma.Get(a, "/api/run/cells/water", d.getCellWater, named("cell-water", "How the water stands along each circuit at the moment of the field that is drawn"))
}

const octets = "application/octet-stream"

type cellsBody struct {
	Answer  int          `json:"answer"`
	Lines   [3][]float64 `json:"lines_m" doc:"edges of cells along depth, width and height"`
	Parts   []partBody   `json:"parts"`
	Filled  []int        `json:"filled" doc:"pairs, a count of cells and the part that fills them, -1 for air, in the order of cells with depth running fastest; a bore counts to what it is drilled through"`
	Tubes   []tubeBody   `json:"tubes" doc:"straight stretches in the order of flow, circuit by circuit"`
	Heaters []tubeBody   `json:"heaters"`
	Window  *windowBody  `json:"window,omitempty"`
	Moments []float64    `json:"moments_s" doc:"at which a field is kept, as far as the run has got"`
}

type partBody struct {
	Name  string     `json:"name"`
	Role  string     `json:"role" enum:"block,insulation,jacket,fixtures,boxes"`
	Air   bool       `json:"air,omitempty"`
	Of    string     `json:"of,omitempty" doc:"name of its material or composite"`
	Melts bool       `json:"melts,omitempty"`
	Min   [3]float64 `json:"min_m"`
	Max   [3]float64 `json:"max_m"`
}

type tubeBody struct {
	Circuit string     `json:"circuit,omitempty" doc:"none: a pass with a fixed fluid temperature, or a heater"`
	Pass    string     `json:"pass" doc:"to which its heat counts"`
	Kind    string     `json:"kind" enum:"pass,lead,bend,heater"`
	From    [3]float64 `json:"from_m"`
	To      [3]float64 `json:"to_m"`
	Outer   float64    `json:"outer_m" doc:"0: a line without width"`
	Inner   float64    `json:"inner_m"`
}

type windowBody struct {
	Min   [2]float64 `json:"min_m" doc:"width and height of the opening's corner"`
	Max   [2]float64 `json:"max_m"`
	Gap   float64    `json:"gap_m" doc:"between the block's face and the pane"`
	Glass float64    `json:"glass_m" doc:"thickness of the pane; 0: none"`
}

type tagged[T any] struct {
	Status int
	ETag   string `header:"ETag"`
	Body   T
}

// CellsQuery asks for cells of a run.
type CellsQuery struct {
	FileQuery
	Shown string `header:"If-None-Match" doc:"a tag that was given: what it stands for is not sent again"`
}

func (d *Desk) getCells(_ context.Context, q *CellsQuery) (*tagged[*cellsBody], error) {
	r, err := d.runs.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if err := r.handsOut(0); err != nil {
		return nil, err
	}
	tag := d.tag(q.Name, strconv.Itoa(r.number))
	if q.Shown == tag {
		return &tagged[*cellsBody]{Status: http.StatusNotModified, ETag: tag}, nil
	}
	return &tagged[*cellsBody]{Status: http.StatusOK, ETag: tag, Body: cellsIn(r.hand, r.number)}, nil
}

// handsOut tells whether the grid of the answer at hand may be handed out; the lock is held. A number above zero is that of the
// answer of which the page knows the cells.
func (r *run) handsOut(wanted int) error {
	switch {
	case r.hand == nil || len(r.hand.fields) == 0 || r.hand.grid == nil:
		return huma.Error404NotFound("this is drawn when the first temperatures are there")
	case wanted > 0 && wanted != r.number:
		return huma.Error409Conflict("another answer has come; ask for its cells first")
	case r.hand.grid.Cells() > mostCells:
		return huma.Error413RequestEntityTooLarge(fmt.Sprintf("%d cells are more than the %d that a cut-away is drawn of; look at sections, or give larger cells", r.hand.grid.Cells(), mostCells))
	}
	return nil
}

// tag names what is sent, for this start of the program.
func (d *Desk) tag(what ...string) string {
	h := fnv.New64a()
	for _, w := range append(what, d.began) {
		_, _ = h.Write([]byte(w)) // it never fails
		_, _ = h.Write([]byte{0})
	}
	return fmt.Sprintf(`"%016x"`, h.Sum64())
}

// cellsIn describes the grid of an answer.
func cellsIn(a *answer, number int) *cellsBody {
	rec := &a.loaded.Problem.Receiver
	b := &cellsBody{
		Answer: number, Lines: a.grid.Lines, Parts: []partBody{}, Filled: counted(figure.Drilled(a.shown(), rec)),
		Tubes: tubesOf(rec), Heaters: []tubeBody{}, Moments: []float64{},
	}
	for _, p := range rec.Parts {
		part := partBody{Name: p.Name, Role: p.Role.String(), Air: p.Medium < 0, Min: p.Box.Min, Max: p.Box.Max}
		if p.Medium >= 0 && p.Medium < len(rec.Media) {
			part.Of, part.Melts = rec.Media[p.Medium].Name, rec.Media[p.Medium].Latent > 0
		}
		b.Parts = append(b.Parts, part)
	}
	for _, h := range rec.Heaters {
		t := tubeBody{Pass: h.Name, Kind: "heater", From: h.At, To: h.At, Outer: h.Diameter}
		t.From[h.Axis], t.To[h.Axis] = h.From, h.To
		b.Heaters = append(b.Heaters, t)
	}
	if w := rec.Window; w != nil {
		b.Window = &windowBody{Min: [2]float64(w.Opening.Min[1:]), Max: [2]float64(w.Opening.Max[1:])}
		if w.Glass != nil {
			b.Window.Gap, b.Window.Glass = w.Glass.Gap, w.Glass.Thickness
		}
	}
	for i := range a.fields {
		b.Moments = append(b.Moments, a.fields[i].Time)
	}
	return b
}

// counted writes a list as pairs of a count and a value.
func counted(part []int16) []int {
	var out []int
	for i, p := range part {
		if i > 0 && part[i-1] == p {
			out[len(out)-2]++
			continue
		}
		out = append(out, 1, int(p))
	}
	return out
}

// tubesOf lists the stretches of all circuits, then the passes that belong to none.
func tubesOf(rec *receiver.Receiver) []tubeBody {
	out := []tubeBody{}
	joined := make([]bool, len(rec.Passes))
	for _, c := range rec.Circuits {
		for _, r := range c.Runs {
			p := &rec.Passes[r.Pass]
			joined[r.Pass] = true
			kind := [...]string{receiver.RunPass: "pass", receiver.RunLead: "lead", receiver.RunBend: "bend"}[r.Kind]
			out = append(out, tubeBody{Circuit: c.Name, Pass: p.Name, Kind: kind, From: r.From, To: r.To, Outer: p.Outer, Inner: p.Inner})
		}
	}
	for i, p := range rec.Passes {
		if joined[i] {
			continue
		}
		t := tubeBody{Pass: p.Name, Kind: "pass", From: p.At, To: p.At, Outer: p.Outer, Inner: p.Inner}
		t.From[p.Axis], t.To[p.Axis] = p.From, p.To
		out = append(out, t)
	}
	return out
}

type momentQuery struct {
	CellsQuery
	Time   float64 `query:"time" doc:"s; the state kept last before it, or the first"`
	Answer int     `query:"answer" minimum:"0" doc:"of which the cells are known; 0: whichever is at hand"`
}

type fieldAnswer struct {
	Status      int
	ETag        string `header:"ETag"`
	Answer      int    `header:"Answer" doc:"its number"`
	Time        string `header:"Field-Time" doc:"s, at which the field is kept"`
	Rule        string `header:"Rule" doc:"of temperature, over the run as far as it has got, and at least over 80 K from its coolest ambient: its ends in °C, the step of its tints and that of isotherms in K"`
	ContentType string `header:"Content-Type"`
	Body        []byte
}

func (d *Desk) getCellField(_ context.Context, q *momentQuery) (*fieldAnswer, error) {
	m, err := d.momentOf(q)
	if err != nil {
		return nil, err
	}
	out := &fieldAnswer{Status: http.StatusOK, Answer: m.number, Time: formatted(m.field.Time), Rule: m.rule, ContentType: octets}
	out.ETag = d.tag(q.Name, strconv.Itoa(m.number), out.Time, m.rule)
	if q.Shown == out.ETag {
		out.Status = http.StatusNotModified
		return out, nil
	}
	out.Body = fourBytes(m.field)
	return out, nil
}

// moment is what is handed out of a moment; nothing changes it any more.
type moment struct {
	number int
	field  heat.Field
	water  []wet
	rule   string
}

func (d *Desk) momentOf(q *momentQuery) (*moment, error) {
	r, err := d.runs.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if err := r.handsOut(q.Answer); err != nil {
		return nil, err
	}
	f, _ := r.hand.fieldAt(q.Time)
	low, high, tint, isotherm := d.colours(r.hand).Rule()
	return &moment{r.number, f, r.hand.waterAt(f.Time), strings.Join([]string{formatted(low), formatted(high), formatted(tint), formatted(isotherm)}, " ")}, nil
}

// fourBytes writes all temperatures in °C, then all melted shares.
func fourBytes(f heat.Field) []byte {
	n := len(f.Temperature)
	out := make([]byte, 0, 8*n)
	for _, T := range f.Temperature {
		out = binary.LittleEndian.AppendUint32(out, math.Float32bits(float32(T-273.15)))
	}
	for i := range n {
		x := 0.0
		if i < len(f.Melted) && f.Melted[i] > 0 { // not a number in air
			x = f.Melted[i]
		}
		out = binary.LittleEndian.AppendUint32(out, math.Float32bits(float32(x)))
	}
	return out
}

type waterBody struct {
	Time     float64       `json:"time_s"`
	Circuits []circuitBody `json:"circuits"`
}

type circuitBody struct {
	Name      string        `json:"name"`
	State     string        `json:"state" enum:"flowing,closed,open,drained"`
	Stretches []stretchBody `json:"stretches" doc:"one after another from the inlet"`
}

type stretchBody struct {
	To    float64 `json:"to_m" doc:"along the tube from the circuit's inlet"`
	State string  `json:"state" enum:"liquid,subcooled boiling,boiling,stratified,drying,mist,steam,empty"`
}

func (d *Desk) getCellWater(_ context.Context, q *momentQuery) (*body[waterBody], error) {
	m, err := d.momentOf(q)
	if err != nil {
		return nil, err
	}
	out := waterBody{Time: m.field.Time, Circuits: []circuitBody{}}
	for _, w := range m.water {
		out.Circuits = append(out.Circuits, circuitBody{w.circuit, w.state, w.stretches})
	}
	return &body[waterBody]{out}, nil
}
