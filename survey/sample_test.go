package survey

import (
	"math"
	"strings"
	"testing"

	"emberbank/answer"
	"emberbank/bench"
	"emberbank/sample"
)

const lumpedSweep = `sweep:
  axes:
    - {name: film, path: receiver.surfaces.all.film, values: [10 W/(m2 K), 20 W/(m2 K), 30 W/(m2 K), 40 W/(m2 K)]}
    - {name: capacity, path: "receiver.materials[1].heat capacity", values: [900 J/(kg K), 1100 J/(kg K)]}
responses: [{name: mean, read: block mean}]
`

// drawn makes a sample of a sweep's axes.
func drawn(t *testing.T, s *bench.Study, rows int64, sensitivity bool, from ...sample.Distribution) {
	t.Helper()
	s.Kind, s.Sample = bench.Sample, &bench.StudySample{Rows: rows, Seed: 7, Sensitivity: sensitivity}
	for i := range from {
		s.Axes[i].From, s.Axes[i].Levels = from[i], nil
	}
	times := map[bool]int{false: 1, true: 2}[sensitivity]
	points, err := sample.NewSobol(times*len(from), 7)
	if err == nil {
		if sensitivity {
			s.Design, err = sample.NewExchange(rows, points, from...)
		} else {
			s.Design, err = sample.NewDrawn(rows, points, from...)
		}
	}
	if err != nil {
		t.Fatal(err)
	}
}

// trueIndices are the first-order and total indices of the closed form over two even ranges, by the midpoint rule on a grid.
func trueIndices(y func(h, c float64) float64, h, c [2]float64) (first, total [2]float64) {
	const n = 400
	at := func(r [2]float64, i int) float64 { return r[0] + (r[1]-r[0])*(float64(i)+0.5)/n }
	mean, square := 0.0, 0.0
	var byH, byC [n]float64
	for i := range n {
		for j := range n {
			v := y(at(h, i), at(c, j))
			mean += v / n / n
			square += v * v / n / n
			byH[i] += v / n
			byC[j] += v / n
		}
	}
	variance := square - mean*mean
	for i := range n {
		first[0] += (byH[i] - mean) * (byH[i] - mean) / n / variance
		first[1] += (byC[i] - mean) * (byC[i] - mean) / n / variance
	}
	return first, [2]float64{1 - first[1], 1 - first[0]}
}

// TestSensitivitiesOfALumpedBlockAreThoseOfItsFormula: each interval holds the value of the closed form, and most are not wide.
func TestSensitivitiesOfALumpedBlockAreThoseOfItsFormula(t *testing.T) {
	s, files := asked(t, lumpedRun, lumpedSweep)
	h, c := [2]float64{10, 30}, [2]float64{800, 1200}
	drawn(t, s, 96, true, sample.Uniform{Low: h[0], High: h[1]}, sample.Uniform{Low: c[0], High: c[1]})
	v := surveyed(t, s, files, newKept(), 2)
	first, total := trueIndices(func(h, c float64) float64 { return meanAt(2400, h, c) }, h, c)
	if len(v.Answers) != 2 || v.Answers[1].Sensitivity == nil {
		t.Fatalf("%d answers", len(v.Answers))
	}
	got := v.Answers[1].Sensitivity.Found
	for k := range 2 {
		for _, one := range []struct {
			what             string
			value, low, high float64
			want             float64
		}{
			{"first", got.First[k].Value, got.First[k].Low, got.First[k].High, first[k]},
			{"total", got.Total[k].Value, got.Total[k].Low, got.Total[k].High, total[k]},
		} {
			if one.want < one.low || one.want > one.high || one.high-one.low > 0.6 || math.Abs(one.value-one.want) > 0.08 {
				t.Errorf("%s of input %d is %.3f (%.3f to %.3f), the formula's %.3f", one.what, k+1, one.value, one.low, one.high, one.want)
			}
		}
	}
	if v.Answers[1].Verdict != "film" || !strings.HasPrefix(v.Answers[1].Sentences[0], "film makes ") {
		t.Errorf("it says %q", v.Answers[1].Sentences)
	}
	// Each variant is the formula's own value.
	for i := range v.Variants {
		o := &v.Variants[i]
		near(t, "a variant's mean", o.Values[0], meanAt(2400, o.At[0], o.At[1]), 1.5)
	}
}

