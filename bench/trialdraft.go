package bench

import (
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"

	"emberbank/history"
	"emberbank/trial"
)

// Drafted is one logger's file for a first description.
type Drafted struct {
	File  string // as the description names it
	Guess *trial.Guess
}

// DraftTrial writes a first description of a trial, to stand in the file called name, from what was guessed of its
// loggers, for a person to correct. How sure each guess is, and why, stands beside it as a comment.
//
// What it writes can be read: it is read here, with the loggers' files from fsys, and what is refused is left as a
// comment with the reason. Problems come where nothing is left.
func DraftTrial(fsys fs.FS, name, title string, loggers []Drafted) (string, Problems) {
	d := &draft{title: title, loggers: loggers, numbered: map[channelOf]bool{}, renamed: map[channelOf]string{}, refused: map[channelOf]string{}}
	d.years()
	d.nameSomething()
	for {
		d.write()
		_, problems := LoadTrial(Laid(fsys, name, []byte(d.b.String())), name, Options{})
		if !problems.Failed() {
			return d.b.String(), nil
		}
		if !d.refuse(name, problems) {
			return "", d.nothing()
		}
	}
}

// channelOf names a channel by logger and column of the guess; column -1 is the logger as a whole.
type channelOf struct{ logger, column int }

// draft is a description while it is written, and written anew without what was refused.
type draft struct {
	title    string
	loggers  []Drafted
	numbered map[channelOf]bool   // columns named by number, since the heading did not do
	renamed  map[channelOf]string // why its place is refused: it gets a name of its own
	refused  map[channelOf]string // why it is left out
	yearFrom []string             // by logger: the file whose year was taken; "" for none

	b     strings.Builder
	lines int
	at    map[int]channelOf // by line
	taken map[string]bool
}

func (d *draft) line(format string, args ...any) {
	fmt.Fprintf(&d.b, format+"\n", args...)
	d.lines++
}

// years takes the year of a clock without one from another logger of the trial.
func (d *draft) years() {
	d.yearFrom = make([]string, len(d.loggers))
	for i := range d.loggers {
		if d.loggers[i].Guess.Clock.FixedYear == 0 {
			continue
		}
		for _, o := range d.loggers {
			if o.Guess.Year > 0 {
				g := *d.loggers[i].Guess // the caller's stays
				g.Clock.FixedYear = o.Guess.Year
				d.loggers = slices.Clone(d.loggers)
				d.loggers[i].Guess, d.yearFrom[i] = &g, o.File
				break
			}
		}
	}
}

// nameSomething takes the columns of a logger in which nothing is known as what they are, numbers, to be corrected.
func (d *draft) nameSomething() {
	for i := range d.loggers {
		g := *d.loggers[i].Guess
		if slices.ContainsFunc(g.Columns, func(c trial.ColumnGuess) bool { return c.Place != "" }) {
			continue
		}
		g.Columns = slices.Clone(g.Columns)
		for k := range g.Columns {
			if c := &g.Columns[k]; quantityName(c.Quantity) != "" {
				c.Place, c.Role, c.Sure = fmt.Sprint("column ", c.Number), trial.Other, trial.Doubtful
				c.Why += ": say what it is, or take it out"
			}
		}
		d.loggers = slices.Clone(d.loggers)
		d.loggers[i].Guess = &g
	}
}

// nothing says that no description can be made of the files.
func (d *draft) nothing() Problems {
	var ps Problems
	for i, l := range d.loggers {
		why := d.refused[channelOf{i, -1}]
		ps = append(ps, Problem{File: l.File, Message: "no first description can be made of it: " + why, Fix: "write the description by hand, with clock, place and unit of each column"})
	}
	return ps
}

func (d *draft) write() {
	d.b.Reset()
	d.lines, d.at, d.taken = 0, map[int]channelOf{}, map[string]bool{}
	d.line("schema: %s", Version)
	d.line("kind: trial")
	d.line("# A first description, guessed from headings, units and values. Read every line and correct it:")
	d.line("#   sure     what the heading says and what the values do agree")
	d.line("#   likely   one of the two says so, and the other is not against it")
	d.line("#   guess    look at it: the two disagree, or there is little to go by")
	d.line("name: %s", quoteYAML(d.title))
	d.line("# receiver: receiver.yaml        # name it where there is one: sensors outside it are then told, and the balance closes")
	d.writeZone()
	d.line("loggers:")
	for i := range d.loggers {
		d.logger(i)
	}
}

