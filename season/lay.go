package season

import (
	"fmt"
	"math"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/receiver"
)

// laid is the receiver with its cells gathered in nodes.
type laid struct {
	group  []int16 // by cell; -1: air
	nodes  int
	layers int       // the first nodes are the block's layers, from the window inwards
	share  []float64 // by part: how far between surroundings (0) and block (1) its temperature stands
	curves []curve
	volume []float64 // m³ of the block's layers
	latent float64   // J, of all that can melt in the block
}

// standing has the full model solve for the steady state of a receiver whose block is heated evenly in the dark, its cover
// shut and its tubes empty, near a temperature of the block.
func (b *builder) standing(p heat.Problem, air, block float64) (r *heat.Result, err error) {
	q := p
	q.Steady, q.FieldTimes, q.ProfileTimes, q.Probes, q.Output, q.Seen, q.Progress = true, nil, nil, nil, []float64{0}, nil, nil
	q.Initial = air
	q.Duty = duty.Duty{
		Ambient: duty.Fixed(air), Tilt: p.Duty.Tilt, Switches: duty.Switches{CoverShut: true},
		Water: p.Duty.Water, Heaters: make([]duty.Signal, len(p.Duty.Heaters)),
	}
	if !q.Duty.Tilt.Empty() {
		q.Duty.Tilt = duty.Fixed(p.Duty.Tilt.V[0])
	}
	for i := range q.Duty.Heaters {
		q.Duty.Heaters[i] = duty.Fixed(0)
	}
	size := 0.0
	for a := range 3 {
		size = max(size, p.Receiver.Block.Max[a]-p.Receiver.Block.Min[a])
	}
	source := shellGuess * size * size * (block - air) // W, near what it takes
	parts := append([]receiver.Part(nil), p.Receiver.Parts...)
	for i := range parts {
		parts[i].Generation, parts[i].Initial = 0, math.NaN()
		if parts[i].Role == receiver.RoleBlock {
			parts[i].Generation = source / parts[i].Box.Volume()
		}
	}
	q.Receiver.Parts = parts
	if r, err = b.compute(q, "", nil); err != nil {
		return nil, fmt.Errorf("solving for the receiver that stands hot: %w", err)
	}
	if mean := r.History.Column("block mean").Values[0]; !(mean > air+1e-6) {
		return nil, fmt.Errorf("a block heated by %.3g W stands at %.6g K in air of %.6g K: nothing to build from", source, mean, air)
	}
	return r, nil
}

// shellGuess is a heat loss in W/(m² K) by the square of the block's longest edge: how temperatures share out between block and
// surroundings hangs little on how hot it is.
const shellGuess = 4

// lay gathers the cells: layers of the block of equal depth, shells by where the standing temperature falls by equal shares.
func lay(p *heat.Problem, still *heat.Still, hot *heat.Result, air float64, layers, shells int) (*laid, error) {
	g, parts := still.Body()
	T := hot.Fields[len(hot.Fields)-1].Temperature
	mean := hot.History.Column("block mean").Values[0]
	l := &laid{group: make([]int16, g.Cells()), layers: layers, share: make([]float64, len(p.Receiver.Parts))}
	b := p.Receiver.Block
	weight := make([]float64, len(p.Receiver.Parts))
	used := make([]int, layers+shells)
	for c := range l.group {
		l.group[c] = -1
		if parts[c] < 0 {
			continue
		}
		pt := &p.Receiver.Parts[parts[c]]
		i, j, k := g.Place(c)
		if pt.Role == receiver.RoleBlock {
			depth := 0.5*(g.Lines[0][i]+g.Lines[0][i+1]) - b.Min[0]
			l.group[c] = int16(min(layers-1, max(0, int(float64(layers)*depth/(b.Max[0]-b.Min[0])))))
		} else {
			x := math.Min(math.Max((T[c]-air)/(mean-air), 0), 1-1e-9)
			l.group[c] = int16(layers + shells - 1 - int(x*float64(shells)))
			v := g.Size(0, i) * g.Size(1, j) * g.Size(2, k)
			l.share[parts[c]] += v * x
			weight[parts[c]] += v
		}
		used[l.group[c]]++
	}
	for i := range l.share {
		if weight[i] > 0 {
			l.share[i] /= weight[i]
		} else {
			l.share[i] = 1
		}
	}
	// Nodes without cells are left out: a coarse grid may have fewer layers.
	to := make([]int16, len(used))
	for n, cells := range used {
		if cells == 0 {
			if n < layers {
				l.layers--
			}
			continue
		}
		to[n] = int16(l.nodes)
		l.nodes++
	}
	if l.layers < 1 {
		return nil, fmt.Errorf("no cell of the grid belongs to the block")
	}
	for c, n := range l.group {
		if n >= 0 {
			l.group[c] = to[n]
		}
	}
	l.weigh(p, still)
	return l, nil
}

// weigh lays the nodes' curves.
func (l *laid) weigh(p *heat.Problem, still *heat.Still) {
	masses := still.Masses(l.group, l.nodes)
	for n := range masses {
		var parts []part
		volume := 0.0
		for m, mass := range masses[n] {
			if mass > 0 {
				md := &p.Receiver.Media[m]
				parts = append(parts, part{mass, still.Enthalpy(m), md})
				volume += mass / md.Density
				if n < l.layers {
					l.latent += mass * md.Latent
				}
			}
		}
		l.curves = append(l.curves, layCurve(parts))
		if n < l.layers {
			l.volume = append(l.volume, volume)
		}
	}
}
