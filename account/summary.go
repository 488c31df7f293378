package account

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"

	"emberbank/block"
	"emberbank/figure"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/receiver"
	"emberbank/study"
)

// documents lists the files of a result but for the summary, in the order in which they are listed; maps may be nil.
func documents(r *heat.Result, info Info, maps []Mapped) ([]document, error) {
	chains := sync.OnceValue(func() []heat.Chain { return resisting(r.Chains) })
	docs := []document{
		{"history.csv", func(w io.Writer) error { return WriteCSV(w, &r.History) }},
		{"history.parquet", func(w io.Writer) error { return WriteParquet(w, &r.History) }},
		{"ledger.json", func(w io.Writer) error { return writeJSON(w, ledger(r)) }},
		{chainName + ".csv", func(w io.Writer) error { return chainTable(w, chains()) }},
		{chainName + ".parquet", func(w io.Writer) error { return chainParquet(w, chains()) }},
	}
	if len(r.Profiles) > 0 {
		docs = append(docs, inBoth("circuits", func(t *table) error { return circuitTable(t, r.Profiles) })...)
	}
	if maps != nil {
		docs = append(docs, inBoth("map", func(t *table) error { return mapTable(t, maps) })...)
	}
	if b := info.Uncertainty; b != nil {
		docs = append(docs, inBoth("history-half-width", func(t *table) error { return halfWidthTable(t, r.History.Time, b) })...)
	}
	seen := map[string]bool{}
	for _, f := range r.Fields {
		name := "fields/field-" + decimal(f.Time) + ".vtr"
		if seen[name] {
			return nil, fmt.Errorf("two fields are kept at %s s", decimal(f.Time))
		}
		seen[name] = true
		docs = append(docs, document{name, func(w io.Writer) error { return WriteField(w, r.Grid, r.Part, f) }})
	}
	docs = append(docs, pictures(r, info)...)
	if maps != nil {
		docs = append(docs, picture("pictures/map.svg", func() []byte { return mapPicture(info.Title+": heat flow to the water", maps) }))
	}
	docs = append(docs, document{performanceName, func(w io.Writer) error { return writeJSON(w, performance(r, info)) }})
	return docs, nil
}

// picture is a picture as a file.
func picture(name string, draw func() []byte) document {
	return document{name, func(w io.Writer) error {
		_, err := w.Write(draw())
		return err
	}}
}

// pictures lists the pictures: history, ledger, each field cut upright through the middle of the window (or of the
// block where there is none), and each circuit at the times of profiles.
func pictures(r *heat.Result, info Info) []document {
	svg := func(name string, draw func() []byte) document { return picture("pictures/"+name+".svg", draw) }
	docs := []document{svg("ledger", func() []byte { return figure.Ledger(r, info.Title, info.Colours) })}
	if !r.Ledger.Steady { // a steady state has no history to draw
		docs = append(docs, svg("history", func() []byte { return figure.History(r, info.Title) }))
	}
	if rec := info.Receiver; rec != nil && r.Grid != nil {
		at := throughWindow(rec)
		for _, f := range r.Fields {
			docs = append(docs, svg("section-"+decimal(f.Time), func() []byte { return figure.Section(r, rec, f, block.Width, at, info.Colours) }))
		}
	}
	for _, p := range drawn(r.Profiles) {
		docs = append(docs, svg("circuit-"+fileWord(r, p.Circuit)+"-"+decimal(p.Time), func() []byte { return figure.Circuit(p, info.Title, r.Ledger.Steady) }))
	}
	return docs
}

// throughWindow is the width at which a receiver is cut upright: through the middle of its window, or of the block where
// there is none.
func throughWindow(rec *receiver.Receiver) float64 {
	if w := rec.Window; w != nil {
		return (w.Opening.Min[block.Width] + w.Opening.Max[block.Width]) / 2
	}
	return (rec.Block.Min[block.Width] + rec.Block.Max[block.Width]) / 2
}

// mostTimes is at how many times circuits are drawn at the most; circuits.csv holds every one.
const mostTimes = 8

