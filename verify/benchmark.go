package verify

import (
	_ "embed"
	"math"
	"strconv"
	"strings"
)

const benchmarkTopic = "benchmark of a draining block"

// reference is the benchmark's answer: time, mean temperature in °C and heat to the passes in W, every 60 s.
//
//go:embed data/benchmark-b1.csv
var reference string

func benchmark() []known {
	const source = "benchmark B1, small grid: classical Runge-Kutta with 0.125 s and, independently, BDF at tight tolerance, which agree within 0.03 mK"
	// worst is the largest departure of a column from the reference's column at any output time.
	worst := func(column string, field int, offset float64) func(o *outcome) float64 {
		return func(o *outcome) float64 {
			most, seen := 0.0, 0
			for _, line := range strings.Split(strings.TrimSpace(reference), "\n")[1:] {
				cells := strings.Split(strings.TrimSpace(line), ",")
				t, err := strconv.ParseFloat(cells[0], 64)
				want, err2 := strconv.ParseFloat(cells[field], 64)
				d := math.Abs(o.at(column, t) - offset - want)
				if err != nil || err2 != nil || math.IsNaN(d) {
					return math.NaN()
				}
				most = math.Max(most, d)
				seen++
			}
			if seen != 361 {
				return math.NaN()
			}
			return most
		}
	}
	return []known{{topic: benchmarkTopic, title: "benchmark B1", file: "benchmark-b1.yaml", rows: from(source,
		"limits of the benchmark: 0.4 K and 54 W (0.2 % of the start) at each of 361 output times, residual 1e-9",
		bound("benchmark B1, small grid: mean temperature, largest departure", "K", AtMost, 0.4, worst("block mean", 1, zero)),
		bound("benchmark B1, small grid: heat to the passes, largest departure", "W", AtMost, 54, worst("heat to passes", 2, 0)),
		bound("benchmark B1, small grid: ledger's residual", "1", AtMost, 1e-9, func(o *outcome) float64 { return o.res.Residual }))}}
}
