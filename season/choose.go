package season

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"emberbank/duty"
	"emberbank/heat"
)

// Plan is from which days a model is built and against which it is held. Days that are not listed are chosen: so many, spread
// over the season's light.
type Plan struct {
	From, Apart           []Day
	FromCount, ApartCount int
}

// The days that are chosen where nothing is said.
const (
	DefaultFrom  = 4
	DefaultApart = 4
)

// lightOf returns the light of each whole day of a season, in the unit of the light's signal times s, heaters' included.
func lightOf(d *duty.Duty, days int) []float64 {
	out := make([]float64, days)
	for day := range out {
		for t := float64(day) * daySeconds; t < float64(day+1)*daySeconds; t += traitEvery {
			out[day] += shining(d, t+0.5*traitEvery) * traitEvery
		}
	}
	return out
}

// shining returns a duty's light at a time, in the unit of its signal, heaters' power included.
func shining(d *duty.Duty, t float64) float64 {
	light := 0.0
	if d.Light != nil {
		light = d.Light.Power.At(t)
	}
	for i := range d.Heaters {
		light += d.Heaters[i].At(t)
	}
	return light
}

// ranked returns the days of a season from the darkest to the brightest, those left out that others take.
func ranked(light []float64, taken []Day) []int {
	var out []int
	for i := range light {
		if shared([]Day{DayAt(i, math.NaN())}, taken) == nil {
			out = append(out, i)
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return light[out[a]] < light[out[b]] })
	return out
}

// DayAt is a whole day of the season, counted from 0, with the block at a temperature in K, or at the ambient (NaN).
func DayAt(day int, block float64) Day {
	return Day{Name: fmt.Sprintf("day %d", day+1), From: float64(day) * daySeconds, Lasts: daySeconds, Block: block}
}

// shared returns the first of some days that overlaps with another list; nil: none does.
func shared(days, others []Day) *Day {
	for i := range days {
		d := &days[i]
		if slices.ContainsFunc(others, func(o Day) bool { return o.From < d.From+d.Lasts && d.From < o.From+o.Lasts }) {
			return d
		}
	}
	return nil
}

// chooseFrom chooses days to build from: the brightest, the darkest, and others evenly between them. The brightest begins empty,
// the darkest hot, so that it is emptied; the others between. Days that stand apart are left out.
func chooseFrom(light []float64, n int, apart []Day, air, hot float64) []Day {
	order := ranked(light, apart)
	n = min(n, len(order))
	var out []Day
	for i := range n {
		x := 0.0 // of the way from the brightest to the darkest
		if n > 1 {
			x = float64(i) / float64(n-1)
		}
		day := order[int(math.Round((1-x)*float64(len(order)-1)))]
		block := air + x*(hot-air)
		if i == 0 {
			block = math.NaN()
		}
		out = append(out, DayAt(day, block))
	}
	return out
}

// chooseApart chooses days to be held against, from none of which the model was built: evenly spread between the darkest and
// the brightest; the one in the middle (of two the brighter) begins empty, all others as the season has them.
func chooseApart(light []float64, n int, taken []Day, block func(day int) float64) []Day {
	order := ranked(light, taken)
	n = min(n, len(order))
	var out []Day
	for i := range n {
		day := order[int((float64(i)+0.5)/float64(n)*float64(len(order)))]
		at := block(day)
		if i == n/2 {
			at = math.NaN()
		}
		out = append(out, DayAt(day, at))
	}
	return out
}

// hotOf is the temperature in K to which a receiver's block is likely to be charged: where a rule stops the charge, or above
// the melting of what is in it.
func hotOf(p *heat.Problem) float64 {
	hot := 0.0
	for i := range p.Duty.Rules {
		if r := &p.Duty.Rules[i]; r.Watch.What == duty.WatchBlockMean && r.Above {
			hot = math.Max(hot, r.Threshold)
		}
	}
	if hot > 0 {
		return hot
	}
	for i := range p.Receiver.Media {
		if m := &p.Receiver.Media[i]; m.Latent > 0 {
			hot = math.Max(hot, m.Liquidus+30)
		}
	}
	if hot > 0 {
		return hot
	}
	return 573.15
}
