package web

import (
	"math"
	"slices"
	"sort"
)

// thinned returns the rows to show of some columns over rising times, from one time to another: all where they are few,
// else of each of as many equal stretches as the points allow the first row and, for each column, those with its least and
// its largest value, so that no peak is lost. The last row is always among them, and so are the rows before and after the
// stretch of time, so that a line runs in and out of it.
func thinned(t []float64, columns [][]float64, from, to float64, points int) []int {
	first, end := 0, len(t)
	if to > from {
		first = max(0, sort.SearchFloat64s(t, from)-1)
		end = min(len(t), sort.Search(len(t), func(i int) bool { return t[i] > to })+1)
	} else if from > 0 {
		first = max(0, sort.SearchFloat64s(t, from)-1)
	}
	if end-first <= points {
		rows := make([]int, 0, end-first)
		for i := first; i < end; i++ {
			rows = append(rows, i)
		}
		return rows
	}
	least := max(1, points/(1+2*max(1, len(columns))))
	for stretches := points; ; stretches = max(least, stretches/2) { // where curves are even, more stretches do
		if rows := peaks(columns, first, end, stretches); len(rows) <= points+1 || stretches == least {
			return rows
		}
	}
}

// peaks returns of each stretch of the rows from first to before end the first one and those with the least and the largest
// values, and the last row of all.
func peaks(columns [][]float64, first, end, stretches int) []int {
	n := end - first
	rows := make([]int, 0, 3*stretches)
	for s := range stretches {
		a, b := first+s*n/stretches, first+(s+1)*n/stretches
		if a == b {
			continue
		}
		from := len(rows)
		rows = append(rows, a)
		for _, v := range columns {
			low, high := -1, -1
			least, most := math.Inf(1), math.Inf(-1)
			for i := a; i < b; i++ {
				x := v[i]
				if x < least {
					low, least = i, x
				}
				if x > most {
					high, most = i, x
				}
			}
			if low >= 0 {
				rows = append(rows, low, high)
			}
		}
		slices.Sort(rows[from:])
	}
	return slices.Compact(append(rows, end-1))
}
