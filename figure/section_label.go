package figure

import (
	"math"
	"sort"
)

// drawn tells whether a line is drawn at a place on the paper: in something solid, or in the block alone.
func (d *drawing) drawn(l isoline, p vertex) bool {
	i := d.s.g.Find(d.s.across, d.s.g.Lines[d.s.across][0]+(p.u-d.left)/d.perMetre)
	j := d.s.g.Find(d.s.up, d.s.g.Lines[d.s.up][0]+(d.bottom-p.v)/d.perMetre)
	if i < 0 || j < 0 {
		return false
	}
	part := d.part[d.s.cell(i, j)]
	return part >= 0 && (!l.inside || d.inBlock(part))
}

// label writes temperatures on the longest lines first, where no other label stands near.
func (d *drawing) label(lines []isoline) {
	length := func(l isoline) float64 {
		sum := 0.0
		for i := 1; i < len(l.points); i++ {
			sum += math.Hypot(l.points[i].u-l.points[i-1].u, l.points[i].v-l.points[i-1].v)
		}
		return sum
	}
	sort.SliceStable(lines, func(i, j int) bool { return length(lines[i]) > length(lines[j]) })
	var taken []vertex
	for _, c := range d.circles() {
		taken = append(taken, vertex{c.x, c.y})
	}
	times := map[float64]int{}
	for _, l := range lines {
		all := length(l)
		if all < 40 || times[l.celsius] >= 2 {
			continue
		}
		for _, share := range []float64{0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6, 0.05, 0.95} {
			p := along(l.points, share*all)
			s := Number(l.celsius, l.decimals)
			if d.view.Kelvin {
				s = Number(l.celsius+zeroC, l.decimals)
			}
			w := widthOf(numbers, s)
			free := p.u > d.left+w/2+3 && p.u < d.left+d.width-w/2-3 && p.v > d.bottom-d.height+8 && p.v < d.bottom-8 && d.drawn(l, p)
			for _, t := range taken {
				if math.Abs(t.u-p.u) < w+10 && math.Abs(t.v-p.v) < 16 {
					free = false
				}
			}
			if !free {
				continue
			}
			taken = append(taken, p)
			times[l.celsius]++
			fill, halo := ink, d.scale.tint(l.celsius)
			if d.scale.share(l.celsius) > 0.6 {
				fill = sheet
			}
			look := []string{"fill", fill, "stroke", halo, "stroke-width", "3", "paint-order", "stroke", "stroke-linejoin", "round"}
			if !d.view.Kelvin {
				look = append([]string{"class", celsius}, look...)
			}
			d.c.text(numbers, p.u, p.v+4, "middle", s, look...)
			break
		}
	}
}

func along(points []vertex, want float64) vertex {
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		l := math.Hypot(b.u-a.u, b.v-a.v)
		if want <= l && l > 0 {
			return vertex{a.u + (b.u-a.u)*want/l, a.v + (b.v-a.v)*want/l}
		}
		want -= l
	}
	return points[len(points)-1]
}
