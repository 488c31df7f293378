package web

import (
	"math"
	"slices"
	"strconv"
)

// thinned returns the rows to show of some columns over rising times, from one time to another: all where they are few,
// else of each of so many stretches the first row and, for each column, those with its least and its largest value, so
// that no peak is lost. The last row is always among them.
func thinned(t []float64, columns [][]float64, from, to float64, points int) []int {
	if to <= from {
		to = math.Inf(1)
	}
	var rows []int
	for i, x := range t {
		if x >= from && x <= to {
			rows = append(rows, i)
		}
	}
	if len(rows) <= points {
		return rows
	}
	stretches := max(1, points/(1+2*max(1, len(columns))))
	keep := map[int]bool{rows[len(rows)-1]: true}
	for s := range stretches {
		part := rows[s*len(rows)/stretches : (s+1)*len(rows)/stretches]
		if len(part) == 0 {
			continue
		}
		keep[part[0]] = true
		for _, v := range columns {
			low, high := -1, -1
			for _, i := range part {
				if math.IsNaN(v[i]) {
					continue
				}
				if low < 0 || v[i] < v[low] {
					low = i
				}
				if high < 0 || v[i] > v[high] {
					high = i
				}
			}
			if low >= 0 {
				keep[low], keep[high] = true, true
			}
		}
	}
	out := make([]int, 0, len(keep))
	for i := range keep {
		out = append(out, i)
	}
	slices.Sort(out)
	return out
}

func formatted(x float64) string { return strconv.FormatFloat(x, 'g', 7, 64) }