// drawn picks the profiles that are drawn: of circuits that hold water, all or those of mostTimes times from the first to
// the last.
func drawn(profiles []heat.Profile) []*heat.Profile {
	var times []float64
	for i := range profiles {
		if p := &profiles[i]; wet(p) && (len(times) == 0 || times[len(times)-1] != p.Time) {
			times = append(times, p.Time)
		}
	}
	chosen := map[float64]bool{}
	for k := range min(mostTimes, len(times)) {
		if len(times) > mostTimes {
			chosen[times[k*(len(times)-1)/(mostTimes-1)]] = true
		} else {
			chosen[times[k]] = true
		}
	}
	var all []*heat.Profile
	for i := range profiles {
		if p := &profiles[i]; chosen[p.Time] && wet(p) {
			all = append(all, p)
		}
	}
	return all
}

func wet(p *heat.Profile) bool { return p.State != "drained" && len(p.Places) > 0 }

// fileWord is a circuit's name as a part of a file's name: letters, digits and dashes; where that tells circuits no
// longer apart, with the circuit's number.
func fileWord(r *heat.Result, circuit string) string {
	plain := func(s string) string {
		return strings.Map(func(c rune) rune {
			if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_' {
				return c
			}
			return '-'
		}, s)
	}
	var circuits []string
	for i := range r.Profiles {
		if !slices.Contains(circuits, r.Profiles[i].Circuit) {
			circuits = append(circuits, r.Profiles[i].Circuit)
		}
	}
	word, number := plain(circuit), 0
	alike := 0
	for i, c := range circuits {
		if strings.EqualFold(plain(c), word) { // some systems do not tell capitals apart
			alike++
		}
		if c == circuit {
			number = i + 1
		}
	}
	if alike > 1 {
		return fmt.Sprintf("%s-%d", word, number)
	}
	return word
}

func writeJSON(w io.Writer, v any) error {
	b, err := indented(v)
	if err != nil {
		return err
	}
	_, err = bytes.NewReader(b).WriteTo(w)
	return err
}

func writeSummary(w io.Writer, r *heat.Result, info Info, files []string) error {
	return writeJSON(w, summary(r, info, files))
}

// summary is what summary.json holds: the run in one page, for people and scripts.
func summary(r *heat.Result, info Info, files []string) object {
	l := &r.Ledger
	u := amountUnit(r)
	o := object{
		{"schema", "emberbank/1"},
		{"kind", "summary"},
		{"title", info.Title},
		{"version", info.Version},
		{"kernel", info.Kernel},
		{"cells", r.Cells},
		{"steps", r.Steps},
		{"steps_rejected", r.Rejected},
		{"stages", r.Stages},
		{"wall_seconds", num(info.Performance.Wall)},
		{"pace", pace(r, info.Performance)},
		{"ledger_residual", num(r.Residual)},
		{"ended_s", num(r.Ended)},
		{"whole", !info.Interrupted}, // also where a rule of the duty ended it
		{"stopped", r.Stopped},
		{"ledger", object{
			{"absorbed" + u, num(l.Absorbed)},
			{"glass" + u, num(l.Glass)},
			{"electric" + u, num(l.Electric)},
			{"generated" + u, num(l.Generated)},
			{"stored" + u, num(l.Stored)},
			{"latent" + u, num(l.Latent)},
			{"to_passes" + u, num(l.ToPasses)},
			{"carried" + u, num(l.Carried)},
			{"lost" + u, num(l.Lost)},
			{"left_over" + u, num(l.Residual)},
		}},
		{"start", row(&r.History, 0)},
		{"end", row(&r.History, len(r.History.Time)-1)},
		{"warnings", listOf(r.Warnings, func(s string) any { return s })},
		{"cautions", listOf(r.Cautions, caution)},
		{"events", listOf(r.Events, func(m heat.Mark) any { return object{{"at_s", num(m.At)}, {"what", m.What}} })},
	}
	if !l.Steady { // what left by the tubes
		o = append(o, member{"left", listOf(r.Left, func(l heat.Left) any {
			return object{{"circuit", l.Circuit}, {"water_kg", num(l.Water)}, {"steam_kg", num(l.Steam)}}
		})})
	}
	if v := info.Opened; v != nil {
		o = append(o, member{"variant", object{
			{"study", v.Study},
			{"number", v.Number},
			{"key", v.Key},
			{"settings", listOf(v.Settings, func(s string) any { return s })},
			{"history_as_kept", v.Same},
			{"said", listOf(v.Said, func(s string) any { return s })},
		}})
	}
	if info.Yield != nil {
		o = append(o, member{"yield", yields(info.Yield)})
	}
	if info.Circuits != nil {
		o = append(o, member{"circuits_open", circuitsOpen(info.Circuits)})
	}
	if info.Receiver != nil && len(r.Fields) > 0 { // what the numbers in the fields stand for
		number := -1
		o = append(o, member{"parts", listOf(info.Receiver.Parts, func(p receiver.Part) any {
			number++
			return object{{"part", number}, {"name", p.Name}, {"role", p.Role.String()}}
		})})
	}
	if len(r.Fillings) > 0 {
		o = append(o, member{"fillings", listOf(r.Fillings, func(f heat.Filling) any {
			return object{{"circuit", f.Circuit}, {"from_s", num(f.From)}, {"to_s", num(f.To)}}
		})})
	}
	if info.Accuracy != nil {
		o = append(o, member{"accuracy", accuracy(r, info.Accuracy)})
	}
	if info.Uncertainty != nil {
		o = append(o, member{"uncertainty", uncertainty(r, info.Uncertainty)})
	}
	return append(o,
		member{"inputs", listOf(info.Inputs, func(i Input) any { return object{{"file", i.Name}, {"sha256", i.SHA256}} })},
		member{"sources", listOf(info.Sources, func(s Source) any {
			return object{{"of", s.Of}, {"source", s.Text}, {"from_memory", s.FromMemory}}
		})},
		member{"files", listOf(files, func(s string) any { return s })},
	)
}

