package survey

import (
	"context"
	"io/fs"
	"slices"
	"sync/atomic"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/farm"
	"emberbank/kernel"
)

// Survey is a study at hand, with what it needs to be run.
type Survey struct {
	Asked *bench.Study
	Files fs.FS       // in which the study's run stands
	Loops *kernel.Set // nil: the fastest that the processor runs

	// Job holds what the work goes through: Store, Queue, Workers, Seconds, Model. What a variant is, is filled in.
	Job farm.Job

	// Cost tells what the variant of a key took: seconds of computing, and bytes on the disk. nil: nothing is known.
	Cost func(key string) (seconds float64, size int64)
	// Consent is asked once, when the first variant has told what one takes. Its error ends the study. nil: go on.
	Consent func(Estimate) error
	// Watch is told how far the work has got, one call at a time; may be nil.
	Watch func(Progress)
	// Seen is told of each variant when it has its outcome, one call at a time: its number, from 0, and where it stands. What
	// answers need besides is not told. May be nil.
	Seen func(number int64, o account.Variant)
}

// Head is a study without its variants: what is varied and what is read.
func Head(s *bench.Study) *account.Varied {
	v := &account.Varied{Name: s.Name, Kind: [...]string{"sweep", "sample", "search"}[s.Kind], Notes: append([]string(nil), s.Warnings...)}
	for _, a := range s.Axes {
		v.Axes = append(v.Axes, account.VariedAxis{Name: a.Name, Dimension: a.Dimension, Unit: a.Unit, Words: a.Words})
	}
	for _, r := range s.Responses {
		v.Responses = append(v.Responses, account.VariedResponse{Name: r.Name, Read: r.Read.Text, Quantity: r.Quantity, Unit: r.Unit})
	}
	return v
}

// Work runs the study and judges it. A cancelled context ends it with an error; what was computed stands in the store, and
// another call goes on from there.
func (s *Survey) Work(ctx context.Context) (*account.Varied, error) {
	w := &working{Survey: s, builder: NewBuilder(s.Files, s.Asked.Run)}
	w.read, w.ofBuilt = reader(s.Asked.Responses)
	if err := w.look(ctx); err != nil {
		return nil, err
	}
	kind := map[bench.StudyKind]func(context.Context) (*account.Varied, error){
		bench.Sweep: w.sweep, bench.Sample: w.sample, bench.Search: w.search,
	}
	v, err := kind[s.Asked.Kind](ctx)
	if err != nil {
		return nil, err
	}
	slices.Sort(w.keys)
	v.Beside = slices.Compact(w.keys)
	return v, nil
}

// working is a study under way.
type working struct {
	*Survey
	builder *Builder
	read    func(r *farm.Record) ([]float64, error)
	ofBuilt bool   // a response hangs on what is built
	best    string // so far, in words
	tally   bool   // variants that meet the constraints are counted
	met     atomic.Int64
	keys    []string // of what is run besides the variants
	first   int64    // the variant with which the numbers of the stretch at hand begin; below 0: they are no variants

	progress Progress
	counting bool    // consent is there: from here on time is taken
	began    float64 // s, when it came
	before   int64   // variants computed before that
}

// sweep runs every point of the design, and what its answers need besides.
func (w *working) sweep(ctx context.Context) (*account.Varied, error) {
	count := w.Asked.Design.Count()
	beside := w.beside()
	w.tally = len(w.Asked.Constraints) > 0 && !w.ofBuilt
	first, err := w.begin(ctx, plan{variants: count, carried: beside.carried(count), twins: int64(len(beside.twins))}, w.at(0))
	if err != nil {
		return nil, err
	}
	rest, err := w.run(ctx, 1, count, w.at)
	if err != nil {
		return nil, err
	}
	outcomes := append(first, rest...)
	w.tally = false
	if err := w.runBeside(ctx, beside, outcomes); err != nil {
		return nil, err
	}
	v := w.varied(outcomes, w.at)
	for _, a := range w.Asked.Answers {
		if a.Pays != nil {
			v.Answers = append(v.Answers, w.payings(v, a, beside)...)
		} else {
			v.Answers = append(v.Answers, w.plateaus(v, a, beside)...)
		}
	}
	v.Notes = append(v.Notes, beside.notes...)
	return v, nil
}
