package verify

import "fmt"

// lattice fills the gaps of cases/tube.yaml.
type lattice struct {
	Name                  string
	Depth, Height, Length float64 // m
	Conductivity          float64 // W/(m K)
	Cold                  []string
	Outer, Inner          float64   // m
	At                    float64   // m, depth of the axes
	Heights               []float64 // m, of the axes
}

const (
	tubeTopic   = "tubes in a block"
	shapeSource = "Incropera et al., Fundamentals of Heat and Mass Transfer, Table 4.1; Hahne & Grigull, Int. J. Heat Mass Transfer 18 (1975) 751; " +
		"value computed from the exact series with a proven bound below 5e-10"
	rowSource = "Hahne & Grigull, Int. J. Heat Mass Transfer 18 (1975) 751; Holman, Heat Transfer, Table 3-1; " +
		"value computed from the exact series with a proven bound below 5e-10"
)

// tubes are shape factors on the grid that lays itself: within 1 % up to a diameter of half the spacing, 3 % up
// to 0.8.
func tubes() []known {
	var out []known
	add := func(source, name string, l lattice, expected, share float64) {
		l.Name, l.Length, l.Conductivity = name, 0.1, 10
		l.Inner = 0.8 * l.Outer
		shape := func(o *outcome) float64 {
			return o.last("heat to passes") / (l.Conductivity * l.Length * (20 - 100)) / float64(len(l.Heights))
		}
		out = append(out, known{topic: tubeTopic, title: name, file: "tube.yaml", fill: l, rows: from(source,
			"shape factor for each length, on the default grid; asked for: 1 % up to a diameter of half the spacing, 3 % up to 0.8",
			near(name, "1", expected, share, shape))})
	}
	const w = 0.08
	for _, c := range []struct{ ratio, S, share float64 }{
		{0.05, 2.04564485653, 0.01},
		{0.1, 2.64182920077, 0.01},
		{0.3, 4.90976340392, 0.01},
		{0.5, 8.17247084772, 0.01},
		{0.8, 21.306246435, 0.03},
	} {
		add(shapeSource, fmt.Sprintf("tube in a square, D = %g of the side", c.ratio),
			lattice{Depth: w, Height: w, Cold: []string{"front", "back", "bottom", "top"}, Outer: c.ratio * w, At: w / 2, Heights: []float64{w / 2}}, c.S, c.share)
	}
	for _, c := range []struct{ ratio, S, share float64 }{{0.1, 2.46966855606, 0.01}, {0.2, 3.39472542789, 0.01}, {0.5, 6.76126617746, 0.01}, {0.7, 10.9139545586, 0.03}} {
		add(shapeSource, fmt.Sprintf("tube between two planes, D = %g of their distance", c.ratio),
			lattice{Depth: w, Height: 5 * w, Cold: []string{"front", "back"}, Outer: c.ratio * w, At: w / 2, Heights: []float64{2.5 * w}}, c.S, c.share)
	}
	for _, c := range []struct{ ratio, slab, S float64 }{{0.1, 1, 2.3058549181}, {0.25, 1, 3.4767743841}, {0.25, 0.5, 6.710733098}, {0.4, 1.5, 2.9651837038}} {
		add(rowSource, fmt.Sprintf("row of tubes in a slab of %g spacings, D = %g spacings", c.slab, c.ratio),
			lattice{
				Depth: c.slab * w, Height: 3 * w, Cold: []string{"front", "back"}, Outer: c.ratio * w, At: c.slab * w / 2,
				Heights: []float64{w / 2, 3 * w / 2, 5 * w / 2},
			}, c.S, 0.01)
	}
	for _, c := range []struct{ ratio, depth, S float64 }{{0.1, 0.5, 1.47047931322}, {0.2, 0.5, 1.79134534735}, {0.3, 0.3, 3.73154735695}, {0.5, 1, 1.18568200122}} {
		add(rowSource, fmt.Sprintf("row of tubes %g spacings below a plane, D = %g spacings", c.depth, c.ratio),
			lattice{
				Depth: (c.depth + 2) * w, Height: 2 * w, Cold: []string{"front"}, Outer: c.ratio * w, At: c.depth * w,
				Heights: []float64{w / 2, 3 * w / 2},
			}, c.S, 0.01)
	}
	return out
}
