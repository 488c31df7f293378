package figure

import "math"

// Open marks show what was measured. Their shapes tell columns and trials apart without colour; no line runs through
// them.

// markShapes is how many shapes there are before they begin again.
const markShapes = 6

// mark draws the open mark of number k.
func (c *canvas) mark(k int, x, y float64, colour string) {
	const r = 3.0
	style := []string{"fill", sheet, "stroke", colour, "stroke-width", "1.1"}
	corners := func(points ...float64) {
		var p polyline
		for i := 0; i+1 < len(points); i += 2 {
			if i == 0 {
				p.move(x+r*points[i], y+r*points[i+1])
			} else {
				p.to(x+r*points[i], y+r*points[i+1])
			}
		}
		p.close()
		c.path(p.String(), style...)
	}
	switch k % markShapes {
	case 0:
		c.circle(x, y, r, style...)
	case 1:
		corners(0, -1.25, 1.15, 0.85, -1.15, 0.85)
	case 2:
		corners(-0.9, -0.9, 0.9, -0.9, 0.9, 0.9, -0.9, 0.9)
	case 3:
		corners(0, -1.35, 1.1, 0, 0, 1.35, -1.1, 0)
	case 4:
		corners(0, 1.25, 1.15, -0.85, -1.15, -0.85)
	default:
		corners(-1.3, -0.75, 1.3, -0.75, 1.3, 0.75, -1.3, 0.75)
	}
}

// marksAt draws open marks at points; absent ones and those that lie farther outside the frame than a mark is wide are
// left out.
func (c *canvas) marksAt(k int, f *frame, x, y []float64, colour string) {
	for i := range x {
		px, py := f.px(x[i]), f.py(y[i])
		if math.IsNaN(px+py) || px < f.left-6 || px > f.right+6 || py < f.top-6 || py > f.bottom+6 {
			continue
		}
		c.mark(k, px, py, colour)
	}
}

// span draws a dimension line from x0 to x1 with an arrowhead at each end.
func (c *canvas) span(x0, x1, y float64, colour string) {
	c.line(x0, y, x1, y, "stroke", colour, "stroke-width", "0.7")
	if x1-x0 < 18 {
		for _, x := range []float64{x0, x1} {
			c.line(x, y-3, x, y+3, "stroke", colour, "stroke-width", "0.7")
		}
		return
	}
	c.path("M"+px(x0)+" "+px(y)+"L"+px(x0+8)+" "+px(y-1.4)+"L"+px(x0+8)+" "+px(y+1.4)+"Z", "fill", colour)
	c.path("M"+px(x1)+" "+px(y)+"L"+px(x1-8)+" "+px(y-1.4)+"L"+px(x1-8)+" "+px(y+1.4)+"Z", "fill", colour)
}
