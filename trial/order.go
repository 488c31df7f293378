package trial

import (
	"fmt"
	"math"
	"slices"
	"sort"
)

// Append adds the rows of a further file of the same logger, as one writes that begins a new file each day.
func (l *Log) Append(next *Log) error {
	if l.Absolute != next.Absolute {
		return fmt.Errorf("one file shows dates and the other does not")
	}
	shift := float64(next.base - l.base)
	if !l.Absolute && len(l.Time) > 0 && len(next.Time) > 0 && next.Time[0] <= l.Time[len(l.Time)-1] {
		return fmt.Errorf("its elapsed time begins anew, so where it follows is not known")
	}
	if n := len(l.Time) + len(next.Time); n*(len(l.channels)+1) > mostValues {
		return fmt.Errorf("the files hold more than the %d numbers that are kept", mostValues)
	}
	for i := range next.Time {
		l.Time = append(l.Time, next.Time[i]+shift)
	}
	l.line = append(l.line, next.line...)
	for i := range l.Values {
		l.Values[i] = append(l.Values[i], next.Values[i]...)
		a, b := &l.channels[i], &next.channels[i]
		for _, t := range []struct{ to, from *tally }{{&a.missing, &b.missing}, {&a.garbled, &b.garbled}, {&a.doubtful, &b.doubtful}, {&a.outside, &b.outside}} {
			t.to.count += t.from.count
			if t.to.first == 0 {
				t.to.first = t.from.first
			}
		}
		for k, n := range b.codes {
			a.codes[k] += n
		}
		a.decimals, a.counted = max(a.decimals, b.decimals), a.counted || b.counted
		if a.typed == "" {
			a.typed = b.typed
		}
	}
	l.garbled.count += next.garbled.count
	l.again.count += next.again.count
	l.holes.count += next.holes.count
	l.Zoned = l.Zoned && next.Zoned
	l.Notes = append(l.Notes, next.Notes...)
	return nil
}

// order makes the times rise: it treats stamps that go back or repeat as the description allows.
func (l *Log) order(r Repairs, index int) []Finding {
	rising := true
	for i := 1; i < len(l.Time); i++ {
		if l.Time[i] <= l.Time[i-1] {
			rising = false
			break
		}
	}
	if rising {
		return nil
	}
	var found []Finding
	if f, ok := l.backward(r, index); !ok {
		found = append(found, f)
	}
	if f, ok := l.duplicates(r, index); !ok {
		found = append(found, f)
	}
	return found
}

// ahead is how many rows in a row must run on from a stamp that went back, for the clock to have been set.
const ahead = 5

func (l *Log) backward(r Repairs, index int) (Finding, bool) {
	step := l.step()
	keep := make([]int, 0, len(l.Time))
	var single, behind tally
	setBack, biggest := tally{}, 0.0
	high, shift := math.Inf(-1), 0.0
	for i := 0; i < len(l.Time); i++ {
		t := l.Time[i] + shift
		if t >= high {
			high = t
			l.Time[i] = t
			keep = append(keep, i)
			continue
		}
		if l.runsOn(i, high-shift) && high-t > 5*step {
			setBack.add(int(l.line[i]))
			biggest = math.Max(biggest, high-t)
			if r.Shift {
				shift += high + step - t
				high = l.Time[i] + shift
				l.Time[i] = high
				keep = append(keep, i)
				continue
			}
			for i < len(l.Time) && l.Time[i]+shift <= high {
				behind.add(int(l.line[i]))
				i++
			}
			i--
			continue
		}
		single.add(int(l.line[i]))
		l.Time[i] = t
		keep = append(keep, i)
	}
	if setBack.count+single.count == 0 {
		return Finding{}, true
	}
	if r.Backward == Off {
		line := setBack.first
		if single.count > 0 && (line == 0 || single.first < line) {
			line = single.first
		}
		return Finding{
			Source: index, Channel: -1, Key: "repairs.backward", Line: line,
			Message: fmt.Sprintf("the clock of %s goes back in line %d, and mending that is off", l.Source.Name, line),
			Fix:     `take "backward: no" out, or mend the file in a copy`,
		}, false
	}
	if single.count > 0 {
		l.Repairs = append(l.Repairs, Repair{
			Key: "backward", File: l.Source.Name, Count: single.count, Line: single.first, Mended: true,
			What: counted(single.count, "row") + " out of order put in place by the stamp",
		})
	}
	if setBack.count > 0 {
		what := fmt.Sprintf("the clock was set back %s (at most by %.6g s): %s left out until it had caught up; \"backward: shift\" lets it run on instead",
			counted(setBack.count, "time"), biggest, counted(behind.count, "row"))
		n := behind.count
		if r.Shift {
			what = fmt.Sprintf("the clock was set back %s (at most by %.6g s): it runs on from there, all later rows moved", counted(setBack.count, "time"), biggest)
			n = setBack.count
		}
		l.Repairs = append(l.Repairs, Repair{Key: "backward", File: l.Source.Name, Count: n, Line: setBack.first, What: what, Mended: true})
	}
	sort.SliceStable(keep, func(a, b int) bool { return l.Time[keep[a]] < l.Time[keep[b]] })
	l.take(keep)
	return Finding{}, true
}

