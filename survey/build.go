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

// settings are what a variant has in place of what the files say: a value of each axis, in SI.
func settings(s *bench.Study, x []float64) (out []farm.Setting) {
	for _, c := range s.Settings(x) {
		out = append(out, farm.Setting(c))
	}
	return out
}

// Build makes the run of a variant from the files and its settings. An error says why it cannot be built.
func Build(files fs.FS, run string, set []farm.Setting) (*bench.Run, error) {
	plain := make([]bench.Setting, len(set))
	for i, s := range set {
		plain[i] = bench.Setting(s)
	}
	built, problems := bench.LoadRun(files, run, bench.OptionsOf(plain))
	if problems.Failed() {
		for _, p := range problems {
			if !p.Warning {
				return nil, fmt.Errorf("the run cannot be built: %s: %s", p.Place(), p.Message)
			}
		}
	}
	return built, nil
}

// Run computes a variant; fields are not kept.
func Run(ctx context.Context, p heat.Problem) (*heat.Result, error) {
	r, err := heat.Run(ctx, p)
	if r != nil {
		r.Fields, r.Profiles = nil, nil
	}
	return r, err
}

// takes are bench's words for what is read in those of study.
var takes = map[bench.ReadingKind]study.Take{
	bench.ReadLast: study.Final, bench.ReadMean: study.Mean, bench.ReadAt: study.AtTime, bench.ReadLedger: study.InLedger,
	bench.ReadLargest: study.Largest, bench.ReadLeast: study.Least, bench.ReadBeyond: study.Beyond, bench.ReadWhen: study.When,
	bench.ReadAtCrossing: study.AtCrossing, bench.ReadTotal: study.Total,
}

// Quantity is a reading of bench in the words of study.
func Quantity(r bench.Reading) study.Quantity {
	return study.Quantity{Name: r.Text, Of: r.Of, Take: takes[r.How], At: r.At, To: r.To, Watch: r.Watch, Level: r.Level, Falls: r.Falls}
}

// reader returns what reads the values of the responses off a record.
func reader(responses []bench.StudyResponse) func(r *farm.Record) ([]float64, error) {
	quantities := make([]study.Quantity, len(responses))
	for i, r := range responses {
		quantities[i] = Quantity(r.Read)
	}
	return func(r *farm.Record) ([]float64, error) {
		result := &heat.Result{History: r.History, Ledger: r.Ledger}
		values := make([]float64, len(quantities))
		for i, q := range quantities {
			if r.Stopped != "" && q.Take == study.AtTime && q.At > r.History.Time[len(r.History.Time)-1] {
				values[i] = math.NaN() // it ended before
				continue
			}
			v, err := q.Value(result)
			if err != nil {
				return nil, &Mistake{Message: "reading the response " + responses[i].Name, Err: err, Fix: "mend what it reads; what is computed is kept"}
			}
			values[i] = v
		}
		return values, nil
	}
}
