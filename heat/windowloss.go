package heat

import (
	"math"

	"emberbank/block"
	"emberbank/film"
	"emberbank/receiver"
)

// WindowLoss is what the block's face behind a window loses at one temperature when nothing changes any more.
type WindowLoss struct {
	Lost      float64 // W, from the face: to open air and sky, or across the gap to the pane, or through the shut cover
	Convected float64 // W, the part by air, or through the cover of a window without glass
	Radiated  float64 // W
	Pane      float64 // K; not a number without glass
	Outward   float64 // W, from the pane to what is before it; of a window without glass the same as Lost
	Outside   bool    // a film was used outside its correlation's range
	Moved     float64 // K, by how much the pane still moved in the last round; below SettledPane it has settled
}

// SettledPane is the change of the pane's temperature from round to round, in K, below which LossOfWindow ends, and paneRounds how
// many rounds it takes at the most.
const (
	SettledPane = 1e-6
	paneRounds  = 100
)

// LossOfWindow returns what the block's face loses through a receiver's window with every point of it at one temperature
// (K), while the pane takes so much light (W). It is the balance that a march or a steady run solves at each step, for the
// face alone: films by attitude, radiation across the gap, to sky and ground, the pane's own temperature. The opening counts
// as it stands in the receiver; conduction in the block and beside the window is left out.
func LossOfWindow(rec *receiver.Receiver, out Weather, face, inPane float64, shut bool) WindowLoss {
	win := rec.Window
	o := win.Opening
	p := &patch{side: block.Front, width: o.Max[block.Width] - o.Min[block.Width], height: o.Max[block.Height] - o.Min[block.Height]}
	p.area = p.width * p.height
	s := &skin{b: &body{rec: rec}}
	if win.Glass != nil {
		s.pane = paneOf(rec, p.area)
		s.pane.T, s.pane.absorbed = 0.5*(face+out.Air), inPane
	}
	var c condition
	moved := 0.0
	for range paneRounds {
		c = s.windowCondition(out, shut, out.elevation(int(p.side)), face, 0, p)
		if s.pane == nil {
			break
		}
		moved = math.Abs(s.pane.ahead - s.pane.T)
		s.pane.T = s.pane.ahead
		if moved < SettledPane {
			break
		}
	}
	l := WindowLoss{
		Convected: p.area * c.h * (face - c.air),
		Radiated:  p.area * c.eps * film.StefanBoltzmann * (p4(face) - c.radiator4),
		Pane:      math.NaN(), Outside: c.outside, Moved: moved,
	}
	l.Lost = l.Convected + l.Radiated
	l.Outward = l.Lost
	if s.pane != nil {
		l.Pane = s.pane.T
		l.Outward, _ = s.pane.loss(s.pane.T)
	}
	return l
}