// runsOn tells whether the stamps from row i on rise steadily while they stay below the highest so far.
func (l *Log) runsOn(i int, high float64) bool {
	for k := range ahead {
		j := i + k
		if j+1 >= len(l.Time) {
			return k >= 2
		}
		if l.Time[j+1] < l.Time[j] || l.Time[j+1]-l.Time[j] > 0.5*(high-l.Time[i]) {
			return false
		}
		if l.Time[j+1] > high {
			return k >= 2
		}
	}
	return true
}

// duplicates treats rows with one stamp.
func (l *Log) duplicates(r Repairs, index int) (Finding, bool) {
	n, first, differ := 0, 0, 0
	for i := 1; i < len(l.Time); i++ {
		if l.Time[i] == l.Time[i-1] {
			if n == 0 {
				first = int(l.line[i])
			}
			n++
			for c := range l.Values {
				if a, b := l.Values[c][i], l.Values[c][i-1]; a != b && (a == a || b == b) {
					differ++
					break
				}
			}
		}
	}
	if n == 0 {
		return Finding{}, true
	}
	if r.Duplicates == Off {
		return Finding{
			Source: index, Channel: -1, Key: "repairs.duplicates", Line: first,
			Message: fmt.Sprintf("%s has two rows of one time, in line %d, and mending that is off", l.Source.Name, first),
			Fix:     `take "duplicates: no" out, or mend the file in a copy`,
		}, false
	}
	if 5*n > len(l.Time) && 2*differ > n {
		l.spread()
		l.Repairs = append(l.Repairs, Repair{
			Key: "duplicates", File: l.Source.Name, Count: n, Line: first, Mended: true,
			What: "the clock is coarser than the rows: rows of one stamp are spread evenly until the next stamp",
		})
		return Finding{}, true
	}
	keep := make([]int, 0, len(l.Time)-n)
	for i := range l.Time {
		if i == 0 || l.Time[i] != l.Time[i-1] {
			keep = append(keep, i)
		}
	}
	l.take(keep)
	what := counted(n, "row") + " with the stamp of the row before left out"
	if differ > 0 {
		what += fmt.Sprintf("; %d of them with other values", differ)
	}
	l.Repairs = append(l.Repairs, Repair{Key: "duplicates", File: l.Source.Name, Count: n, Line: first, What: what, Mended: true})
	return Finding{}, true
}

// spread parts rows of one stamp evenly over the time until the next; after the last stamp the distance of before lasts.
func (l *Log) spread() {
	last := 0.0
	for i := 0; i < len(l.Time); {
		j := i
		for j < len(l.Time) && l.Time[j] == l.Time[i] {
			j++
		}
		d := last
		if j < len(l.Time) {
			d = (l.Time[j] - l.Time[i]) / float64(j-i)
			last = d
		}
		if d == 0 {
			d = 1e-3
		}
		t := l.Time[i]
		for k := i; k < j; k++ {
			l.Time[k] = t + float64(k-i)*d
		}
		i = j
	}
}

// take keeps the rows named, in that order.
func (l *Log) take(keep []int) {
	time, line := make([]float64, len(keep)), make([]uint32, len(keep))
	for k, i := range keep {
		time[k], line[k] = l.Time[i], l.line[i]
	}
	l.Time, l.line = time, line
	for c := range l.Values {
		v := make([]float64, len(keep))
		for k, i := range keep {
			v[k] = l.Values[c][i]
		}
		l.Values[c] = v
	}
}

// step is the median distance of rows in s; 1 where there are too few.
func (l *Log) step() float64 { return medianStep(l.Time) }

func medianStep(t []float64) float64 {
	var d []float64
	stride := max(1, len(t)/20000)
	for i := 1; i < len(t); i += stride {
		if x := t[i] - t[i-1]; x > 0 {
			d = append(d, x)
		}
	}
	if len(d) == 0 {
		return 1
	}
	return median(d)
}

// median sorts its argument.
func median(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	slices.Sort(x)
	n := len(x)
	if n%2 == 1 {
		return x[n/2]
	}
	return (x[n/2-1] + x[n/2]) / 2
}

// gaps finds distances of rows above the limit that also stand out from those around, so that a logger that was set
// to a longer interval shows no gaps.
func gaps(t []float64, limit float64) []Span {
	var out []Span
	for i := 1; i < len(t); i++ {
		d := t[i] - t[i-1]
		if d <= limit {
			continue
		}
		var around [4]float64
		n := 0
		for _, j := range [4]int{i - 2, i - 1, i + 1, i + 2} {
			if j >= 1 && j < len(t) {
				around[n] = t[j] - t[j-1]
				n++
			}
		}
		if n == 0 || d > 2*median(around[:n]) {
			out = append(out, Span{t[i-1], t[i]})
		}
	}
	return out
}
