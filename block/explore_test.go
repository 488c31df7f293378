package block

import (
	"fmt"
	"testing"
)

func TestExplore(t *testing.T) {
	run := func(name string, W, H float64, xs []float64, z, D, exact float64, cold [6]bool) {
		for _, deep := range []float64{1} {
			for _, r := range []float64{0.6, 0.77, 1, 1.3, 1.69} {
				core := Box{Point{0, 0, 0}, Point{deep * H, W, H}}
				var lines []Line
				for _, x := range xs {
					lines = append(lines, Line{Depth, Point{0, x, z}, 0, deep * H, D})
				}
				g, w, err := Lay(Layout{Body: core, Core: core, Boxes: []Box{core}, Lines: lines, Refine: r})
				if err != nil {
					t.Fatal(err)
				}
				g.Lines[0] = []float64{0, 1}
				c := NewCutter(g, nil)
				s := steady{g, [3]float64{1, 1, 1}, nil, cold}
				for _, l := range lines {
					l.To = 1
					b, err := c.Cut(l, s.k)
					if err != nil {
						t.Fatal(err)
					}
					s.bores = append(s.bores, &b)
				}
				f := s.flows()
				fmt.Printf("%s D %.2f refine %.2f %d×%d  err", name, D, r, g.N(1), g.N(2))
				for i := range f {
					fmt.Printf(" %+.2f%%", 100*(f[i]/exact-1))
				}
				fmt.Println(len(s.bores[0].Removed), w)
			}
		}
	}
	all := [6]bool{false, false, true, true, true, true}
	for _, q := range [][2]float64{{0.05, 2.04564485653}, {0.1, 2.64182920077}, {0.3, 4.90976340392}, {0.5, 8.17247084772}, {0.8, 21.306246435}, {0.9, 37.184032881}} {
		run("square", 1, 1, []float64{.5}, .5, q[0], q[1], all)
	}
	tb := [6]bool{false, false, false, false, true, true}
	for _, q := range [][2]float64{{.1, 2.46966855606}, {.2, 3.39472542789}, {.5, 6.76126617746}, {.7, 10.9139545586}} {
		run("planes", 4, 1, []float64{2}, .5, q[0], q[1], tb)
	}
	four := []float64{.5, 1.5, 2.5, 3.5}
	run("slabrow t1", 4, 1, four, .5, .1, 2.3058549181, tb)
	run("slabrow t1", 4, 1, four, .5, .25, 3.4767743841, tb)
	run("slabrow t.5", 4, .5, four, .25, .25, 6.710733098, tb)
	run("slabrow t1.5", 4, 1.5, four, .75, .4, 2.9651837038, tb)
	top := [6]bool{false, false, false, false, false, true}
	run("below .5", 4, 2, four, 1.5, .1, 1.47047931322, top)
	run("below .5", 4, 2, four, 1.5, .2, 1.79134534735, top)
	run("below .3", 4, 1.8, four, 1.5, .3, 3.73154735695, top)
	run("below 1", 4, 2.5, four, 1.5, .5, 1.18568200122, top)
}
