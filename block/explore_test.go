package block

import (
	"fmt"
	"testing"
)

func show(g *Grid, w []string, err error) {
	if err != nil {
		fmt.Println(err)
		return
	}
	for a := range g.Lines {
		fmt.Printf("%v %d:", Axis(a), g.N(Axis(a)))
		for i := 0; i < g.N(Axis(a)); i++ {
			fmt.Printf(" %.2f", 1e3*g.Size(Axis(a), i))
		}
		fmt.Println()
	}
	fmt.Println(g.Cells(), w)
}

func TestExplore(t *testing.T) {
	core := Box{Point{0, 0, 0}, Point{.2, .3, .3}}
	body := Box{Point{-.05, -.0805, -.0805}, Point{.2505, .3805, .3805}}
	boxes := []Box{body, {Point{-.05, -.08, -.08}, Point{.25, .38, .38}}, core, {Point{.02, .02, -.08}, Point{.04, .04, 0}}}
	var lines []Line
	for _, d := range []float64{.05, .1, .15} {
		for _, h := range []float64{.075, .15, .225} {
			lines = append(lines, Line{Width, Point{d, 0, h}, -.08, .38, .012})
		}
	}
	for _, r := range []float64{1, 1.3, 1.69} {
		show(Lay(Layout{Body: body, Core: core, Boxes: boxes, Lines: lines, Refine: r}))
	}
	show(Lay(Layout{Body: core, Core: core, Boxes: []Box{core}, Lines: []Line{{Width, Point{.1, 0, .15}, 0, .3, .012}}}))
	show(Lay(Layout{Body: core, Core: core, Boxes: []Box{core}, Lines: []Line{{Width, Point{.1, 0, .15}, 0, .3, .16}}}))
	show(Lay(Layout{Body: core, Core: core, Boxes: []Box{core}, Lines: []Line{{Width, Point{.03, 0, .0755}, 0, .3, .012},{Width, Point{.09, 0, .091}, 0, .3, .012}}}))
}