// listOf makes a JSON list that is [] and never null.
func listOf[T any](items []T, each func(T) any) []any {
	list := make([]any, 0, len(items))
	for _, i := range items {
		list = append(list, each(i))
	}
	return list
}

// row is the history at one output time, keys made of the columns' names.
func row(h *history.History, t int) object {
	o := object{}
	if t < 0 || t >= len(h.Time) {
		return o
	}
	o = append(o, member{"time_s", num(h.Time[t])})
	for _, c := range h.Columns {
		o = append(o, member{withUnit(c.Name, c.Quantity), num(shown(c.Quantity, c.Values[t]))})
	}
	return o
}

// caution gives a danger's numbers in degC where its kind is about temperatures.
func caution(c heat.Caution) any {
	o := object{{"kind", c.Kind}, {"place", c.Place}, {"at_s", num(c.At)}, {"text", c.Text}}
	switch {
	case c.Kind == heat.KindMaterial: // no limit is compared
	case isTemperature(c.Kind):
		o = append(o, member{"value_degC", num(shown(history.Temperature, c.Value))}, member{"limit_degC", num(shown(history.Temperature, c.Limit))})
	case c.Kind == heat.KindLight, c.Kind == heat.KindFlux:
		o = append(o, member{"value_W_per_m2", num(c.Value)}, member{"limit_W_per_m2", num(c.Limit)})
	case c.Kind == heat.KindSteam:
		o = append(o, member{"value_kg_per_s", num(c.Value)})
	case c.Kind == heat.KindFull:
		o = append(o, member{"value_Pa", num(c.Value)}, member{"limit_Pa", num(c.Limit)})
	case c.Kind == heat.KindChoke:
		o = append(o, member{"value_m_per_s", num(c.Value)}, member{"limit_m_per_s", num(c.Limit)})
	default:
		o = append(o, member{"value_SI", num(c.Value)}, member{"limit_SI", num(c.Limit)})
	}
	return append(o, member{"source", c.Source})
}

// amountUnit ends the keys of a ledger's amounts: energies, or heat flow rates of a steady state.
func amountUnit(r *heat.Result) string {
	if r.Ledger.Steady {
		return "_W"
	}
	return "_J"
}

