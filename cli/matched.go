package cli

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/heat"
)

// matched is the outcome of an earlier match that a run takes its parameters from.
type matched struct {
	path    string
	match   account.MatchJSON
	options bench.Options
}

// readMatched reads match.json from a match's results folder, or the file itself. An empty name gives none.
func readMatched(name string) (*matched, error) {
	if name == "" {
		return nil, nil
	}
	m := &matched{path: name}
	if !isFile(name) {
		m.path = filepath.Join(name, "match.json")
	}
	raw, err := os.ReadFile(m.path)
	if err != nil {
		return nil, &failure{code: ExitInput, message: "reading the match " + name, err: err, hint: "name the results folder of emberbank match"}
	}
	if err := json.Unmarshal(raw, &m.match); err != nil || m.match.Schema != account.MatchSchema {
		return nil, &failure{code: ExitInput, message: m.path + " is not the result of a match", hint: "name the results folder of emberbank match"}
	}
	if m.match.Unfinished {
		return nil, &failure{code: ExitInput, message: m.path + " is of a match that was stopped", hint: "let emberbank match end: started again, it goes on from there"}
	}
	m.options = bench.Options{Override: map[string]float64{}, Factor: map[string]float64{}, Half: map[string]float64{}}
	for _, p := range m.match.Parameters {
		if len(p.Trials) > 0 { // it belongs to those trials, not to the receiver
			continue
		}
		half, found := halfOf(&p)
		var known []string
		for _, path := range p.Paths {
			if p.Factor {
				m.options.Factor[path] = p.Value
				known = append(known, bench.FactorPath(path))
			} else {
				m.options.Override[path] = p.Value
				known = append(known, path)
			}
		}
		switch {
		case !found:
		case len(known) > 1: // one number for all of them
			m.options.Joins("parameter "+p.Name, half, known...)
		case len(known) == 1:
			m.options.Half[known[0]] = half
		}
	}
	return m, nil
}

// halfOf is how well a parameter is known, as a half-width at 95 %: the wider side of its interval, with what its runs' grid puts
// in where that was found.
func halfOf(p *account.MatchedJSON) (half float64, found bool) {
	for _, ends := range [][2]*float64{{p.LowerAll, p.UpperAll}, {p.Lower, p.Upper}} {
		if ends[0] != nil && ends[1] != nil {
			return max(p.Value-*ends[0], *ends[1]-p.Value), true
		}
	}
	return 0, false
}

// changes are the inputs that the match sets, with overrides of the caller's own.
func (m *matched) changes() bench.Options {
	if m == nil {
		return bench.Options{}
	}
	all := m.options
	all.Override = maps.Clone(all.Override)
	return all
}

// withMore are changes with the overrides of a study on top of what they make of the files' numbers.
func withMore(base bench.Options, more map[string]float64) bench.Options {
	if len(more) == 0 {
		return base
	}
	all, under := base, base
	all.Override, all.Factor, all.Half, all.Alike, all.Under = more, nil, nil, nil, &under
	return all
}

// notes say of a study with the match's parameters what holds for all its variants.
func (m *matched) notes() (out []string) {
	if m == nil {
		return nil
	}
	out = append(out, fmt.Sprintf("with the parameters of the match %s, and their intervals where uncertainty is carried, each by itself; whether a run leaves the envelope in which that was tried, emberbank run --match says", m.match.Name))
	return append(append(out, m.doubts()...), m.single()...)
}

// doubts are what the match says of itself.
func (m *matched) doubts() (out []string) {
	for _, d := range m.match.Doubts {
		out = append(out, "the match itself says: "+d)
	}
	return out
}

// single are the parameters that were found for single trials.
func (m *matched) single() (out []string) {
	for _, q := range m.match.Parameters {
		if len(q.Trials) > 0 {
			out = append(out, fmt.Sprintf("%s was found for single trials only: the files' value counts here", q.Name))
		}
	}
	return out
}

// tells says whether a run stays within the match's envelope, and else what leaves it and by how much.
func (m *matched) tells(p *heat.Problem, r *heat.Result) []string {
	if m == nil {
		return nil
	}
	out := m.doubts()
	leaves := m.match.Envelope.Leaves(p, r)
	if len(leaves) == 0 {
		return append(out, fmt.Sprintf("with the parameters of the match %s; the run stays inside the envelope in which that was tried", m.match.Name))
	}
	out = append(out, fmt.Sprintf("with the parameters of the match %s; the run leaves the envelope in which that was tried:", m.match.Name))
	for _, d := range leaves {
		out = append(out, "outside the match's envelope: "+d.Sentence)
	}
	return append(out, m.single()...)
}