// writeZone asks for the zone where a clock shows dates. Where some loggers say theirs and others do not, they can be
// joined only when it is given: the known one is taken.
func (d *draft) writeZone() {
	dates, open, zone, from := 0, 0, "", ""
	for i, l := range d.loggers {
		if _, out := d.refused[channelOf{i, -1}]; out || l.Guess.Clock.Kind != trial.Parts && l.Guess.Clock.Kind != trial.DateTime {
			continue
		}
		dates++
		switch {
		case l.Guess.Zone == "":
			open++
		case zone == "":
			zone, from = l.Guess.Zone, l.File
		}
	}
	switch {
	case open > 0 && zone != "":
		d.line(`zone: %s                     # guess: that of %s, taken for clocks whose cells do not say theirs`, quoteYAML(zone), oneLine(from))
	case open > 0:
		d.line(`# zone: "+01:00"                # not known where the file's cells do not say it: give UTC, or the distance from it`)
	}
}

func (d *draft) logger(i int) {
	l, g := d.loggers[i], d.loggers[i].Guess
	mark := "" // before what is refused
	if why, out := d.refused[channelOf{i, -1}]; out {
		d.line("  # refused as guessed: %s", oneLine(why))
		mark = "# "
	}
	first := d.lines + 1
	line := func(format string, args ...any) { d.line(mark+format, args...) }
	line("  - file: %s", quoteYAML(l.File))
	for _, n := range g.Notes {
		line("    # %s", oneLine(n))
	}
	how := g.ClockHow
	if from := d.yearFrom[i]; from != "" {
		how += "; the year is that of " + from
	}
	line("    # %s: %s", g.ClockOK, oneLine(how))
	if c := draftClock(&g.Clock); c != "" {
		line("    clock: {%s}", c)
	}
	line("    # accuracy: 0.5 K              # the logger's own error of temperatures, half-width at 95 %%, which its channels share")
	line("    channels:")
	line("      # How well is each known? Add to it, for example, \"couple: K, class: 1\", \"uncertainty: 0.5 K\" or \"uncertainty: 2 %%\".")
	for n := first; n <= d.lines; n++ {
		d.at[n] = channelOf{i, -1}
	}
	headed := map[string]int{}
	for _, c := range g.Columns {
		headed[strings.ToLower(c.Heading)]++
	}
	for k := range g.Columns {
		c := &g.Columns[k]
		heading := c.Heading
		if heading == "" {
			heading = "without heading"
		}
		if c.Place == "" {
			line("      # left out: column %d, %s: %s", c.Number, oneLine(heading), oneLine(c.Why))
			if c.Template != "" {
				line("      # - {column: %d, %s}  # %s", c.Number, c.Template, c.Hint)
			}
			continue
		}
		where := channelOf{i, k}
		ref := quoteYAML(c.Heading)
		if c.Heading == "" || headed[strings.ToLower(c.Heading)] > 1 || oneLine(c.Heading) != c.Heading || d.numbered[where] {
			ref = strconv.Itoa(c.Number)
		}
		why, out := d.refused[where]
		line("      # %s: %s", c.Sure, oneLine(c.Why))
		places, extra := append([]string{c.Place}, c.Also...), ""
		if reason, elsewhere := d.renamed[where]; elsewhere && !out {
			line("      # not taken as %q: %s", oneLine(c.Place), oneLine(reason))
			own := *c
			own.Role = trial.Other
			if c.Role != trial.Body {
				own.Place = fmt.Sprint("column ", c.Number)
			}
			c, places, extra = &own, []string{own.Place}, ", outside: yes"
		}
		for _, wanted := range places {
			text := fmt.Sprintf("- {column: %s, place: %s%s%s}", ref, quoteYAML(d.free(c, wanted, out)), draftExtra(c), extra)
			if out {
				line("      # refused as guessed: %s", oneLine(why))
				line("      # %s", text)
				continue
			}
			line("      %s", text)
			d.at[d.lines] = where
		}
	}
}

