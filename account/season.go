package account

import (
	"io"
	"slices"
	"time"

	"emberbank/figure"
	"emberbank/season"
	"emberbank/yield"
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
	Yield   *yield.Report   // what it amounts to; nil: refused
	Version string
	Inputs  []Input
	Notes   []string
	Paths   []string  // of loss
	Marched float64   // s, of the season's march by the fast model; stands in performance.json alone
	Starts  time.Time // the first moment of its first day; zero: the duty does not say
}

// doubts are the notes, and what the model says of itself.
func (s *Season) doubts() []string { return append(slices.Clone(s.Notes), s.Model.Doubts...) }

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
			return writeJSON(w, object{{"wall_seconds", num(p.Wall)}, {"cpu_s", num(p.CPU)}, {"threads", p.Threads}, {"peak_memory_B", p.PeakMemory}, {"march_s", num(s.Marched)}, {"full_runs_kept_from_before", s.Model.Kept}})
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

// seasonSI is the unit of what is wanted and met in files.
func seasonSI(s *Season) string { return map[bool]string{true: "kg", false: "J"}[s.Steam] }

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
		unit := seasonSI(s)
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
	if s.Load {
		for _, h := range []string{"wanted", "met, fast", "met, full"} {
			t.text(h + " [" + seasonSI(s) + "]")
		}
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
		if s.Load {
			t.number(c.Full.Wanted)
			t.number(c.Fast.Met)
			t.number(c.Full.Met)
		}
		t.end()
	}
	return t.flush()
}