// TestSharesThatScatterDoNotContradictThemselves: no input has a part in less than it makes by itself.
func TestSharesThatScatterDoNotContradictThemselves(t *testing.T) {
	first := answer.Index{Value: 0.80, Low: 0.55, High: 1}
	for _, one := range []struct {
		total answer.Index
		want  string
	}{
		{answer.Index{Value: 0.85, Low: 0.6, High: 1}, "k makes 80 % (55 to 100 %) of the spread of left by itself, and has a part in 85 % (60 to 100 %) of it."},
		{answer.Index{Value: 0.78, Low: 0.57, High: 1}, "k makes about 80 % (55 to 100 %) of the spread of left, almost all of it by itself."},
		{answer.Index{Value: 0.3, Low: 0.2, High: 0.4}, "k makes 80 % (55 to 100 %) of the spread of left by itself and has a part in no more than 30 % (20 to 40 %) of it: both cannot be, and more rows would tell."},
	} {
		if got := strings.ReplaceAll(partOf("k", "left", first, one.total), "\u00a0", " "); got != one.want {
			t.Errorf("it says %q, not %q", got, one.want)
		}
	}
}

// TestSpreadOfASampleIsThatOfTheFormula: a monotone response of one input has the input's quantiles, and the share that keeps a limit is
// where the formula reaches it.
func TestSpreadOfASampleIsThatOfTheFormula(t *testing.T) {
	one := strings.Replace(lumpedSweep, "    - {name: capacity, path: \"receiver.materials[1].heat capacity\", values: [900 J/(kg K), 1100 J/(kg K)]}\n", "", 1)
	s, files := asked(t, lumpedRun, one+"constraints: [{response: mean, above: 60 degC}]\n")
	drawn(t, s, 128, false, sample.Uniform{Low: 10, High: 30})
	v := surveyed(t, s, files, newKept(), 2)
	found := v.Answers[0].Spread
	if found == nil || found.Spread.Count() != 128 {
		t.Fatalf("the spread is %+v", found)
	}
	for _, q := range found.Quantiles {
		want := meanAt(2400, 30-20*q.Share, capacity) // falls with the film
		if want < q.Low || want > q.High || math.Abs(q.Value-want) > 3 {
			t.Errorf("quantile %g is %.2f (%.2f to %.2f), the formula's %.2f", q.Share, q.Value, q.Low, q.High, want)
		}
	}
	limit := -math.Log((333.15-ambient)/(initial-ambient)) / rate(1, capacity) / 2400 // the film that ends at 60 degC
	share := (limit - 10) / 20
	if m := v.Meeting; m == nil || share < m.Low || share > m.High || math.Abs(m.Share-share) > 0.02 {
		t.Errorf("it meets with %+v, the formula's share is %.3f", m, share)
	}
	if got := v.Constraints[0]; got.Meet != v.Meeting.Meet || !strings.Contains(got.Words, "of what may be") {
		t.Errorf("the constraint says %+v", got)
	}
}

// TestAVariantThatFailsCostsItsRow: in a design for sensitivity the row of a variant that cannot be built is left out, and said.
func TestAVariantThatFailsCostsItsRow(t *testing.T) {
	// In a block of less than 50 mm the sensor stands outside.
	run := strings.Replace(lumpedRun, "until:", "sensors: [{name: deep, depth: 50 mm, width: 30 mm, height: 30 mm}]\nuntil:", 1)
	s, files := asked(t, run, strings.NewReplacer(`"receiver.materials[1].heat capacity"`, "receiver.block.depth", "900 J/(kg K)", "55 mm", "1100 J/(kg K)", "60 mm").Replace(lumpedSweep))
	drawn(t, s, 24, true, sample.Uniform{Low: 10, High: 30}, sample.Choice{Values: []float64{0.045, 0.055, 0.06}, Weights: []float64{1, 10, 10}})
	v := surveyed(t, s, files, newKept(), 2)
	failed := 0
	for i := range v.Variants {
		if v.Variants[i].Failure != "" {
			failed++
		}
	}
	got := v.Answers[1].Sensitivity
	if failed == 0 || got == nil || got.Found.Left == 0 || got.Found.Left+got.Found.Rows != 24 {
		t.Fatalf("%d failed, %+v", failed, got)
	}
	if text := strings.Join(v.Answers[1].Sentences, " "); !strings.Contains(text, "of 24 rows have a variant without a value") {
		t.Errorf("it says %q", text)
	}
}
