package verify

import (
	"bytes"
	"context"
	"embed"
	"fmt"
	"math"
	"strings"
	"text/template"
	"time"

	"emberbank/bench"
	"emberbank/heat"
)

// files are the run files of the cases. Some are templates over a family of parameters: a file as documented with
// gaps for numbers.
//
//go:embed cases/*.yaml cases/seasons/*.yaml
var files embed.FS

// known is a case with a known answer: a run file and the rows that are read from its result, or rows that ask a
// function.
type known struct {
	topic, title string
	file         string // in cases/; "": no run
	fill         any    // for the gaps of the file; nil: it has none
	second       any    // the same for a second run, with which the first is compared; nil: there is none
	rows         []wanted

	first func(ctx context.Context) error // computes what rows ask of; nil: nothing
}

// wanted is a row before it is computed.
type wanted struct {
	name, unit, source, detail string
	expected, tolerance        float64
	means                      Means
	get                        func(o *outcome) float64 // o is nil where there is no run
}

// within wants a value to an absolute tolerance.
func within(name, unit string, expected, tolerance float64, get func(o *outcome) float64) wanted {
	return wanted{name: name, unit: unit, expected: expected, tolerance: tolerance, means: Absolute, get: get}
}

// near wants a value to a share of itself.
func near(name, unit string, expected, share float64, get func(o *outcome) float64) wanted {
	return wanted{name: name, unit: unit, expected: expected, tolerance: share, means: Relative, get: get}
}

// bound wants a value on one side of a bound.
func bound(name, unit string, means Means, limit float64, get func(o *outcome) float64) wanted {
	return wanted{name: name, unit: unit, expected: limit, means: means, get: get}
}

// from sets the source and a remark of every row that has none.
func from(source, detail string, rows ...wanted) []wanted {
	for i := range rows {
		if rows[i].source == "" {
			rows[i].source = source
		}
		if rows[i].detail == "" {
			rows[i].detail = detail
		}
	}
	return rows
}

// outcome is the result of a case's run.
type outcome struct {
	run    *bench.Run
	res    *heat.Result
	second *outcome // of the case's second run
}

// at returns a column's value at an output time, in SI; NaN where there is none.
func (o *outcome) at(column string, t float64) float64 {
	c := o.res.History.Column(column)
	if c == nil {
		return math.NaN()
	}
	for i, x := range o.res.History.Time {
		if math.Abs(x-t) <= 1e-9*math.Max(1, t) && i < len(c.Values) {
			return c.Values[i]
		}
	}
	return math.NaN()
}

// last returns a column's last value, in SI.
func (o *outcome) last(column string) float64 {
	c := o.res.History.Column(column)
	if c == nil || len(c.Values) == 0 {
		return math.NaN()
	}
	return c.Values[len(c.Values)-1]
}

// degC reads a column of temperatures at a time; lastDegC and lastValue read the last row.
func degC(column string, t float64) func(*outcome) float64 {
	return func(o *outcome) float64 { return o.at(column, t) - zero }
}

func lastDegC(column string) func(*outcome) float64 {
	return func(o *outcome) float64 { return o.last(column) - zero }
}

func lastValue(column string, factor float64) func(*outcome) float64 {
	return func(o *outcome) float64 { return factor * o.last(column) }
}

func valueAt(column string, t, factor float64) func(*outcome) float64 {
	return func(o *outcome) float64 { return factor * o.at(column, t) }
}

// asked is a row's value that needs no run.
func asked(f func() float64) func(*outcome) float64 { return func(*outcome) float64 { return f() } }

const zero = 273.15 // K, of 0 °C

// answer computes the case and judges its rows. Whatever goes wrong is said in the rows; a case that ctx stops gives
// none.
func (c *known) answer(ctx context.Context, clock func() time.Time) []Row {
	var began time.Time
	if clock != nil {
		began = clock()
	}
	var o *outcome
	var err error
	if c.first != nil {
		err = c.first(ctx)
	}
	if c.file != "" && err == nil {
		if o, err = c.compute(ctx, c.fill); err == nil && c.second != nil {
			o.second, err = c.compute(ctx, c.second)
		}
	}
	if ctx.Err() != nil {
		return nil // stopped on the way: neither agrees nor departs
	}
	out := make([]Row, len(c.rows))
	for i := range c.rows {
		w := &c.rows[i]
		r := Row{
			Name: w.name, Topic: c.topic, Source: w.source, Unit: w.unit, Expected: w.expected,
			Computed: math.NaN(), Tolerance: w.tolerance, Means: w.means, Detail: w.detail, FromRun: c.file != "",
		}
		if err != nil {
			r.Detail = strings.TrimSpace(r.Detail + "\n" + err.Error())
		} else {
			r.Computed = w.get(o)
		}
		r.judge()
		out[i] = r
	}
	if clock != nil {
		for i := range out {
			out[i].Seconds = clock().Sub(began).Seconds() / float64(len(out))
		}
	}
	return out
}

// compute reads the case's run file as a user's would be read, and computes it.
func (c *known) compute(ctx context.Context, fill any) (*outcome, error) {
	text, err := c.text(fill)
	if err != nil {
		return nil, err
	}
	run, problems := bench.LoadRun(oneFile{c.file, text}, c.file, bench.Options{})
	if problems.Failed() {
		return nil, fmt.Errorf("reading the case %s: %w", c.title, problems)
	}
	run.Problem.Threads = 1 // cases go side by side
	res, err := heat.Run(ctx, run.Problem)
	if err != nil {
		return nil, fmt.Errorf("computing the case %s: %w", c.title, err)
	}
	return &outcome{run: run, res: res}, nil
}

// text returns the run file with its gaps filled.
func (c *known) text(fill any) ([]byte, error) {
	raw, err := files.ReadFile("cases/" + c.file)
	if err != nil {
		return nil, fmt.Errorf("reading the case %s: %w", c.title, err)
	}
	if fill == nil {
		return raw, nil
	}
	t, err := template.New(c.file).Option("missingkey=error").Parse(string(raw))
	if err != nil {
		return nil, fmt.Errorf("reading the case %s: %w", c.title, err)
	}
	var b bytes.Buffer
	if err := t.Execute(&b, fill); err != nil {
		return nil, fmt.Errorf("filling the case %s: %w", c.title, err)
	}
	return b.Bytes(), nil
}
