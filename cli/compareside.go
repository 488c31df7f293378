package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/shelf"
)

// side is one of two that are compared: a run by its results, or a variant of a study by its record.
type side struct {
	name    string
	dir     string // results of a run; "": a variant
	files   place  // the run file; an empty root: it is not found
	excerpt bool   // of its bench
	changed []string
	inputs  []shelf.Entry
	history *history.History
	ledger  heat.Ledger
	summary sideSummary
	variant *opened
}

// sideSummary is what is asked of a run's summary.
type sideSummary struct {
	Kind    string  `json:"kind"`
	Title   string  `json:"title"`
	Version string  `json:"version"`
	Cells   float64 `json:"cells"`
	Ended   float64 `json:"ended_s"`
	Stopped string  `json:"stopped"`
	Variant struct {
		Settings []string `json:"settings"`
	} `json:"variant"`
	Cautions []struct {
		Kind  string `json:"kind"`
		Place string `json:"place"`
	} `json:"cautions"`
	Accuracy struct {
		Quantities []map[string]json.RawMessage `json:"quantities"`
	} `json:"accuracy"`
}

// kindOf tells what an argument names: "run", "results" (of a run), "study", "trial", "folder" or another kind of file.
func kindOf(arg string) (kind string, err error) {
	st, err := os.Stat(arg)
	switch {
	case err != nil:
		_, err = locate(arg) // it words what is missing
		return "", err
	case !st.IsDir():
		at, err := locate(arg)
		if err != nil {
			return "", err
		}
		kind, problems := bench.Kind(at.fs(), at.name)
		if problems.Failed() {
			return "", &failure{code: ExitInput, problems: at.named(problems)}
		}
		return kind, nil
	case isStudyResults(arg):
		return "study", nil
	}
	if s := readSummary(arg); s != nil && s.Kind == "summary" && readManifest(arg) != nil {
		return "results", nil
	}
	return "folder", nil
}

// runSide reads a run by its file or by its results folder.
func runSide(arg, kind string) (*side, error) {
	s := &side{}
	if kind == "results" {
		dir, err := filepath.Abs(arg)
		if err != nil {
			return nil, disk("looking for "+arg, err)
		}
		s.dir = dir
	} else {
		at, err := locate(arg)
		if err != nil {
			return nil, err
		}
		s.dir, s.files = at.results(), at
	}
	s.name = filepath.Base(s.dir)
	m := readManifest(s.dir)
	raw, err := os.ReadFile(filepath.Join(s.dir, "summary.json"))
	if m == nil || err != nil || json.Unmarshal(raw, &s.summary) != nil || s.summary.Kind != "summary" {
		return nil, &failure{code: ExitInput, message: fmt.Sprintf("the run %s has no results in %s", arg, fromHere(s.dir)), hint: "compute it first: emberbank run " + shelf.Word(arg) + "; where its results stand elsewhere, name that folder"}
	}
	s.inputs = m.Inputs
	if s.files.root == "" && len(m.Inputs) > 0 {
		root, changed := benchOf(s.dir, m)
		if root != "" && !slices.Contains(changed, m.Inputs[0].Name) || root != "" && isFile(filepath.Join(root, filepath.FromSlash(m.Inputs[0].Name))) {
			s.files, s.changed = place{root: root, name: m.Inputs[0].Name}, changed
		}
	} else {
		s.changed = changedInputs(s.files, m.Inputs)
	}
	if s.history, err = readHistory(s.dir); err != nil {
		return nil, err
	}
	ledger := filepath.Join(s.dir, "ledger.json")
	if raw, err = os.ReadFile(ledger); err == nil {
		s.ledger, err = account.ReadLedger(raw)
	}
	if err != nil {
		return nil, &failure{code: ExitInput, message: "reading " + fromHere(ledger), err: err, hint: "compute the run again"}
	}
	return s, nil
}

// variantSides reads two variants of a study from their records.
func variantSides(arg, numbers string) (both [2]*side, err error) {
	var n [2]int64
	texts := strings.Split(numbers, ",")
	for i := range n {
		if len(texts) == len(n) {
			n[i], err = strconv.ParseInt(strings.TrimSpace(texts[i]), 10, 64)
		}
		if len(texts) != len(n) || err != nil {
			return both, &failure{code: ExitUsage, message: "--variants is " + numbers, hint: "give two numbers of the study's table, such as 3,7"}
		}
	}
	dir, at, err := studyResults(arg, "--variants")
	if err != nil {
		return both, err
	}
	d, err := readStudy(dir)
	if err != nil {
		return both, err
	}
	for i := range both {
		o, err := findVariant(dir, d, n[i])
		if err != nil {
			return both, err
		}
		if o.record.Failure != "" {
			return both, &failure{code: ExitInput, message: fmt.Sprintf("variant %d has no results: %s", n[i], o.record.Failure), hint: "name another"}
		}
		record, err := (&variants{dir: filepath.Join(dir, variantsName)}).Load(o.key)
		if err != nil {
			return both, err
		}
		if record == nil {
			return both, &failure{code: ExitInput, message: fmt.Sprintf("the record of variant %d is damaged", n[i]), hint: "compute the study again: what is there is not computed twice"}
		}
		s := &side{name: fmt.Sprintf("variant %d", n[i]), variant: o, history: &record.History, ledger: record.Ledger, excerpt: true}
		s.summary.Title, s.summary.Stopped = d.Name, record.Stopped
		s.summary.Ended = record.History.Time[len(record.History.Time)-1]
		if s.files, err = o.files(at); err != nil {
			s.files = place{} // its settings are known all the same
		}
		for _, c := range record.Cautions {
			kind, _, _ := strings.Cut(c, ": ")
			s.summary.Cautions = append(s.summary.Cautions, struct {
				Kind  string `json:"kind"`
				Place string `json:"place"`
			}{Kind: kind})
		}
		s.inputs = []shelf.Entry{{Name: filepath.ToSlash(filepath.Join(variantsName, o.key, "history.csv")), SHA256: o.record.SHA256}}
		both[i] = s
	}
	return both, nil
}

// varied is what a study has put in place of what the files of a run state, where that is a variant which was opened.
func (s *side) varied() string { return strings.Join(s.summary.Variant.Settings, ", ") }

// asResult is the side as quantities are read off it.
func (s *side) asResult() *heat.Result {
	return &heat.Result{History: *s.history, Ledger: s.ledger}
}

// accuracies are the quantities of which the run states its accuracy, with the half-width that its grid and time steps leave
// open, SI, in the order of the summary.
func (s *side) accuracies() (names []string, half map[string]float64) {
	half = map[string]float64{}
	for _, q := range s.summary.Accuracy.Quantities {
		var name string
		if json.Unmarshal(q["name"], &name) != nil {
			continue
		}
		for key, raw := range q {
			var x *float64
			if strings.HasPrefix(key, "this_grid_convergence_index") && json.Unmarshal(raw, &x) == nil && x != nil {
				half[name] = *x
				if strings.HasSuffix(key, "_deg") {
					half[name] *= math.Pi / 180
				}
				names = append(names, name)
			}
		}
	}
	return names, half
}
