package account

import (
	"math"

	"emberbank/answer"
)

// Numbers of an answer stand in the units of the columns, differences of temperatures in K. What is not known, and what has no
// end, is null. Variants are counted from 1, as in the table.

// StudyAnswerJSON is an answer in study.json.
type StudyAnswerJSON struct {
	VariedAnswer
	Plateau     *plateauJSON     `json:"plateau,omitempty"`
	Spread      *spreadJSON      `json:"spread,omitempty"`
	Sensitivity *sensitivityJSON `json:"sensitivity,omitempty"`
	Optimum     *optimumJSON     `json:"optimum,omitempty"`
	Front       *frontJSON       `json:"front,omitempty"`
	Pays        *paysJSON        `json:"pays,omitempty"`
}

type plateauJSON struct {
	Response string              `json:"response"`
	Axis     string              `json:"axis"`
	Variants []int               `json:"variants"`
	Half     []*float64          `json:"half_width_95,omitempty"`
	Margin   *float64            `json:"margin"`
	From     *float64            `json:"from"`
	Value    *float64            `json:"value"`
	U        *float64            `json:"standard_uncertainty"`
	Above    *float64            `json:"begins_above"`
	Change   *float64            `json:"change_at_the_end"`
	ChangeU  *float64            `json:"standard_uncertainty_of_change"`
	Limits   map[string]interval `json:"suggested_limits,omitempty"`
}

