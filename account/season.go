package account

import (
	"fmt"
	"io"
	"math"

	"emberbank/figure"
	"emberbank/season"
)

// Season is a season that was computed, with what its model does not know.
type Season struct {
	Name    string
	Steam   bool   // the load is one of steam, and what is wanted and met is kg
	Load    bool   // anything is wanted at all
	Refused string // why the model does not answer; "" where it does: then there is no outcome
	Days    int    // of the season
	Model   *season.Model
	Outcome *season.Outcome // nil: refused
	Version string
	Inputs  []Input
	Notes   []string
	Paths   []string // of loss
}

// WriteSeason puts all files of a season into the sink: the history and the days' books as CSV and Parquet, the days on which
// the model was held against the full one, the calendar, the report as text, and season.json last. A model that refuses leaves
// no history and no days.
func WriteSeason(sink Sink, s *Season, p Performance) error {
	docs := inBoth("apart", func(t *table) error { return seasonChecks(t, s) })
	if s.Outcome != nil {
		docs = append(docs, document{"history.csv", func(w io.Writer) error { return WriteCSV(w, &s.Outcome.History) }})
		docs = append(docs, document{"history.parquet", func(w io.Writer) error { return WriteParquet(w, &s.Outcome.History) }})
		docs = append(docs, inBoth("days", func(t *table) error { return seasonDays(t, s) })...)
		docs = append(docs, picture("pictures/calendar.svg", func() []byte { return seasonCalendar(s) }))
	}
	docs = append(docs, []document{
		{"report.txt", func(w io.Writer) error { return SeasonText(w, s) }},
		{performanceName, func(w io.Writer) error {
			return writeJSON(w, object{{"wall_seconds", num(p.Wall)}, {"cpu_s", num(p.CPU)}, {"threads", p.Threads}, {"peak_memory_B", p.PeakMemory}})
		}},
		{"season.json", func(w io.Writer) error { return writeJSON(w, SeasonDocument(s)) }},
	}...)
	for i := range docs {
		if err := docs[i].into(sink); err != nil {
			return err
		}
	}
	return nil
}

// seasonUnit is the unit of what is wanted and met, and how many of SI it holds.
func seasonUnit(s *Season) (string, float64) {
	if s.Steam {
		return "kg", 1
	}
	return "kWh", kWh
}

// kWh in J.
const kWh = 3.6e6

func seasonCalendar(s *Season) []byte {
	unit, per := seasonUnit(s)
	var days []figure.CalendarDay
	for i := range s.Outcome.Days {
		d := &s.Outcome.Days[i]
		one := figure.CalendarDay{Wanted: d.Wanted, Met: d.Met}
		if !s.Load {
			one.Met, unit, per = d.Delivered, "kWh", kWh
		}
		days = append(days, one)
	}
	return figure.Calendar(s.Name+": day by day", s.Load, unit, per, days)
}

func seasonDays(t *table, s *Season) error {
	for _, h := range []string{"day", "absorbed [J]", "in glass [J]", "electric [J]", "delivered [J]", "steam [kg]", "lost [J]", "stored [J]"} {
		t.text(h)
	}
	for _, path := range s.Paths {
		t.text("lost " + path + " [J]")
	}
	if s.Load {
		unit := map[bool]string{true: "kg", false: "J"}[s.Steam]
		for _, h := range []string{"wanted [" + unit + "]", "met [" + unit + "]", "short [s]"} {
			t.text(h)
		}
	}
	for _, h := range []string{"block mean first [degC]", "block mean highest [degC]", "block mean lowest [degC]", "melted most [1]"} {
		t.text(h)
	}
	t.end()
	for i := range s.Outcome.Days {
		d := &s.Outcome.Days[i]
		for _, v := range []float64{float64(d.Day + 1), d.Absorbed, d.Glass, d.Electric, d.Delivered, d.Steam, d.Lost, d.Stored} {
			t.number(v)
		}
		for _, v := range d.ByPath {
			t.number(v)
		}
		if s.Load {
			t.number(d.Wanted)
			t.number(d.Met)
			t.number(d.Short)
		}
		t.number(celsiusOf(d.First))
		t.number(celsiusOf(d.Warmest))
		t.number(celsiusOf(d.Coldest))
		t.number(d.Melted)
		t.end()
	}
	return t.flush()
}

