package account

import (
	"fmt"
	"io"
	"math"

	"emberbank/balance"
	"emberbank/figure"
)

// Comparison is one quantity of several trials, compared pair by pair.
type Comparison struct {
	Of         string // "cooling" or "heat to the water"; files are named after it
	Axes       balance.Axes
	Curves     []balance.Curve
	Agreements []balance.Agreement
}

// Compared is everything that a comparison of trials found.
type Compared struct {
	Title   string
	Shared  bool // the trials share their sensors
	All     []Comparison
	Lacking []string // what could not be compared, and why
	Maps    []Mapped // of all trials together
}

// WriteCompared puts the files of a comparison into the sink: agreements, pieces and curves as CSV and Parquet, the
// map of all trials together, report.txt, a picture for each quantity, and compare.json last.
func WriteCompared(sink Sink, r *Compared) error {
	var docs []document
	for _, one := range []struct {
		name string
		fill func(t *table) error
	}{
		{"agreements", func(t *table) error { return agreementTable(t, r) }},
		{"pieces", func(t *table) error { return pieceTable(t, r) }},
		{"curves", func(t *table) error { return curveTable(t, r) }},
	} {
		docs = append(docs, inBoth(one.name, one.fill)...)
	}
	docs = append(docs, document{"report.txt", func(w io.Writer) error { return ComparedText(w, r) }})
	for i := range r.All {
		q := &r.All[i]
		docs = append(docs, picture(fileOf(q.Of)+".svg", func() []byte { return comparedPicture(r.Title, q) }))
	}
	return setBeside(sink, docs, r.Title, r.Maps, document{"compare.json", func(w io.Writer) error { return writeJSON(w, comparedDocument(r)) }})
}

// setBeside puts the files of a comparison into the sink: the map of all that are compared before the last one.
func setBeside(sink Sink, docs []document, title string, maps []Mapped, last document) error {
	for i := range docs {
		if err := docs[i].into(sink); err != nil {
			return err
		}
	}
	if len(maps) > 0 {
		if err := WriteMaps(sink, title+": heat flow to the water", maps); err != nil {
			return err
		}
	}
	return last.into(sink)
}

// fileOf names the picture of a quantity.
func fileOf(of string) string {
	if of == "heat to the water" {
		return "heat-flow"
	}
	return of
}

// across converts a place on the axis of a comparison to what files show, and names it.
func across(a *balance.Axes, x float64) float64 {
	if a.XUnit == "K" {
		return math.Round((x-273.15)*1e9) / 1e9
	}
	return x
}

func acrossUnit(a *balance.Axes) string {
	if a.XUnit == "K" {
		return "degC"
	}
	return a.XUnit
}

