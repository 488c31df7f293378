package season

import (
	"math"

	"emberbank/heat"
)

// glazing is the pane as a node of its own: it takes heat across the gap from the block's face and light, and gives heat to the
// outside. A cover that is shut and opened some times a day moves its heat content as often.
type glazing struct {
	heat.Glazing
	node  int       // of the pane
	films []float64 // W/(m² K) of the gap, by tilt, pane and face
	tilts axis
	right float64 // factor of what crosses the gap
	ease  float64 // K/W, by which the face is hotter than the first layer for what enters the block through it
}

// gapAt are the temperatures in K, of face and of pane, at which the gap's film is tabled.
var gapAt = append(spread(240, 720, 25), 800, 900, 1100)

// glaze lays the pane as a node, where there is one.
func (l *laid) glaze(still *heat.Still, r weatherRange) *glazing {
	of, any := still.Glazing()
	if !any {
		return nil
	}
	g := &glazing{Glazing: of, node: l.nodes, tilts: spread(r.tilt[0], r.tilt[1], 4), right: 1}
	for _, tilt := range g.tilts {
		for _, pane := range gapAt {
			for _, face := range gapAt {
				g.films = append(g.films, still.Gap(tilt, face, pane))
			}
		}
	}
	low, high := g.Capacity*(curveLow-293.15), g.Capacity*(curveHigh-293.15)
	l.nodes++
	l.curves = append(l.curves, curve{H: []float64{low, high}, T: []float64{curveLow, curveHigh}, M: []float64{0, 0}})
	return g
}

// tilted fills out with the films at a tilt in rad.
func (g *glazing) tilted(out []float64, tilt float64) {
	n := len(gapAt) * len(gapAt)
	i, f := g.tilts.place(tilt)
	for k := range n {
		out[k] = g.films[i*n+k]
		if f > 0 {
			out[k] += f * (g.films[(i+1)*n+k] - out[k])
		}
	}
}

// across returns what flows from a face to the pane in W, at temperatures in K, with its slopes in W/K over either; films are those
// at the tilt.
func (g *glazing) across(films []float64, face, pane float64) (q, overFace, overPane float64) {
	i, x := gapAt.place(face)
	j, y := gapAt.place(pane)
	n := len(gapAt)
	at := func(j int) float64 { return films[j*n+i] + x*(films[j*n+i+1]-films[j*n+i]) }
	low, high := at(j), at(j+1)
	h := low + y*(high-low)
	// The film's own slopes are left out of the conductances: Newton's method needs no more.
	d := face - pane
	q = g.right * (g.Area*h*d + g.Radiates*(face*face*face*face-pane*pane*pane*pane))
	overFace = g.right * (g.Area*h + 4*g.Radiates*face*face*face)
	overPane = -g.right * (g.Area*h + 4*g.Radiates*pane*pane*pane)
	return q, overFace, overPane
}

// behindGlass adds what crosses gap and pane to the flows into the nodes.
func (w *walker) behindGlass(path int) {
	g := w.m.glass
	pane := w.T[g.node]
	face := w.T[0]
	var q, overFace, overPane float64
	for range 4 {
		q, overFace, overPane = g.across(w.gap, face, pane)
		off := face - w.T[0] - g.ease*(w.now.absorbed-q)
		if math.Abs(off) < 1e-6 {
			break
		}
		face -= off / (1 + g.ease*overFace)
	}
	w.across = q
	stiff := 1 + g.ease*overFace
	overFace, overPane = overFace/stiff, overPane/stiff
	lost, slope := read(w.face[0], w.face[1], pane)
	w.f[0] -= q
	w.J[0][0] -= overFace
	w.J[0][g.node] -= overPane
	w.f[g.node] += q + w.paneLight - lost
	w.J[g.node][0] += overFace
	w.J[g.node][g.node] += overPane - slope
	w.now.lost[path] = lost
}
