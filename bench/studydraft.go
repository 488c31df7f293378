package bench

import (
	"encoding/json"
	"fmt"
	"strings"
)

// StudyDraft is a study as it is set up by hand: which inputs are varied and how, what is read off each variant, what it
// has to meet, and, of a sweep, whether more of an axis still helps. Quantities are typed as in files, with their units.
type StudyDraft struct {
	Name string
	Run  string // the run file that is varied
	// Kind is "sweep" or "" for every combination of the axes' values, "sample" for draws between them, "search" for the best.
	Kind        string
	Axes        []DraftAxis
	Count       int  // of draws, or of variants of a search at the most
	Sensitivity bool // a sample tells each input's share of the scatter
	Aims        []DraftAim
	Responses   []DraftResponse
	Constraints []DraftConstraint
	Plateaus    []DraftPlateau
}

// DraftAxis is an input that is varied, from one value to another.
type DraftAxis struct {
	Name     string
	Paths    []string
	From, To string
	Count    int
	Ratio    bool   // from value to value by an equal ratio
	About    string // of a sample: a value with its ±, in the place of a range
}

// DraftAim is a response that a search wants to be the most or the least.
type DraftAim struct{ Response, Want string }

// DraftResponse is a number that is read off every variant.
type DraftResponse struct{ Name, Read string }

// DraftConstraint is a limit on a response; an empty text sets none.
type DraftConstraint struct{ Response, Below, Above string }

// DraftPlateau asks whether a response still changes over an axis by as much as the margin.
type DraftPlateau struct{ Response, Over, Margin string }

// YAML is the study's file. What is typed stands in it as it was typed: whether it can be read is for Check to say.
func (d *StudyDraft) YAML() []byte {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("schema: emberbank/1")
	line("kind: study")
	line("name: %s", yamlText(d.Name))
	line("run: %s", yamlText(d.Run))
	d.varies(line)
	line("\nresponses:")
	for _, r := range d.Responses {
		line("  - {name: %s, read: %s}", yamlText(r.Name), yamlText(r.Read))
	}
	if len(d.Constraints) > 0 {
		line("\nconstraints:")
	}
	for _, c := range d.Constraints {
		limits := ""
		if c.Below != "" {
			limits += ", below: " + yamlText(c.Below)
		}
		if c.Above != "" {
			limits += ", above: " + yamlText(c.Above)
		}
		line("  - {response: %s%s}", yamlText(c.Response), limits)
	}
	if len(d.Plateaus) > 0 {
		line("\nanswers:")
	}
	for _, p := range d.Plateaus {
		margin := ""
		if p.Margin != "" {
			margin = ", margin: " + yamlText(p.Margin)
		}
		line("  - {plateau: %s, over: %s%s}", yamlText(p.Response), yamlText(p.Over), margin)
	}
	return []byte(b.String())
}

// varies writes how the inputs are varied.
func (d *StudyDraft) varies(line func(format string, args ...any)) {
	switch d.Kind {
	case "sample":
		line("\nsample:\n  count: %d", d.Count)
		if d.Sensitivity {
			line("  sensitivity: yes")
		}
		line("  inputs:")
	case "search":
		line("\nsearch:\n  runs: %d\n  over:", d.Count)
	default:
		line("\nsweep:\n  axes:")
	}
	for _, a := range d.Axes {
		line("    - name: %s", yamlText(a.Name))
		var paths []string
		for _, p := range a.Paths {
			paths = append(paths, yamlText(p))
		}
		line("      path: [%s]", strings.Join(paths, ", "))
		switch {
		case d.Kind == "sample" && a.About != "":
			line("      about: %s", yamlText(a.About))
			continue
		case d.Kind == "sample":
			line("      between: [%s, %s]", yamlText(a.From), yamlText(a.To))
			continue
		}
		line("      from: %s\n      to: %s", yamlText(a.From), yamlText(a.To))
		if d.Kind != "search" {
			line("      count: %d", a.Count)
		}
		if a.Ratio {
			line("      steps: ratio")
		}
	}
	if d.Kind != "search" {
		return
	}
	line("  aims:")
	for _, a := range d.Aims {
		line("    - {response: %s, want: %s}", yamlText(a.Response), yamlText(a.Want))
	}
}

// yamlText writes a text so that it is read back as that text whatever it holds. Plain words stay plain.
func yamlText(s string) string {
	plain := s != "" && s[0] >= 'A' && s[len(s)-1] != ' '
	for _, r := range s {
		plain = plain && (r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r == ' ' || r == '-' || r == '.' || r == '/' || r >= '0' && r <= '9')
	}
	switch strings.ToLower(s) {
	case "true", "false", "yes", "no", "on", "off", "null", "y", "n":
		plain = false
	}
	if plain {
		return s
	}
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	_ = e.Encode(s) // a text always can
	return strings.TrimSpace(b.String())
}
