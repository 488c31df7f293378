package survey

import (
	"context"
	"fmt"
	"io/fs"
	"math"

	"emberbank/bench"
	"emberbank/farm"
	"emberbank/heat"
	"emberbank/study"
)

// Mistake is something in a study's file that shows only when a variant has been computed.
type Mistake struct {
	Message, Fix string
	Err          error // behind it
}

func (m *Mistake) Error() string { return m.Message + ": " + m.Err.Error() }

func (m *Mistake) Unwrap() error { return m.Err }

// Refined is the path of a setting that no file holds: how many times the grid is made finer and the tolerance of the
// time steps smaller, as study.Refined does it.
const Refined = "grid refined"

// Options are the settings of a record as bench reads them.
func Options(settings []farm.Setting) bench.Options {
	all := make([]bench.Setting, len(settings))
	for i, s := range settings {
		all[i] = bench.Setting(s)
	}
	return bench.OptionsOf(all)
}

// Builder makes runs of variants. The files are read once.
type Builder struct{ loader *bench.Loader }

// NewBuilder returns a builder of variants of a run file.
func NewBuilder(files fs.FS, run string) *Builder { return &Builder{bench.NewLoader(files, run)} }

// Build makes the run of a variant from the files and its settings. An error says why it cannot be built.
func (b *Builder) Build(set []farm.Setting) (*bench.Run, error) {
	var plain []bench.Setting
	times := 0
	for _, s := range set {
		if s.Path == Refined {
			times = int(s.Value)
		} else {
			plain = append(plain, bench.Setting(s))
		}
	}
	built, problems := b.loader.Load(bench.OptionsOf(plain))
	if problems.Failed() {
		for _, p := range problems {
			if !p.Warning {
				return nil, fmt.Errorf("the run cannot be built: %s: %s", p.Place(), p.Message)
			}
		}
	}
	if times > 0 && built.Problem.Tolerance == 0 {
		built.Problem.Tolerance = heat.DefaultTolerance
	}
	built.Problem = study.Refined(built.Problem, times)
	return built, nil
}

// Build makes one run of a variant, as a Builder does.
func Build(files fs.FS, run string, set []farm.Setting) (*bench.Run, error) {
	return NewBuilder(files, run).Build(set)
}

// Run computes a variant; fields are not kept.
func Run(ctx context.Context, p heat.Problem) (*heat.Result, error) {
	r, err := heat.Run(ctx, p)
	if r != nil {
		r.Fields, r.Profiles = nil, nil
	}
	return r, err
}

// takes are bench's words for what is read off a run in those of study.
var takes = map[bench.ReadingKind]study.Take{
	bench.ReadLast: study.Final, bench.ReadMean: study.Mean, bench.ReadAt: study.AtTime, bench.ReadLedger: study.InLedger,
	bench.ReadLargest: study.Largest, bench.ReadLeast: study.Least, bench.ReadBeyond: study.Beyond, bench.ReadWhen: study.When,
	bench.ReadAtCrossing: study.AtCrossing, bench.ReadTotal: study.Total,
}

// Quantity is a reading of bench in the words of study.
func Quantity(r bench.Reading) study.Quantity {
	return study.Quantity{Name: r.Text, Of: r.Of, Take: takes[r.How], At: r.At, To: r.To, Watch: r.Watch, Level: r.Level, Falls: r.Falls}
}

// reader returns what reads the values of the responses off a record, and whether some hang on what is built alone: these are
// NaN. A column or an entry that a variant does not have is no value: look has seen that there is one somewhere.
func reader(responses []bench.StudyResponse) (read func(r *farm.Record) ([]float64, error), ofBuilt bool) {
	quantities := make([]*study.Quantity, len(responses))
	for i, r := range responses {
		if r.Read.How.OfBuilt() {
			ofBuilt = true
			continue
		}
		q := Quantity(r.Read)
		quantities[i] = &q
	}
	return func(r *farm.Record) ([]float64, error) {
		result := &heat.Result{History: r.History, Ledger: r.Ledger}
		values := make([]float64, len(quantities))
		for i, q := range quantities {
			values[i] = math.NaN()
			if q == nil {
				continue
			}
			if v, err := q.Value(result); err == nil && !math.IsInf(v, 0) {
				values[i] = v
			}
		}
		return values, nil
	}, ofBuilt
}
