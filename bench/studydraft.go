package bench

import (
	"encoding/json"
	"fmt"
	"strings"
)

// StudyDraft is a study as it is set up by hand: a sweep over one or a few inputs, what is read off each variant, what it
// has to meet, and whether more of an axis still helps. Quantities are typed as in files, with their units.
type StudyDraft struct {
	Name        string
	Run         string // the run file that is varied
	Axes        []DraftAxis
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
	Ratio    bool // from value to value by an equal ratio
}

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
	line("\nsweep:\n  axes:")
	for _, a := range d.Axes {
		line("    - name: %s", yamlText(a.Name))
		var paths []string
		for _, p := range a.Paths {
			paths = append(paths, yamlText(p))
		}
		line("      path: [%s]", strings.Join(paths, ", "))
		line("      from: %s\n      to: %s\n      count: %d", yamlText(a.From), yamlText(a.To), a.Count)
		if a.Ratio {
			line("      steps: ratio")
		}
	}
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
