package web

import (
	"maps"
	"slices"
	"sync"

	"emberbank/bench"
)

// mostTrials is how many trials are kept at a time.
const mostTrials = 4

// trials are those that were looked at last, the last one at the end.
type trials struct {
	mu   sync.Mutex
	kept []*keptTrial
}

// keptTrial is a trial as it was read, and what its files were then.
type keptTrial struct {
	name     string
	mu       sync.Mutex // while it is read
	stamps   map[string]string
	loaded   *bench.Trial
	problems bench.Problems
}

// of returns a trial, and reads it where nobody has or where one of its files has changed.
func (ts *trials) of(d *Desk, name string) (*bench.Trial, bench.Problems) {
	ts.mu.Lock()
	var k *keptTrial
	if i := slices.IndexFunc(ts.kept, func(k *keptTrial) bool { return k.name == name }); i >= 0 {
		k = ts.kept[i]
		ts.kept = slices.Delete(ts.kept, i, i+1)
	} else {
		k = &keptTrial{name: name}
	}
	ts.kept = append(ts.kept, k)
	if len(ts.kept) > mostTrials {
		ts.kept = slices.Delete(ts.kept, 0, 1)
	}
	ts.mu.Unlock()

	k.mu.Lock()
	defer k.mu.Unlock()
	if k.stamps != nil && maps.Equal(k.stamps, d.stamps(k.stamps)) {
		return k.loaded, k.problems
	}
	names := map[string]string{name: ""}
	if m, _ := bench.LoadMapping(d.root.FS(), name); m != nil { // a logger's file that is missing may come
		for _, l := range m.Loggers {
			for _, f := range l.Files {
				names[f] = ""
			}
		}
	}
	before := d.stamps(names) // loggers may write while their files are read
	k.loaded, k.problems = bench.LoadTrial(d.root.FS(), name, bench.Options{})
	if k.loaded != nil {
		for _, in := range k.loaded.Inputs {
			names[in.Name] = ""
		}
	}
	for _, p := range k.problems {
		names[p.File] = ""
	}
	k.stamps = d.stampsSince(names, before)
	return k.loaded, k.problems
}
