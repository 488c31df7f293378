package dossier

import (
	"slices"
	"strings"

	"emberbank/heat"
)

// warned is a caution that a run raised, with its place in the run's results.
type warned struct {
	heat.Caution
	of *Result
	at string // pointer into the run's main document
}

// cautions are what a run warned of, in the order in which it arose.
func (r *Result) cautions() (all []warned) {
	t := r.tree(r.Main)
	for i := range r.Count("/cautions") {
		at := "/cautions/" + decimal(i)
		text := func(key string) string {
			s, _ := t.sentence(at + "/" + key)
			return s.Text
		}
		w := warned{Caution: heat.Caution{Kind: text("kind"), Place: text("place"), Text: text("text"), Source: text("source")}, of: r, at: at}
		w.At, _ = t.float(at + "/at_s")
		w.Value, w.Limit = r.si(at, "value_"), r.si(at, "limit_")
		all = append(all, w)
	}
	return all
}

// si reads the number of a caution whose key begins so, in SI; 0 where it has none.
func (r *Result) si(at, begin string) float64 {
	t := r.tree(r.Main)
	for _, k := range t.keys(at) {
		if strings.HasPrefix(k, begin) {
			v, _ := t.float(at + "/" + escaped(k))
			if strings.HasSuffix(k, "_degC") {
				v += iceZero
			}
			return v
		}
	}
	return 0
}

// value is the number of a caution that shows the danger.
func (w *warned) value() (Number, bool) {
	t := w.of.tree(w.of.Main)
	for _, k := range t.keys(w.at) {
		if strings.HasPrefix(k, "value_") {
			return w.of.Number(w.at + "/" + escaped(k))
		}
	}
	return Number{}, false
}

// worst gathers the cautions of some kinds over runs: of each kind that with the largest value, and how many others there are.
// A note on a material has no value: each stands by itself, once.
func worst(runs []counted, kinds ...string) (all []warned, others []int) {
	for _, kind := range kinds {
		for i := range runs {
			for _, w := range runs[i].cautions {
				if w.Kind != kind {
					continue
				}
				k := slices.IndexFunc(all, func(o warned) bool {
					return o.Kind == kind && (kind != heat.KindMaterial || o.Text == w.Text)
				})
				switch {
				case k < 0:
					all, others = append(all, w), append(others, 0)
				case w.Value > all[k].Value:
					all[k] = w
					others[k]++
				default:
					others[k]++
				}
			}
		}
	}
	return all, others
}