type interval struct {
	Value *float64 `json:"value"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
}

type spreadJSON struct {
	Response  string         `json:"response"`
	Draws     int            `json:"draws"`
	Left      int            `json:"without_value"`
	Mean      interval       `json:"mean"`
	SD        *float64       `json:"standard_deviation"`
	Quantiles []quantileJSON `json:"quantiles"`
	Tolerance toleranceJSON  `json:"tolerance_interval"`
}

type quantileJSON struct {
	Share float64 `json:"share"`
	interval
}

type toleranceJSON struct {
	Share      float64  `json:"share"`
	Confidence float64  `json:"confidence"`
	Low        *float64 `json:"low"`
	High       *float64 `json:"high"`
}

type sensitivityJSON struct {
	Response string      `json:"response"`
	Rows     int         `json:"rows"`
	Left     int         `json:"rows_left_out"`
	Inputs   []indexJSON `json:"inputs"`
}

type indexJSON struct {
	Name  string   `json:"name"`
	First interval `json:"first_order"`
	Total interval `json:"total"`
}

type optimumJSON struct {
	Response  string      `json:"response"`
	Met       bool        `json:"constraints_met"`
	Best      *int        `json:"variant"`
	Tolerance *float64    `json:"tolerance"`
	Rooms     []roomJSON  `json:"rooms,omitempty"`
	Prices    []priceJSON `json:"prices,omitempty"`
	Left      *float64    `json:"slope_left"`
	Over      *overJSON   `json:"over_the_present_design"`
	Course    []*float64  `json:"course"`
}

type roomJSON struct {
	Axis    string   `json:"axis"`
	Low     *float64 `json:"low"`
	LowEnd  string   `json:"low_ended_by"`
	High    *float64 `json:"high"`
	HighEnd string   `json:"high_ended_by"`
}

type priceJSON struct {
	Constraint string   `json:"constraint"`
	PerUnit    *float64 `json:"per_unit"`
}

type overJSON struct {
	By    *float64 `json:"by"`
	U     *float64 `json:"standard_uncertainty"`
	Least *float64 `json:"least_95"`
	Shown bool     `json:"shown"`
}

type frontJSON struct {
	Variants []int    `json:"variants"`
	Standing []string `json:"standing"`
	Order    []int    `json:"front"` // variants
	Alike    [][]int  `json:"order_not_known,omitempty"`
}

type paysJSON struct {
	Axis     string        `json:"axis"`
	Response string        `json:"response"`
	Worth    *float64      `json:"worth"`
	Gains    []gainJSON    `json:"gains"`
	PaysTo   *float64      `json:"pays_to"`
	StopsAt  *float64      `json:"stops_at"`
	Control  []controlJSON `json:"control,omitempty"`
}

type gainJSON struct {
	From    *float64 `json:"from"`
	To      *float64 `json:"to"`
	PerPass *float64 `json:"each"`
	U       *float64 `json:"standard_uncertainty"`
	Pays    string   `json:"pays"`
}

type controlJSON struct {
	At   *float64 `json:"at"`
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
}

// maybe is a number, or nil where it is none.
func maybe(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// on is a value of a response in the unit of its column.
func (r *VariedResponse) on(y float64) *float64 {
	if p := maybe(y); p != nil && r.Unit == "" {
		return maybe(shown(r.Quantity, y))
	}
	return maybe(y)
}

// difference is one of two values of a response.
func (r *VariedResponse) difference(y float64) *float64 {
	if r.Unit != "" {
		return maybe(y)
	}
	if a, b := r.on(y), r.on(0); a != nil && b != nil {
		return maybe(shownDifference(*a - *b))
	}
	return nil
}

// shownDifference drops the last digits that subtracting leaves.
func shownDifference(x float64) float64 {
	if x == 0 {
		return 0
	}
	scale := math.Pow(10, 9-math.Floor(math.Log10(math.Abs(x))))
	if math.IsInf(scale, 0) {
		return x
	}
	return math.Round(x*scale) / scale
}

func (a *VariedAxis) on(x float64) *float64 {
	if maybe(x) == nil {
		return nil
	}
	return maybe(a.Shown(x))
}

// from1 counts variants from 1.
func from1(indices []int) []int {
	out := make([]int, len(indices))
	for i, n := range indices {
		out[i] = n + 1
	}
	return out
}

// document is an answer as JSON.
func (v *Varied) document(a VariedAnswer) StudyAnswerJSON {
	d := StudyAnswerJSON{VariedAnswer: a}
	switch {
	case a.Plateau != nil:
		d.Plateau = v.plateauJSON(a.Plateau)
	case a.Spread != nil:
		d.Spread = v.spreadJSON(a.Spread)
	case a.Sensitivity != nil:
		d.Sensitivity = v.sensitivityJSON(a.Sensitivity)
	case a.Optimum != nil:
		d.Optimum = v.optimumJSON(a.Optimum)
	case a.Front != nil:
		d.Front = v.frontJSON(a.Front)
	case a.Pays != nil:
		d.Pays = v.paysJSON(a.Pays)
	}
	return d
}

func (v *Varied) plateauJSON(p *VariedPlateau) *plateauJSON {
	r, x, f := &v.Responses[p.Response], &v.Axes[p.Axis], &p.Found
	d := &plateauJSON{
		Response: r.Name, Axis: x.Name, Variants: from1(p.Group), Margin: r.difference(f.Margin), From: x.on(f.From), Above: x.on(f.Above),
		Change: r.difference(f.Change), ChangeU: r.difference(f.ChangeU),
	}
	for _, h := range p.Half {
		d.Half = append(d.Half, r.difference(h))
	}
	if f.Verdict == answer.Flattened {
		d.Value, d.U = r.on(f.Value), r.difference(f.U)
	}
	for _, t := range []*answer.Trend{f.Exponential, f.Power} {
		if t != nil {
			if d.Limits == nil {
				d.Limits = map[string]interval{}
			}
			d.Limits[t.Kind] = interval{r.on(t.Limit), r.on(t.Low), r.on(t.High)}
		}
	}
	return d
}

func (v *Varied) spreadJSON(s *VariedSpread) *spreadJSON {
	r := &v.Responses[s.Response]
	d := &spreadJSON{
		Response: r.Name, Draws: s.Spread.Count(), Left: s.Spread.Left, Mean: interval{r.on(s.Spread.Mean), r.on(s.MeanLow), r.on(s.MeanHigh)},
		SD:        r.difference(s.Spread.SD),
		Tolerance: toleranceJSON{s.Tolerance.Share, s.Tolerance.Confidence, r.on(s.Tolerance.Low), r.on(s.Tolerance.High)},
	}
	for _, q := range s.Quantiles {
		d.Quantiles = append(d.Quantiles, quantileJSON{q.Share, interval{r.on(q.Value), r.on(q.Low), r.on(q.High)}})
	}
	return d
}

func (v *Varied) sensitivityJSON(s *VariedSensitivity) *sensitivityJSON {
	d := &sensitivityJSON{Response: v.Responses[s.Response].Name, Rows: s.Found.Rows, Left: s.Found.Left}
	index := func(x answer.Index) interval { return interval{maybe(x.Value), maybe(x.Low), maybe(x.High)} }
	for k, axis := range s.Inputs {
		d.Inputs = append(d.Inputs, indexJSON{v.Axes[axis].Name, index(s.Found.First[k]), index(s.Found.Total[k])})
	}
	return d
}

func (v *Varied) optimumJSON(o *VariedOptimum) *optimumJSON {
	r := &v.Responses[o.Response]
	d := &optimumJSON{Response: r.Name, Met: o.Met, Tolerance: r.difference(o.Tolerance), Left: maybe(o.Left)}
	if o.Best >= 0 {
		n := o.Best + 1
		d.Best = &n
	}
	for k, room := range o.Rooms {
		x := &v.Axes[k]
		d.Rooms = append(d.Rooms, roomJSON{x.Name, x.on(room.Low), v.bound(room.LowEnd, room.LowWhat), x.on(room.High), v.bound(room.HighEnd, room.HighWhat)})
	}
	for _, p := range o.Prices {
		d.Prices = append(d.Prices, priceJSON{v.Constraints[p.Constraint].Text, maybe(p.PerUnit)})
	}
	if o.Over != nil {
		d.Over = &overJSON{r.difference(o.Over.By), r.difference(o.Over.U), r.difference(o.Over.Least), o.Over.Shown}
	}
	for _, y := range o.Course {
		d.Course = append(d.Course, r.on(y))
	}
	return d
}

// bound words what ends a room.
func (v *Varied) bound(by answer.Bound, what int) string {
	if by == answer.ByConstraint {
		return v.Constraints[what].Text
	}
	return by.String()
}

func (v *Varied) frontJSON(f *VariedFront) *frontJSON {
	d := &frontJSON{Variants: from1(f.Of)}
	at := func(places []int) (out []int) {
		for _, k := range places {
			out = append(out, f.Of[k]+1)
		}
		return out
	}
	for _, s := range f.Found.Standing {
		d.Standing = append(d.Standing, s.String())
	}
	d.Order = at(f.Found.Order)
	for _, g := range f.Found.Alike {
		d.Alike = append(d.Alike, at(g))
	}
	return d
}

func (v *Varied) paysJSON(p *VariedPays) *paysJSON {
	r, x := &v.Responses[p.Response], &v.Axes[p.Axis]
	d := &paysJSON{Axis: x.Name, Response: r.Name, Worth: r.difference(p.Worth), PaysTo: x.on(p.Found.PaysTo)}
	if p.Found.Stops {
		d.StopsAt = x.on(p.Found.StopsAt)
	}
	for _, g := range p.Found.Gains {
		d.Gains = append(d.Gains, gainJSON{x.on(g.From), x.on(g.To), r.difference(g.PerPass), r.difference(g.U), g.Pays.String()})
	}
	for _, c := range p.Control {
		d.Control = append(d.Control, controlJSON{x.on(c.At), r.on(c.Low), r.on(c.High)})
	}
	return d
}
