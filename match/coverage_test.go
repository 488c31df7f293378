package match

import (
	"context"
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"sync"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"emberbank/heat"
)

var (
	coverageRepeats = flag.Int("coverage.repeats", 20, "made-up matches of the coverage test")
	coverageReal    = flag.Bool("coverage.real", false, "compute by heat.Run instead of the stand-in")
	coveragePage    = flag.String("coverage.page", "", "file to write the coverage to")
)

// coverageErrors are the errors of the made-up trials: offsets that the trials share, noise that lasts five minutes, and
// a model that is wrong by 1 K, smoothly over the trial, half of it for all sensors alike.
var coverageErrors = errorsOf{offset: 0.5, white: 0.1, ar: 0.3, lasting: 300, slow: 1, share: 0.5}

// TestStatedIntervalsCoverTheTruth matches made-up trials of a small receiver, each with its own errors, and counts how
// often the 95 % interval of each parameter holds the hidden value. A stand-in for heat.Run keeps that short. With few repeats the bound is such that a right
// program fails once in a thousand; "make coverage" does 200 with heat.Run and asks for 90 to 99 %.
func TestStatedIntervalsCoverTheTruth(t *testing.T) {
	run := Runner(standIn)
	if *coverageReal {
		run = heat.Run
	}
	parameters, truth := smallParameters(), []float64{330, 0.062, 0.86}
	clean := cleanTrials(t, run, "../examples/small-match", []string{"trial-1", "trial-2"}, parameters, truth, []string{"T1", "T2", "circuit main outlet"})
	n := *coverageRepeats
	results := make([]*Result, n)
	errs := make([]error, n)
	var mu sync.Mutex
	each(2, n, func(i int) {
		trials := spoil(clean, coverageErrors, uint64(700_000+i)) // other seeds than those by which the allowance was found
		results[i], errs[i] = Estimate(context.Background(), Problem{Parameters: parameters, Trials: trials}, Options{Run: run, Starts: -1})
		mu.Lock()
		defer mu.Unlock()
		if testing.Verbose() && errs[i] == nil {
			line := fmt.Sprintf("%3d:", i)
			for j, e := range results[i].Estimates {
				line += fmt.Sprintf("  %9.4g z %5.2f %5v", e.Value, (e.Value-truth[j])/e.SD, e.Bent)
			}
			fmt.Println(line)
		}
	})
	if err := First(errs); err != nil {
		t.Fatal(err)
	}
	least, most := boundOnce(n, len(truth))
	page := coverageHead(n)
	for j := range truth {
		in, sd, scatter, bent := 0, 0.0, 0.0, 0
		for _, r := range results {
			e := r.Estimates[j]
			if truth[j] >= e.Lower && truth[j] <= e.Upper {
				in++
			}
			if e.Bent {
				bent++
			}
			sd += e.SD / float64(n)
			scatter += (e.Value - truth[j]) * (e.Value - truth[j]) / float64(n)
		}
		share := 100 * float64(in) / float64(n)
		t.Logf("%s: %d of %d (%.1f %%), stated sd %.3g, scatter %.3g, bent %d", parameters[j].Name, in, n, share, sd, math.Sqrt(scatter), bent)
		page += fmt.Sprintf("| %s | %.4g | %d of %d | %.1f %% | %.3g | %.3g |\n", parameters[j].Name, truth[j], in, n, share, sd, math.Sqrt(scatter))
		if in < least || in > most {
			t.Errorf("%s: %d of %d intervals hold the truth, which is not within %d to %d", parameters[j].Name, in, n, least, most)
		}
	}
	if *coveragePage != "" {
		if err := os.WriteFile(*coveragePage, []byte(page), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// boundOnce returns the least and the largest number of hits of n that are accepted: 90 to 99 % of 100 or more; of
// fewer, the least is such that with a coverage of 95 % one of the parameters falls below it once in a thousand.
func boundOnce(n, parameters int) (least, most int) {
	if n >= 100 {
		return int(math.Ceil(0.9 * float64(n))), int(math.Floor(0.99 * float64(n)))
	}
	b := distuv.Binomial{N: float64(n), P: 0.95}
	for b.CDF(float64(least)) <= 0.001/float64(parameters) {
		least++
	}
	return least, n
}

func coverageHead(n int) string {
	return strings.ReplaceAll(fmt.Sprintf(`# Do the stated intervals hold the truth?

Written by 'make coverage'; do not edit. %d times two made-up trials of two hours (charge, hold, drain) of a small
receiver of 416 cells were computed with hidden parameters, errors were laid over, and the parameters were matched to
them by the same code that a match of the program uses. All numbers are invented. The errors: each sensor is off by 0.5 K
(standard), the same in both trials; white noise of 0.1 K; noise of 0.3 K that lasts five minutes; and a model that is wrong by
a smooth course of 1 K (standard) over the trial, half of its variance alike for all sensors. The match is told the first
two and finds the others itself.

| parameter | true (SI) | 95 %% intervals that hold it | share | stated standard deviation, mean | root mean square of the error |
| --- | --- | --- | --- | --- | --- |
`, n), "'", "`")
}
