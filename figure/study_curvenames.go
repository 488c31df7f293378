package figure

import (
	"fmt"
	"math"
	"sort"
)

// tag is what stands on the right of a plot at the end of a line: some lines of text and, before them, a piece of it.
type tag struct {
	at    float64 // px, where the line ends
	text  []string
	small []string // below, in the second ink
	piece *curve   // nil: none
}

func (t *tag) high() float64 { return 14*float64(len(t.text)+len(t.small)) + 3 }

// names sets the tags of lines and trends beside the plot; those for which there is no room are counted.
func (p *curves) names(limits []Limit) {
	const room = 184.0
	var all []tag
	for _, l := range limits {
		if y := p.y.at(l.At); !math.IsNaN(y) {
			says := l.Says
			switch {
			case y < p.top-0.01:
				says += ", above this picture"
			case y > p.bottom+0.01:
				says += ", below this picture"
			}
			all = append(all, tag{at: math.Max(p.top, math.Min(p.bottom, y)), text: wrap(names, says, room)})
		}
	}
	for i := range p.lines {
		l := &p.lines[i]
		one := tag{at: p.endOf(l.X, l.Y)}
		if l.Name != "" {
			one.text = wrap(names, l.Name, room)
			if len(p.lines) > 1 && !p.many() && p.x.of.Words == nil {
				one.piece = p.stroke(i)
				one.text = wrap(names, l.Name, room-26)
			}
		}
		if v := l.Verdict; v != nil && !p.many() {
			says, into := v.Says, &one.small
			if len(p.lines) == 1 {
				into = &one.text
				if v.Plateau && v.Margins != "" {
					says += ": changes by less than " + v.Margins
				}
			}
			width := room
			if one.piece != nil {
				width -= 26
			}
			*into = append(*into, wrap(names, says, width)...)
			for _, t := range v.Trends {
				if len(p.lines) > 1 {
					break
				}
				words := t.Name
				if t.Limit != "" {
					words += ", to " + t.Limit
				}
				all = append(all, tag{at: p.endOf(t.X, t.Y), small: wrap(names, words, room)})
			}
		}
		if len(one.text)+len(one.small) > 0 && !math.IsNaN(one.at) {
			all = append(all, one)
		}
	}
	p.c.tags(all, p.right, p.top+4, p.bottom)
}

// endOf is the height at which a line ends.
func (p *curves) endOf(x, y []float64) float64 {
	for k := len(y) - 1; k >= 0; k-- {
		if v := p.y.at(y[k]); !math.IsNaN(v) {
			return math.Max(p.top, math.Min(p.bottom, v))
		}
	}
	return math.NaN()
}

// tags sets tags to the right of a plot's edge, as near to their lines' ends as others allow. Where there is no room for all,
// some from the first to the last stand for them, and the others are counted.
func (c *canvas) tags(all []tag, edge, top, bottom float64) {
	sort.SliceStable(all, func(i, j int) bool { return all[i].at < all[j].at })
	kept := all
	for n := len(all) - 1; n >= 1 && need(kept) > bottom-top-17; n-- {
		kept = nil
		for i := range n {
			kept = append(kept, all[i*(len(all)-1)/max(1, n-1)])
		}
	}
	more := len(all) - len(kept)
	if more > 0 {
		bottom -= 17
	}
	for i, y := range stacked(kept, top, bottom) {
		t := &kept[i]
		x := edge + 18
		middle := y + 7
		c.path("M"+px(edge+1)+" "+px(t.at)+"L"+px(edge+14)+" "+px(middle), "fill", "none", "stroke", line, "stroke-width", "0.6")
		if t.piece != nil {
			c.path("M"+px(x-2)+" "+px(middle)+"h22", t.piece.stroke()...)
			x += 26
		}
		y = c.lines(names, x, y+11, 14, "start", t.text)
		c.lines(names, x, y, 14, "start", t.small, "fill", ink2)
	}
	if more > 0 {
		c.text(names, edge+18, bottom+15, "start", fmt.Sprintf("and %d more between", more), "fill", ink2)
	}
}

func need(all []tag) float64 {
	sum := 0.0
	for i := range all {
		sum += all[i].high()
	}
	return sum
}

// stacked places tags below one another, each centred on its wish where the others let it.
func stacked(all []tag, top, bottom float64) []float64 {
	y := make([]float64, len(all))
	free := top
	for i := range all {
		y[i] = math.Max(free, all[i].at-7)
		free = y[i] + all[i].high()
	}
	foot := bottom
	for i := len(all) - 1; i >= 0 && y[i]+all[i].high() > foot; i-- {
		y[i] = foot - all[i].high()
		foot = y[i]
	}
	return y
}