func seasonChecks(t *table, s *Season) error {
	for _, h := range []string{
		"day", "heat of the day [J]", "delivered, fast [J]", "delivered, full [J]", "lost, fast [J]", "lost, full [J]", "stored, fast [J]", "stored, full [J]",
		"off by [1]", "most off", "block mean over an hour off by [K]", "block mean off by, rms [K]", "block mean off by at any row [K]", "block mean lowest [degC]", "block mean highest [degC]", "melted most [1]", "what it held",
	} {
		t.text(h)
	}
	t.end()
	for i := range s.Model.Checks {
		c := &s.Model.Checks[i]
		t.text(c.Day)
		for _, v := range []float64{c.Heat, c.Fast.Delivered, c.Full.Delivered, c.Fast.Lost, c.Full.Lost, c.Fast.Stored, c.Full.Stored, c.Off} {
			t.number(v)
		}
		t.text(c.Worst)
		for _, v := range []float64{c.Mean, c.Spread, c.Peak, celsiusOf(c.Blocks[0]), celsiusOf(c.Blocks[1]), c.Melted[1]} {
			t.number(v)
		}
		t.text(c.Told())
		t.end()
	}
	return t.flush()
}

// SeasonText prints a season for a terminal: what it comes to, where the heat went, and how far the fast model is to be
// trusted.
func SeasonText(w io.Writer, s *Season) error {
	p := &page{}
	p.paragraph("", s.Name)
	p.line("")
	p.paragraph("", SeasonSentence(s))
	if s.Outcome != nil {
		seasonBooks(p, s)
	}
	seasonTrust(p, s)
	for _, n := range s.Notes {
		p.paragraph("  - ", n)
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

// energy shows an amount in kWh.
func energy(J float64) string {
	d := 0
	if x := math.Abs(J) / kWh; x < 10 {
		d = 2
	} else if x < 1000 {
		d = 1
	}
	return figure.Number(J/kWh, d) + "\u00a0kWh"
}

// SeasonSentence is what a season comes to in a sentence or two.
func SeasonSentence(s *Season) string {
	if s.Outcome == nil {
		return "The fast model refuses to answer: " + s.Refused + "."
	}
	b := &s.Outcome.Whole
	off := fmt.Sprintf("on %d days apart the fast model was off by %.1f\u00a0%% of a day's heat and %.1f\u00a0K at the most", len(s.Model.Checks), 100*s.Model.Worst().Off, s.Model.Worst().Mean)
	if !s.Load {
		return fmt.Sprintf("In %d days the water carries off %s; %s.", s.Days, energy(b.Delivered), off)
	}
	full := 0
	for i := range s.Outcome.Days {
		if d := &s.Outcome.Days[i]; d.Wanted > 0 && d.Met >= 0.98*d.Wanted {
			full++
		}
	}
	asked := 0
	for i := range s.Outcome.Days {
		if s.Outcome.Days[i].Wanted > 0 {
			asked++
		}
	}
	what := "heat"
	if s.Steam {
		what = "steam"
	}
	return fmt.Sprintf("%.0f\u00a0%% of the %s that is wanted in %d days is met, all of it on %d of %d days; %s.", 100*b.Met/math.Max(b.Wanted, 1e-300), what, s.Days, full, asked, off)
}

func seasonBooks(p *page, s *Season) {
	b := &s.Outcome.Whole
	p.line("")
	p.line("Where the heat went")
	row := func(name string, v float64) { p.row(name, 34, right(energy(v), 16)) }
	row("absorbed by block and glass", b.Absorbed+b.Glass)
	if b.Electric != 0 {
		row("electric", b.Electric)
	}
	row("carried off by the water", b.Delivered)
	for i, path := range s.Paths {
		row("lost "+path, b.ByPath[i])
	}
	row("stored", b.Stored)
	row("left over", b.Residual)
	if s.Load {
		unit, per := seasonUnit(s)
		p.row("wanted", 34, right(figure.Number(b.Wanted/per, 0)+"\u00a0"+unit, 16))
		p.row("met", 34, right(figure.Number(b.Met/per, 0)+"\u00a0"+unit, 16))
	}
}

// seasonTrust says from what the model was built and how far it is off.
func seasonTrust(p *page, s *Season) {
	m := s.Model
	p.line("")
	p.paragraph("", fmt.Sprintf("The fast model has %d nodes and was built from %d runs of the full one, days %s among them.", len(m.Nodes), m.Runs, listed(m.Built)))
	p.line("%s%s%s%s  %s", left("Day apart", 16), right("heat off", 10), right("mean off", 10), right("heat", 12), "what it held")
	for i := range m.Checks {
		c := &m.Checks[i]
		p.line("%s%s%s%s  %s", left(c.Day, 16), right(fmt.Sprintf("%.1f %%", 100*c.Off), 10), right(fmt.Sprintf("%.1f K", c.Mean), 10), right(energy(c.Heat), 12), c.Told())
		if !c.Passes(m.Allowed) {
			p.line("%s%s", left("", 16), "more than is allowed")
		}
	}
	p.paragraph("  ", fmt.Sprintf("Off: the largest error of heat delivered, lost and stored, as a share of the day's heat (of what warms the receiver by %.3g K, on a day with less); the largest error of the block's mean over an hour (apart.csv has the largest at any row: a rule that switches some minutes earlier). Allowed are %.3g %% and %.3g K.", m.Allowed.Mean, 100*m.Allowed.Heat, m.Allowed.Mean))
	p.paragraph("  ", fmt.Sprintf("It knows the block's mean from %s to %s.", celsius(m.Reach.Mean[0]), celsius(m.Reach.Mean[1])))
}

// listed joins names, of days by their numbers.
func listed(names []string) string {
	out := ""
	for i, n := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			out += " and "
		default:
			out += ", "
		}
		if len(n) > 4 && n[:4] == "day " {
			n = n[4:]
		}
		out += n
	}
	return out
}