// ComparedText prints a comparison for a terminal.
func ComparedText(w io.Writer, r *Compared) error {
	p := &page{}
	for i := range r.All {
		q := &r.All[i]
		for k := range q.Agreements {
			a := &q.Agreements[k]
			p.paragraph("", a.A+" and "+a.B+":")
			p.paragraph("  ", a.Sentence)
		}
		if len(q.Agreements) > 1 {
			_, _, s := balance.Worst(q.Agreements, q.Axes)
			p.paragraph("", "All together: "+s)
		}
	}
	for _, s := range r.Lacking {
		p.paragraph("", "Not compared: "+s+".")
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

// ComparedJSON is what compare prints with --json: the document of compare.json, with the folder of the results.
func ComparedJSON(r *Compared, results string) any {
	return append(object{{"results", results}}, comparedDocument(r)...)
}

func comparedDocument(r *Compared) object {
	agreements, quantities := []any{}, []any{}
	for i := range r.All {
		q := &r.All[i]
		quantities = append(quantities, object{{"of", q.Of}, {"over_unit", acrossUnit(&q.Axes)}, {"unit", q.Axes.Unit}})
		for k := range q.Agreements {
			a := &q.Agreements[k]
			agreements = append(agreements, object{
				{"of", q.Of},
				{"a", a.A},
				{"b", a.B},
				{"unit", q.Axes.Unit},
				{"agree_within", num(a.Bound)},
				{"differ_by_at_least", num(a.Least)},
				{"over_unit", acrossUnit(&q.Axes)},
				{"from", num(across(&q.Axes, a.From))},
				{"to", num(across(&q.Axes, a.To))},
				{"points", a.Points},
				{"independent_points", num(a.Worth)},
				{"memory", num(a.Memory)},
				{"pieces", listOf(a.Pieces, func(p balance.Piece) any {
					return object{
						{"from", num(across(&q.Axes, p.From))},
						{"to", num(across(&q.Axes, p.To))},
						{"b_less_a", num(p.Difference)},
						{"u", num(p.U)},
						{"degrees_of_freedom", num(p.DoF)},
						{"one_sided_half_width_95", num(p.Half)},
					}
				})},
				{"text", a.Sentence},
			})
		}
	}
	return object{
		{"schema", "emberbank/1"},
		{"kind", "comparison"},
		{"title", r.Title},
		{"shared_sensors", r.Shared},
		{"quantities", quantities},
		{"agreements", agreements},
		{"lacking", append([]string{}, r.Lacking...)},
	}
}

func (t *table) texts(all ...string) {
	for _, s := range all {
		t.text(s)
	}
}

func (t *table) numbers(all ...float64) {
	for _, v := range all {
		t.number(v)
	}
}

func agreementTable(t *table, r *Compared) error {
	t.texts("of", "a", "b", "unit", "agree within", "differ by at least", "over unit", "from", "to", "points [1]", "independent points [1]", "memory [1]", "widest gap at")
	t.end()
	for i := range r.All {
		q := &r.All[i]
		for k := range q.Agreements {
			a := &q.Agreements[k]
			t.texts(q.Of, a.A, a.B, q.Axes.Unit)
			t.numbers(a.Bound, a.Least)
			t.text(acrossUnit(&q.Axes))
			t.numbers(across(&q.Axes, a.From), across(&q.Axes, a.To), float64(a.Points), a.Worth, a.Memory, across(&q.Axes, a.Where))
			t.end()
		}
	}
	return t.flush()
}

func pieceTable(t *table, r *Compared) error {
	t.texts("of", "a", "b", "unit", "over unit", "from", "to", "b less a", "u", "degrees of freedom [1]", "one-sided half-width at 95 %")
	t.end()
	for i := range r.All {
		q := &r.All[i]
		for k := range q.Agreements {
			a := &q.Agreements[k]
			for _, p := range a.Pieces {
				t.texts(q.Of, a.A, a.B, q.Axes.Unit, acrossUnit(&q.Axes))
				t.numbers(across(&q.Axes, p.From), across(&q.Axes, p.To), p.Difference, p.U, p.DoF, p.Half)
				t.end()
			}
		}
	}
	return t.flush()
}

func curveTable(t *table, r *Compared) error {
	t.texts("of", "trial", "over unit", "over", "unit", "value")
	t.end()
	for i := range r.All {
		q := &r.All[i]
		for k := range q.Curves {
			c := &q.Curves[k]
			for j := range c.X {
				t.texts(q.Of, c.Name, acrossUnit(&q.Axes))
				t.number(across(&q.Axes, c.X[j]))
				t.text(q.Axes.Unit)
				t.number(c.Y[j])
				t.end()
			}
		}
	}
	return t.flush()
}

// comparedPicture draws one quantity.
func comparedPicture(title string, q *Comparison) []byte {
	over := figure.Over{Time: q.Axes.XUnit == "s", Unit: q.Axes.Unit, What: "Heat flow to the water over block temperature"}
	if q.Of == "cooling" {
		over.What = "Block above ambient over the time since the highest value that all have in common"
		if q.Axes.Absolute {
			over.What, over.Unit = "Block temperature over the time since the highest value that all have in common", "°C"
		}
	}
	const marks = 44
	var courses []figure.Course
	index := map[string]int{}
	for i := range q.Curves {
		c := &q.Curves[i]
		x, y := means(c.X, c.Y, marks)
		for k := range x {
			x[k] = across(&q.Axes, x[k])
			if over.Unit == "°C" {
				y[k] -= 273.15
			}
		}
		index[c.Name] = i
		courses = append(courses, figure.Course{Name: c.Name, X: x, Y: y})
	}
	var gaps []figure.Gap
	for i := range q.Agreements {
		a := &q.Agreements[i]
		g := figure.Gap{A: index[a.A], B: index[a.B], Bound: a.Bound, Least: a.Least}
		g.X, g.D = means(a.X, a.D, 2*marks)
		for k := range g.X {
			g.X[k] = across(&q.Axes, g.X[k])
		}
		for _, p := range a.Pieces {
			g.Pieces = append(g.Pieces, figure.GapPiece{From: across(&q.Axes, p.From), To: across(&q.Axes, p.To), Mean: p.Difference, Half: p.Half})
		}
		g.Says = []string{fmt.Sprintf("means agree within %s\u00a0%s", balance.AtMost(a.Bound), q.Axes.Unit)}
		if a.Least > 0 {
			g.Says = append(g.Says, fmt.Sprintf("means differ by at least %s\u00a0%s somewhere", balance.AtLeast(a.Least), q.Axes.Unit))
		} else {
			g.Says = append(g.Says, "not told apart")
		}
		gaps = append(gaps, g)
	}
	_, _, s := balance.Worst(q.Agreements, q.Axes)
	key := "Open marks: means of readings. Strokes: mean differences, tint: their 95\u00a0% (one-sided). Dashed: the bound within which the mean differences lie, all of them, with 95\u00a0% confidence; single readings may lie farther apart."
	return figure.Compare(title, []string{s, key}, over, courses, gaps)
}
