package cli

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"

	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/heat"
)

// matched is the outcome of an earlier match that a run takes its parameters from.
type matched struct {
	path    string
	match   dossier.MatchJSON
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
	if err := json.Unmarshal(raw, &m.match); err != nil || m.match.Schema != dossier.MatchSchema {
		return nil, &failure{code: ExitInput, message: m.path + " is not the result of a match", hint: "name the results folder of emberbank match"}
	}
	if m.match.Unfinished {
		return nil, &failure{code: ExitInput, message: m.path + " is of a match that was stopped", hint: "let emberbank match end: started again, it goes on from there"}
	}
	m.options = bench.Options{Override: map[string]float64{}, Factor: map[string]float64{}}
	for _, p := range m.match.Parameters {
		if len(p.Trials) > 0 { // it belongs to those trials, not to the receiver
			continue
		}
		for _, path := range p.Paths {
			if p.Factor {
				m.options.Factor[path] = p.Value
			} else {
				m.options.Override[path] = p.Value
			}
		}
	}
	return m, nil
}

// changes are the inputs that the match sets; with more they are those of a study on top.
func (m *matched) changes(more map[string]float64) bench.Options {
	if m == nil {
		return bench.Options{Override: more}
	}
	return withMore(m.options, more)
}

// withMore are changes with the overrides of a study on top.
func withMore(base bench.Options, more map[string]float64) bench.Options {
	all := base
	all.Override = maps.Clone(base.Override)
	if all.Override == nil {
		all.Override = map[string]float64{}
	}
	maps.Copy(all.Override, more)
	return all
}

// tells says whether a run stays within the match's envelope, and else what leaves it and by how much.
func (m *matched) tells(p *heat.Problem, r *heat.Result) []string {
	if m == nil {
		return nil
	}
	var out []string
	for _, d := range m.match.Doubts {
		out = append(out, "the match itself says: "+d)
	}
	leaves := m.match.Envelope.Leaves(p, r)
	if len(leaves) == 0 {
		return append(out, fmt.Sprintf("with the parameters of the match %s; the run stays inside the envelope in which that was tried", m.match.Name))
	}
	out = append(out, fmt.Sprintf("with the parameters of the match %s; the run leaves the envelope in which that was tried:", m.match.Name))
	for _, d := range leaves {
		out = append(out, "outside the match's envelope: "+d.Sentence)
	}
	for _, q := range m.match.Parameters {
		if len(q.Trials) > 0 {
			out = append(out, fmt.Sprintf("%s was found for single trials only: the files' value counts here", q.Name))
		}
	}
	return out
}
