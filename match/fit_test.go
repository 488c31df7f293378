package match

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// certifiedSet is one of the NIST StRD sets of nonlinear regression; each file names its source.
type certifiedSet struct {
	Name, Source, Model string
	Start1, Start2      []float64
	Certified           []float64
	SD                  []float64 `json:"certified_sd"`
	RSS                 float64   `json:"residual_sum_of_squares"`
	Freedom             int       `json:"degrees_of_freedom"`
	Columns             []string
	Data                [][]float64
}

func rational(b []float64, x float64) float64 {
	return (b[0] + x*(b[1]+x*(b[2]+x*b[3]))) / (1 + x*(b[4]+x*(b[5]+x*b[6])))
}

var certifiedModels = map[string]func(b []float64, x float64) float64{
	"BoxBOD":   func(b []float64, x float64) float64 { return b[0] * (1 - math.Exp(-b[1]*x)) },
	"Misra1a":  func(b []float64, x float64) float64 { return b[0] * (1 - math.Exp(-b[1]*x)) },
	"Chwirut2": func(b []float64, x float64) float64 { return math.Exp(-b[0]*x) / (b[1] + b[2]*x) },
	"DanWood":  func(b []float64, x float64) float64 { return b[0] * math.Pow(x, b[1]) },
	"Hahn1":    rational,
	"Thurber":  rational,
	"Lanczos3": func(b []float64, x float64) float64 {
		return b[0]*math.Exp(-b[1]*x) + b[2]*math.Exp(-b[3]*x) + b[4]*math.Exp(-b[5]*x)
	},
	"MGH17": func(b []float64, x float64) float64 {
		return b[0] + b[1]*math.Exp(-x*b[3]) + b[2]*math.Exp(-x*b[4])
	},
	"MGH10": func(b []float64, x float64) float64 { return b[0] * math.Exp(b[1]/(x+b[2])) },
	"MGH09": func(b []float64, x float64) float64 { return b[0] * (x*x + x*b[1]) / (x*x + x*b[2] + b[3]) },
	"Rat43": func(b []float64, x float64) float64 { return b[0] / math.Pow(1+math.Exp(b[1]-b[2]*x), 1/b[3]) },
	"Rat42": func(b []float64, x float64) float64 { return b[0] / (1 + math.Exp(b[1]-b[2]*x)) },
}

// digits is how many decimal digits two numbers share, as -log10 of their relative difference.
func digits(got, want float64) float64 {
	if got == want {
		return 16
	}
	return -math.Log10(math.Abs(got-want) / math.Abs(want))
}

// TestFitFindsCertifiedParameters asks for six digits of parameters and of standard deviations from both starting
// points of every set.
func TestFitFindsCertifiedParameters(t *testing.T) {
	files, err := filepath.Glob("testdata/strd/*.json")
	if err != nil || len(files) < 12 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var set certifiedSet
		if err := json.Unmarshal(raw, &set); err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(set.Source, "NIST StRD") {
			t.Fatalf("%s has no source", file)
		}
		for i, start := range [][]float64{set.Start1, set.Start2} {
			t.Run(fmt.Sprintf("%s/start%d", set.Name, i+1), func(t *testing.T) { fitsCertified(t, &set, start) })
		}
	}
}

func fitsCertified(t *testing.T, set *certifiedSet, start []float64) {
	model := certifiedModels[set.Name]
	s, err := Fit(context.Background(), Fitting{Start: start, Workers: 2, Most: 2000, Of: func(_ context.Context, b []float64) ([]float64, error) {
		r := make([]float64, len(set.Data))
		for i, row := range set.Data {
			r[i] = model(b, row[1]) - row[0]
		}
		return r, nil
	}})
	if err != nil || !s.Converged {
		t.Fatalf("%v, %s", err, s.Why)
	}
	cov := inverseOf(s.Columns)
	least, leastSD := 16.0, 16.0
	for j, want := range set.Certified {
		least = min(least, digits(s.X[j], want))
		leastSD = min(leastSD, digits(math.Sqrt(cov[j][j]*2*s.Cost/float64(set.Freedom)), set.SD[j]))
	}
	t.Logf("parameters to %.1f digits, standard deviations to %.1f, sum of squares to %.1f; %d steps, %d evaluations (%s)",
		least, leastSD, digits(2*s.Cost, set.RSS), s.Steps, s.Evaluations, s.Why)
	if least < 6 || leastSD < 6 {
		t.Errorf("parameters to %.1f digits, standard deviations to %.1f: %.10g", least, leastSD, s.X)
	}
}