// draftExtra is what a channel needs beside column and place.
func draftExtra(c *trial.ColumnGuess) string {
	extra := ""
	if c.Quantity != history.Temperature && (c.Role == trial.Other || c.Role == trial.Body) {
		if q := quantityName(c.Quantity); q != "" && (c.Unit == "" || c.Quantity == history.Voltage || c.Quantity == history.Current) {
			extra += ", quantity: " + q
		}
	}
	if c.Unit != "" {
		extra += ", unit: " + c.Unit
	}
	if c.Hold {
		extra += ", hold: yes"
	}
	return extra
}

// free makes a place that no other channel has, and that means nothing else where it is a name of the file's own.
func (d *draft) free(c *trial.ColumnGuess, wanted string, refused bool) string {
	if c.Role == trial.Other || c.Role == trial.Body {
		switch wanted {
		case "ambient", "irradiance", "lamp power", "light", "wind", "source", "time", "stored", "melted", "absorbed", "heat to passes", "block max", "block mean":
			wanted = "measured " + wanted
		}
		if strings.HasPrefix(wanted, "circuit ") || strings.HasPrefix(wanted, "heater ") {
			wanted = "measured " + wanted
		}
	}
	place := wanted
	for n := 2; d.taken[place]; n++ {
		place = fmt.Sprintf("%s %d", wanted, n)
		if rest, ok := strings.CutPrefix(wanted, "circuit main"); ok {
			place = fmt.Sprintf("circuit main %d%s", n, rest)
		}
	}
	d.taken[place] = d.taken[place] || !refused
	return place
}

func draftClock(c *trial.Clock) string {
	var parts []string
	add := func(key string, r trial.Ref) {
		switch {
		case r.Number > 0:
			parts = append(parts, fmt.Sprintf("%s: %d", key, r.Number))
		case r.Heading != "":
			parts = append(parts, key+": "+quoteYAML(r.Heading))
		}
	}
	add("column", c.Column)
	add("time", c.Time)
	add("year", c.Year)
	add("month", c.Month)
	add("day", c.Day)
	add("day of year", c.DayOfYear)
	add("hour", c.Hour)
	add("minute", c.Minute)
	add("second", c.Second)
	add("hour-minute", c.HourMinute)
	if c.FixedYear > 0 {
		parts = append(parts, fmt.Sprintf("in year: %d", c.FixedYear))
	}
	switch c.Order {
	case trial.DayMonthYear:
		parts = append(parts, "order: day-month-year")
	case trial.MonthDayYear:
		parts = append(parts, "order: month-day-year")
	}
	if c.Kind == trial.Elapsed {
		for _, u := range []struct {
			word string
			s    float64
		}{{"ms", 1e-3}, {"s", 1}, {"min", 60}, {"h", 3600}, {"d", 86400}} {
			if u.s == c.Unit {
				parts = append(parts, "unit: "+u.word)
			}
		}
	}
	return strings.Join(parts, ", ")
}

// quoteYAML writes a text so that YAML reads it back as it is.
func quoteYAML(s string) string {
	plain := s != ""
	for i, c := range s {
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		if !letter && (i == 0 || !(c >= '0' && c <= '9' || c == ' ' || c == '-' || c == '_' || c == '.' || c == '/')) {
			plain = false
		}
	}
	switch strings.ToLower(s) {
	case "yes", "no", "true", "false", "on", "off", "null", "y", "n":
		plain = false
	}
	if plain && strings.TrimSpace(s) == s {
		return s
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\t", `\t`).Replace(oneLine(s)) + `"`
}

// oneLine keeps a text on its line.
func oneLine(s string) string {
	return strings.Map(func(c rune) rune {
		if c == '\n' || c == '\r' || c < ' ' && c != '\t' || c == 0x7f || c == 0xfffd || c >= 0x80 && c < 0xa0 || c == 0x2028 || c == 0x2029 || c == 0xfeff {
			return ' '
		}
		return c
	}, s)
}