// SeasonDocument is season.json.
func SeasonDocument(s *Season) any {
	m := s.Model
	doc := object{
		{"name", s.Name}, {"version", s.Version}, {"answers", s.Outcome != nil}, {"sentence", SeasonSentence(s)}, {"days", s.Days},
	}
	if s.Refused != "" {
		doc = append(doc, member{"refused", s.Refused})
	}
	if s.Outcome != nil {
		doc = append(doc, member{"season", seasonWhole(s)})
	}
	return append(doc, object{
		{"model", object{
			{"nodes", m.Nodes},
			{"full_runs", m.Runs},
			{"built_from", m.Built},
			{"allowed", object{{"heat", num(m.Allowed.Heat)}, {"block_mean_K", num(m.Allowed.Mean)}}},
			{"block_mean_known_degC", []any{num(celsiusOf(m.Reach.Mean[0])), num(celsiusOf(m.Reach.Mean[1]))}},
			{"factors", listOf(m.Factors, func(f season.Factor) any { return object{{"of", f.Of}, {"factor", num(f.Value)}} })},
		}},
		{"apart", listOf(m.Checks, func(c season.Check) any {
			return object{
				{"day", c.Day},
				{"heat_J", num(c.Heat)},
				{"heat_off", num(c.Off)},
				{"most_off", c.Worst},
				{"block_mean_over_an_hour_off_K", num(c.Mean)},
				{"block_mean_off_rms_K", num(c.Spread)},
				{"block_mean_off_any_row_K", num(c.Peak)},
				{"held", c.Told()},
				{"passes", c.Passes(m.Allowed)},
			}
		})},
		{"notes", listOf(s.Notes, func(n string) any { return n })},
		{"inputs", listOf(s.Inputs, func(i Input) any { return object{{"name", i.Name}, {"sha256", i.SHA256}} })},
	}...)
}

// seasonWhole is the season's books.
func seasonWhole(s *Season) object {
	b := &s.Outcome.Whole
	paths := object{}
	for i, path := range s.Paths {
		paths = append(paths, member{path, num(b.ByPath[i])})
	}
	whole := object{
		{"absorbed_J", num(b.Absorbed)},
		{"glass_J", num(b.Glass)},
		{"electric_J", num(b.Electric)},
		{"generated_J", num(b.Generated)},
		{"delivered_J", num(b.Delivered)},
		{"steam_kg", num(b.Steam)},
		{"lost_J", num(b.Lost)},
		{"lost_by_path_J", paths},
		{"stored_J", num(b.Stored)},
		{"residual_J", num(b.Residual)},
	}
	if s.Load {
		unit := map[bool]string{true: "kg", false: "J"}[s.Steam]
		whole = append(whole, member{"wanted_" + unit, num(b.Wanted)}, member{"met_" + unit, num(b.Met)}, member{"short_s", num(b.Short)})
	}
	return whole
}
