package verify

import (
	"fmt"
	"math"
	"strings"
)

const bridgeTopic = "thermal bridges"

func bridges() []known { return []known{squareColumn(), metalFrame(), barInWall()} }

const isoSource = "ISO 10211:2017 Annex C (2007: Annex A), reference cases for high-precision methods, case "

func squareColumn() known {
	published := [7][4]float64{ // rows from the top, columns from the cold side
		{9.7, 13.4, 14.7, 15.1},
		{5.3, 8.6, 10.3, 10.8},
		{3.2, 5.6, 7.0, 7.5},
		{2.0, 3.6, 4.7, 5.0},
		{1.3, 2.3, 3.0, 3.2},
		{0.7, 1.4, 1.8, 1.9},
		{0.3, 0.6, 0.8, 0.9},
	}
	var points []place
	for i := range published {
		for j := range published[i] {
			points = append(points, place{Name: fmt.Sprintf("row %d column %d", i+1, j+1), Depth: 0.25 * float64(j+1), Height: 1.75 - 0.25*float64(i)})
		}
	}
	largest := func(o *outcome) float64 {
		worst := 0.0
		for i, p := range points {
			worst = math.Max(worst, math.Abs(o.last(p.Name)-zero-published[i/4][i%4]))
			if math.IsNaN(o.last(p.Name)) {
				return math.NaN()
			}
		}
		return worst
	}
	return known{topic: bridgeTopic, title: "ISO 10211 case 1", file: "column.yaml", fill: points, rows: from(isoSource+"1",
		"the standard asks for 0.1 K at each of 28 points",
		bound("ISO 10211 case 1: largest departure at 28 points", "K", AtMost, 0.1, largest),
		within("ISO 10211 case 1: row 1, column 1", "degC", 9.7, 0.1, lastDegC("row 1 column 1")),
		within("ISO 10211 case 1: row 2, column 3", "degC", 10.3, 0.1, lastDegC("row 2 column 3")),
		within("ISO 10211 case 1: row 4, column 4", "degC", 5.0, 0.1, lastDegC("row 4 column 4")))}
}

// millimetres writes edges for a run file.
func millimetres(edges []float64) string {
	texts := make([]string, len(edges))
	for i, x := range edges {
		texts[i] = fmt.Sprintf("%.6g mm", x)
	}
	return strings.Join(texts, ", ")
}

// edges cuts the stretches between stops (mm) into equal cells.
func edges(stops []float64, cells ...int) []float64 {
	out := []float64{stops[0]}
	for i, n := range cells {
		for j := range n {
			out = append(out, stops[i]+(stops[i+1]-stops[i])*float64(j+1)/float64(n))
		}
	}
	return out
}

// growing goes from a to b (mm) in cells, each wider than the one before by the ratio; a itself is left out.
func growing(a, b float64, cells int, ratio float64) []float64 {
	first := (b - a) * (ratio - 1) / (math.Pow(ratio, float64(cells)) - 1)
	var out []float64
	x := a
	for i := range cells {
		x += first * math.Pow(ratio, float64(i))
		if i == cells-1 {
			x = b
		}
		out = append(out, x)
	}
	return out
}

func metalFrame() known {
	points := []place{
		{"A", 0, 0, 0.0475},
		{"B", 0.5, 0, 0.0475},
		{"C", 0, 0, 0.0415},
		{"D", 0.015, 0, 0.0415},
		{"E", 0.5, 0, 0.0415},
		{"F", 0, 0, 0.0365},
		{"G", 0.015, 0, 0.0365},
		{"H", 0, 0, 0},
		{"I", 0.5, 0, 0},
	}
	published := []float64{7.1, 0.8, 7.9, 6.3, 0.8, 16.4, 16.3, 16.8, 18.3}
	// Cells are fine at the web and at the flange's end, where the flux crowds.
	depth := append(edges([]float64{0, 1.5, 8, 13, 15, 17}, 4, 8, 8, 8, 8), growing(17, 500, 34, 1.12)...)
	height := edges([]float64{0, 1.5, 29, 34, 35, 36.5, 37.5, 40.5, 41.5, 47.5}, 4, 16, 8, 4, 6, 6, 8, 6, 12)
	rows := []wanted{within("ISO 10211 case 2: heat flow", "W/m", 9.5, 0.1, lastValue("lost top", 100))}
	for i, p := range points {
		rows = append(rows, within("ISO 10211 case 2: point "+p.Name, "degC", published[i], 0.1, lastDegC(p.Name)))
	}
	return known{
		topic: bridgeTopic, title: "ISO 10211 case 2", file: "frame.yaml",
		fill: struct {
			Depth, Height string
			Points        []place
		}{millimetres(depth), millimetres(height), points},
		rows: from(isoSource+"2", "the standard asks for 0.1 W/m and 0.1 K", rows...),
	}
}

func barInWall() known {
	depth := append(edges([]float64{0, 10, 190, 200, 210}, 5, 22, 5, 4), growing(210, 600, 24, 1.09)...)
	width := append(edges([]float64{0, 40, 50, 60}, 5, 5, 5), growing(60, 500, 20, 1.16)...)
	height := append(edges([]float64{0, 15, 25, 35}, 2, 5, 5), growing(35, 500, 20, 1.17)...)
	return known{
		topic: bridgeTopic, title: "ISO 10211 case 4", file: "bar-in-wall.yaml",
		fill: struct{ Depth, Width, Height string }{millimetres(depth), millimetres(width), millimetres(height)},
		rows: from(isoSource+"4", "the standard asks for 1 % and 0.005 K; a quarter is computed",
			near("ISO 10211 case 4: heat flow", "W", 0.54, 0.01, lastValue("lost front", 4)),
			within("ISO 10211 case 4: highest temperature outside", "degC", 0.805, 0.005, lastDegC("bar end"))),
	}
}
