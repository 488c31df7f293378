package survey

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/farm"
)

// The block of these tests is so good a conductor that it has one temperature at any moment (Biot number 10⁻³), loses heat by
// a film alone and is at rest otherwise. Its mean is a closed form,
//
//	T(t) = Ta + (T0 − Ta) e^(−λt),   λ = h A/C,   C = ρ c V,
//
// (F. P. Incropera, D. P. DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed., Wiley 2007, eq. 5.6), and so is all that
// follows from it: what it loses, what matters, and what is best.
const (
	lumpedRun = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 60 mm, width: 60 mm, height: 60 mm, medium: metal}
  materials: [{name: metal, density: 2000 kg/m3, heat capacity: 1000 ± 50 J/(kg K), conductivity: 2000 W/(m K), source: made up}]
  surfaces: {all: {film: 20 ± 4 W/(m2 K), emissivity: 0}}
duty: {ambient: 20 degC}
initial: 320 degC
until: 40 min
output: {every: 1 min}
grid: {cells: {depth: 2, width: 2, height: 2}}
`
	side, density, capacity = 0.06, 2000.0, 1000.0
	film, ambient, initial  = 20.0, 293.15, 593.15
)

// rate is λ in 1/s, and heat C in J/K.
func heatCapacity(c float64) float64 { return density * c * side * side * side }

func rate(h, c float64) float64 { return h * 6 * side * side / heatCapacity(c) }

// meanAt is the block's mean in K.
func meanAt(t, h, c float64) float64 { return ambient + (initial-ambient)*math.Exp(-rate(h, c)*t) }

// kept is a store in memory.
type kept struct {
	mu      sync.Mutex
	records map[string]*farm.Record
	saved   int
	stop    func() // called when that many are kept
	after   int
}

func newKept() *kept { return &kept{records: map[string]*farm.Record{}} }

func (k *kept) Load(key string) (*farm.Record, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.records[key], nil
}

func (k *kept) Save(key string, r *farm.Record, _ float64) (*farm.Record, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if had := k.records[key]; had != nil {
		return had, nil
	}
	k.records[key] = r
	if k.saved++; k.stop != nil && k.saved >= k.after {
		k.stop()
	}
	return r, nil
}

// asked reads a study of the lumped block.
func asked(t *testing.T, run, text string) (*bench.Study, fstest.MapFS) {
	t.Helper()
	files := fstest.MapFS{"run.yaml": {Data: []byte(run)}, "study.yaml": {Data: []byte("schema: emberbank/1\nkind: study\nrun: run.yaml\n" + text)}}
	s, ps := bench.LoadStudy(files, "study.yaml")
	if ps.Failed() {
		t.Fatal(ps)
	}
	return s, files
}

// surveyed runs a study with a store.
func surveyed(t *testing.T, s *bench.Study, files fstest.MapFS, store *kept, workers int) *account.Varied {
	t.Helper()
	v, err := (&Survey{Asked: s, Files: files, Job: farm.Job{Store: store, Model: "test", Workers: workers}}).Work(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range v.Answers {
		t.Log(a.Question, a.Verdict)
		for _, one := range a.Sentences {
			t.Log("  ", one)
		}
		for _, row := range a.Table {
			t.Log("    ", strings.Join(row, " | "))
		}
	}
	return v
}

// bytesOf is all that a study says.
func bytesOf(t *testing.T, v *account.Varied) string {
	t.Helper()
	raw, err := json.MarshalIndent(account.StudyDocument(v), "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %g, want %g ± %g", what, got, want, within)
	}
}

// movedAlone is the block's mean at the end of a variant with one input set.
func movedAlone(t *testing.T, run string, files fstest.MapFS, set []bench.Setting, path string, to float64) float64 {
	t.Helper()
	var all []farm.Setting
	for _, s := range append(set, bench.Setting{Path: path, Value: to}) {
		all = append(all, farm.Setting(s))
	}
	built, err := Build(files, run, all)
	if err != nil {
		t.Fatal(err)
	}
	built.Problem.Threads = 1
	r, err := Run(context.Background(), built.Problem)
	if err != nil {
		t.Fatal(err)
	}
	mean := r.History.Column("block mean").Values
	return mean[len(mean)-1]
}
