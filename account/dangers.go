package account

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"

	"emberbank/figure"
	"emberbank/heat"
	"emberbank/history"
)

// practice ends many a caution; the text says it once for all.
const practice = "Local codes and licensed practice decide."

// isTemperature tells whether a caution's value and limit are temperatures.
func isTemperature(kind string) bool {
	return slices.Contains([]string{
		heat.KindWetting, heat.KindFirstWater, heat.KindClosed, heat.KindSaturation, heat.KindTubeWall, heat.KindHotOutlet,
		heat.KindServiceLimit, heat.KindOxidation, heat.KindMoltenMetal, heat.KindTouch,
	}, kind)
}

// likewise tells whether cautions of a kind differ in place and value alone, and gives a value with its unit.
func likewise(c heat.Caution) (value string, is bool) {
	switch {
	case isTemperature(c.Kind):
		return figure.Number(c.Value-273.15, 0) + "\u00a0°C", true
	case c.Kind == heat.KindSteam:
		return fmt.Sprintf("%.2g\u00a0kg/h", 3600*c.Value), true
	case c.Kind == heat.KindBranch:
		return fmt.Sprintf("%.2g\u00a0%%", c.Value), true
	}
	return "", false
}

// Danger is a kind of caution.
type Danger struct {
	Text     string   // where it is worst
	Likewise string   // the other places with their numbers; nothing: there are none
	Kind     string   // one of the constants heat.Kind…
	At       float64  // s, when it first arises
	Places   []string // all of them, the worst first
}

// gathered is a kind of caution with all its places.
type gathered struct {
	worst  heat.Caution
	others []heat.Caution
}

// Dangers returns each kind of caution of a run once. They do not repeat the sentence that stands below all of them, which is
// DangersEnd.
func Dangers(cautions []heat.Caution) []Danger {
	var all []gathered
	for _, c := range cautions {
		k := -1
		_, merges := likewise(c)
		for i, d := range all {
			if d.worst.Kind == c.Kind && d.worst.Limit == c.Limit && d.worst.Source == c.Source && merges {
				k = i
			}
		}
		switch {
		case k < 0:
			all = append(all, gathered{worst: c})
		case c.Value > all[k].worst.Value:
			all[k].others = append(all[k].others, all[k].worst)
			all[k].worst = c
		default:
			all[k].others = append(all[k].others, c)
		}
	}
	// Notes on materials hold from the start and are long: what a person meets while working stands first.
	slices.SortStableFunc(all, func(a, b gathered) int {
		rank := map[string]int{heat.KindMaterial: 1}
		return rank[a.worst.Kind] - rank[b.worst.Kind]
	})
	out := make([]Danger, len(all))
	for i, d := range all {
		out[i] = d.words()
	}
	return out
}

// DangersEnd stands below all cautions.
const DangersEnd = practice + " This program is no design code."

func (d *gathered) words() (out Danger) {
	c := d.worst
	out = Danger{Text: note(c), Kind: c.Kind, At: c.At, Places: []string{c.Place}}
	for _, o := range d.others {
		out.At, out.Places = min(out.At, o.At), append(out.Places, o.Place)
	}
	said := []string{}
	if !strings.Contains(out.Text, strings.TrimPrefix(c.Place, "surface ")) {
		said = append(said, c.Place)
	}
	if c.At > 0 {
		said = append(said, moment(c.At))
	}
	switch {
	case c.Source == "":
	case c.Limit == 0:
		said = append(said, "source: "+c.Source)
	default:
		said = append(said, "limit: "+c.Source)
	}
	if len(said) > 0 {
		out.Text += " (" + strings.Join(said, "; ") + ")"
	}
	also := make([]string, len(d.others))
	for k, o := range d.others {
		value, _ := likewise(o)
		also[k] = o.Place + " " + value
		if o.At != c.At {
			also[k] += " " + moment(o.At)
		}
	}
	if len(also) > 0 {
		out.Likewise = "Likewise: " + strings.Join(also, ", ") + "."
	}
	return out
}

// cautions prints the dangers of a run.
func (p *page) cautions(r *heat.Result) {
	for i, d := range Dangers(r.Cautions) {
		if i == 0 {
			p.line("")
			p.line("Cautions")
		}
		p.paragraph("  ! ", d.Text)
		if d.Likewise != "" {
			p.paragraph("    ", d.Likewise)
		}
	}
	if len(r.Cautions) > 0 {
		p.paragraph("  ", DangersEnd)
	}
}

// note is a caution's text without the sentence that all share.
func note(c heat.Caution) string {
	return strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(c.Text), practice))
}

// Laid when a text first needs them: most runs have no doubts to sort.
var (
	recalled = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^(.+): from memory: (.+) \(uncertainty (±[^)]+)\); check against a data sheet$`)
	})
	numeral = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`\d+(\.\d+)?`) })
)

// warnings prints doubts: what is from memory in one entry, warnings that differ only in a number or a circuit's
// name once with their count.
func (p *page) warnings(r *heat.Result) {
	var circuits []string
	for _, c := range r.History.Columns {
		if name, leaves := strings.CutSuffix(c.Name, " outlet"); leaves && c.Quantity == history.Temperature && strings.HasPrefix(name, "circuit ") {
			circuits = append(circuits, name)
		}
	}
	like := func(s string) string {
		for _, name := range circuits {
			if at := strings.Index(s, name); at >= 0 {
				if rest := s[at+len(name):]; rest == "" || strings.ContainsRune(" :,;.", rune(rest[0])) {
					return numeral().ReplaceAllString(s[:at], "#") + "circuit #" + numeral().ReplaceAllString(rest, "#")
				}
			}
		}
		return numeral().ReplaceAllString(s, "#")
	}
	type doubt struct {
		text, like string
		more       int
	}
	var doubts []doubt
	var remembered []string
	for _, s := range r.Warnings {
		if m := recalled().FindStringSubmatch(s); m != nil {
			remembered = append(remembered, fmt.Sprintf("%s (%s, %s)", m[1], m[2], m[3]))
			continue
		}
		l := like(s)
		if k := slices.IndexFunc(doubts, func(d doubt) bool { return d.like == l }); k >= 0 {
			doubts[k].more++
			continue
		}
		doubts = append(doubts, doubt{text: s, like: l})
	}
	if len(remembered)+len(doubts) == 0 {
		return
	}
	p.line("")
	p.line("To be read with care")
	if len(remembered) > 0 {
		p.paragraph("  - ", "Values from memory, to be checked against data sheets: "+strings.Join(remembered, "; "))
	}
	for _, d := range doubts {
		s := d.text
		if d.more > 0 {
			s += fmt.Sprintf(" (and %d more like it: see summary.json)", d.more)
		}
		p.paragraph("  - ", s)
	}
}
