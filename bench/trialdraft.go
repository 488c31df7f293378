package bench

import (
	"fmt"
	"strconv"
	"strings"

	"emberbank/trial"
)

// Drafted is one logger's file for a first description.
type Drafted struct {
	File  string // as the description names it
	Guess *trial.Guess
}

// DraftTrial writes a first description of a trial from what was guessed of its loggers, for a person to correct. How
// sure each guess is, and why, stands beside it as a comment.
func DraftTrial(name string, loggers []Drafted) string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("schema: %s", Version)
	line("kind: trial")
	line("# A first description, guessed from headings, units and values. Read every line and correct it:")
	line("#   sure     what the heading says and what the values do agree")
	line("#   likely   one of the two says so, and the other is not against it")
	line("#   guess    look at it: the two disagree, or there is little to go by")
	line("name: %s", quoteYAML(name))
	line("# receiver: receiver.yaml        # name it where there is one: sensors outside it are then told, and the balance closes")
	if zone := draftZone(loggers); zone != "" {
		line("%s", zone)
	}
	line("loggers:")
	taken := map[string]bool{}
	for _, l := range loggers {
		draftLogger(line, l, taken)
	}
	return b.String()
}

// draftZone asks for the zone where a clock shows dates.
func draftZone(loggers []Drafted) string {
	for _, l := range loggers {
		if l.Guess.Clock.Kind == trial.Parts || l.Guess.Clock.Kind == trial.DateTime {
			return `# zone: "+01:00"                # not known where the file's cells do not say it: give UTC, or the distance from it`
		}
	}
	return ""
}

func draftLogger(line func(string, ...any), l Drafted, taken map[string]bool) {
	g := l.Guess
	line("  - file: %s", quoteYAML(l.File))
	for _, n := range g.Notes {
		line("    # %s", oneLine(n))
	}
	line("    # %s: %s", g.ClockOK, oneLine(g.ClockHow))
	if c := draftClock(&g.Clock); c != "" {
		line("    clock: {%s}", c)
	}
	line("    # accuracy: 0.5 K              # the logger's own error of temperatures, half-width at 95 %%, which its channels share")
	line("    channels:")
	line("      # How well is each known? Add to it, for example, \"couple: K, class: 1\", \"uncertainty: 0.5 K\" or \"uncertainty: 2 %%\".")
	unique := map[string]int{}
	for _, c := range g.Columns {
		unique[strings.ToLower(c.Heading)]++
	}
	for _, c := range g.Columns {
		heading := c.Heading
		if heading == "" {
			heading = "without heading"
		}
		if c.Place == "" {
			line("      # left out: column %d, %s: %s", c.Number, oneLine(heading), oneLine(c.Why))
			continue
		}
		place := c.Place
		for n := 2; taken[place]; n++ {
			place = fmt.Sprintf("%s %d", c.Place, n)
			if rest, ok := strings.CutPrefix(c.Place, "circuit main"); ok {
				place = fmt.Sprintf("circuit main %d%s", n, rest)
			}
		}
		taken[place] = true
		ref := quoteYAML(c.Heading)
		if c.Heading == "" || unique[strings.ToLower(c.Heading)] > 1 {
			ref = strconv.Itoa(c.Number)
		}
		extra := ""
		if c.Unit != "" {
			extra = ", unit: " + c.Unit
		}
		if c.Hold {
			extra += ", hold: yes"
		}
		line("      # %s: %s", c.Sure, oneLine(c.Why))
		line("      - {column: %s, place: %s%s}", ref, quoteYAML(place), extra)
	}
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