// ledger is what ledger.json holds.
func ledger(r *heat.Result) object {
	l := &r.Ledger
	u := amountUnit(r)
	amount := "energy_J"
	if l.Steady {
		amount = "heat_flow_W"
	}
	shares := func(s []heat.Share) []any {
		return listOf(s, func(s heat.Share) any { return object{{"name", s.Name}, {amount, num(s.Amount)}} })
	}
	return object{
		{"steady", l.Steady},
		{"ended_s", num(r.Ended)},
		{"absorbed" + u, num(l.Absorbed)},
		{"glass" + u, num(l.Glass)},
		{"electric" + u, num(l.Electric)},
		{"generated" + u, num(l.Generated)},
		{"stored" + u, num(l.Stored)},
		{"stored_by", shares(l.StoredBy)},
		{"latent" + u, num(l.Latent)},
		{"to_passes" + u, num(l.ToPasses)},
		{"by_pass", shares(l.ByPass)},
		{"carried" + u, num(l.Carried)},
		{"by_circuit", shares(l.ByCircuit)},
		{"lost" + u, num(l.Lost)},
		{"by_path", shares(l.ByPath)},
		{"left_over" + u, num(l.Residual)},
		{"ledger_residual", num(r.Residual)},
	}
}

// pace is what summary.json says of the machine's pace. It and wall_seconds are all in there that differs from one
// run of the same inputs to the next.
func pace(r *heat.Result, p Performance) object {
	return object{
		{"note", "differs from run to run, as wall_seconds does"},
		{"cpu_seconds", num(p.CPU)},
		{"cell_steps_per_s", num(p.rate(r.Cells, r.Steps))},
		{"cell_stages_per_s", num(p.rate(r.Cells, r.Stages))},
		{"peak_memory_B", p.PeakMemory},
		{"threads", p.Threads},
	}
}

// rate is how often per second something was done with a cell.
func (p Performance) rate(cells, times int) float64 {
	if p.Wall <= 0 {
		return 0
	}
	return float64(cells) * float64(times) / p.Wall
}

// performance is what performance.json holds: everything that the machine's pace decides.
func performance(r *heat.Result, info Info) object {
	p := info.Performance
	return object{
		{"wall_seconds", num(p.Wall)},
		{"cpu_s", num(p.CPU)},
		{"threads", p.Threads},
		{"kernel", info.Kernel},
		{"cells", r.Cells},
		{"steps", r.Steps},
		{"steps_rejected", r.Rejected},
		{"stages", r.Stages},
		{"cell_steps_per_s", num(p.rate(r.Cells, r.Steps))},
		{"cell_stages_per_s", num(p.rate(r.Cells, r.Stages))},
		{"peak_memory_B", p.PeakMemory},
	}
}

func accuracy(r *heat.Result, c *study.Convergence) object {
	return object{
		{"grids", listOf(c.Levels, func(l study.Level) any {
			return object{{"cells", l.Cells}, {"lines", l.Lines}, {"ratio", num(l.Ratio)}, {"tolerance_K", num(l.Tolerance)}, {"steps", l.Steps}, {"ledger_residual", num(l.Residual)}}
		})},
		{"quantities", listOf(c.Quantities, func(q study.QuantityEstimate) any {
			u := q.Quantity.Unit(&r.History)
			return object{
				{"name", q.Quantity.Name},
				{"verdict", string(q.Verdict)},
				{withUnit("values", u), listOf(q.Values[:], func(v float64) any { return num(shown(u, v)) })},
				{widthUnit("spread", u), num(q.Spread)},
				{"order", num(q.Order)},
				{withUnit("extrapolated", u), num(shown(u, q.Extrapolated))},
				{widthUnit("finest_grid_convergence_index", u), num(q.FineBand)},
				{widthUnit("this_grid_convergence_index", u), num(q.BaseBand)},
			}
		})},
		{"notes", listOf(c.Notes, func(s string) any { return s })},
	}
}

func uncertainty(r *heat.Result, b *study.Bands) object {
	return object{
		{"runs", b.Runs},
		{"results", listOf(b.Responses, func(q study.Response) any {
			u := q.Quantity.Unit(&r.History)
			return object{
				{"name", q.Quantity.Name},
				{withUnit("value", u), num(shown(u, q.Value))},
				{widthUnit("half_width_95", u), num(q.Half)},
				{"inputs", listOf(q.Parts, func(p study.Part) any {
					return object{{"input", p.Path}, {widthUnit("effect", u), num(p.Effect)}, {"share", num(p.Share)}}
				})},
			}
		})},
		{"notes", listOf(b.Notes, func(s string) any { return s })},
	}
}
