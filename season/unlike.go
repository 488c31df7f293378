package season

import (
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/heat"
)

// traits are what a day is like: weather, light and load that it brings, and the states through which it goes.
type traits [traitCount]float64

// What is looked at of a day, each in SI. Wavering is by how much the light goes up and down beyond rising and falling once;
// switching is how often cover or light begin or end.
const (
	lightSum = iota
	lightPeak
	lightWavering
	ambient
	windMean
	wanted
	blockFirst
	blockHighest
	switching
	traitCount
)

var traitNames = [traitCount]string{
	"light of the day", "strongest light", "wavering of the light", "ambient", "wind", "what is wanted", "block's mean at its beginning", "block's highest mean", "switching of cover and light",
}

// traitEvery is how often, in s, a day's weather is looked at for its light and its other traits.
const traitEvery = 600.0

// weatherTraits are the traits of day number n of a duty that it brings with it.
func weatherTraits(d *duty.Duty, n int) (x traits) {
	before := 0.0
	for t := float64(n) * daySeconds; t < float64(n+1)*daySeconds; t += traitEvery {
		at := t + 0.5*traitEvery
		light := shining(d, at)
		x[lightSum] += light * traitEvery
		x[lightPeak] = math.Max(x[lightPeak], light)
		x[lightWavering] += math.Abs(light - before)
		before = light
		w := heat.WeatherAt(d, at)
		x[ambient] += w.Air * traitEvery / daySeconds
		x[windMean] += w.Wind * traitEvery / daySeconds
		if d.Load != nil {
			x[wanted] += d.Load.Wanted.At(at) * traitEvery
		}
	}
	x[lightWavering] = math.Max(0, x[lightWavering]+before-2*x[lightPeak])
	return x
}

// likeSeason are the traits of each day of a season.
func likeSeason(d *duty.Duty, days []DayBooks) []traits {
	out := make([]traits, len(days))
	for i := range days {
		x := weatherTraits(d, i)
		x[blockFirst], x[blockHighest], x[switching] = days[i].First, days[i].Warmest, float64(days[i].Switched)
		out[i] = x
	}
	return out
}

// likeObserved are the traits of each day of a stretch of the season that the full model computed.
func likeObserved(d *duty.Duty, o *observed) []traits {
	var out []traits
	mean := o.column("block mean")
	const perDay = daySeconds / rowsEvery
	for n := 0; n*perDay < len(mean)-1; n++ {
		x := weatherTraits(d, int(o.day.From/daySeconds)+n)
		rows := mean[n*perDay : min((n+1)*perDay+1, len(mean))]
		x[blockFirst], x[blockHighest] = rows[0], slices.Max(rows)
		for i := n*perDay + 1; i < n*perDay+len(rows); i++ {
			if a, b := &o.rows[i-1], &o.rows[i]; a.Shut != b.Shut || (a.Light > 0) != (b.Light > 0) {
				x[switching]++
			}
		}
		out = append(out, x)
	}
	return out
}

// spans are the least and the largest of each trait.
func spans(days []traits) (lo, hi traits) {
	for i, x := range days {
		for k, v := range x {
			if i == 0 {
				lo[k], hi[k] = v, v
			}
			lo[k], hi[k] = math.Min(lo[k], v), math.Max(hi[k], v)
		}
	}
	return lo, hi
}

// leastScale is the least of each trait, in SI, against which differences count, where a season spans less: a twentieth of it is
// nothing that errors hang on. Of light and of what is wanted it is the season's largest.
var leastScale = traits{ambient: 20, windMean: 5, blockFirst: 100, blockHighest: 100, switching: 40}

// scales are what differences of each trait count against: what the season spans.
func scales(season []traits) (out traits) {
	lo, hi := spans(season)
	for k := range out {
		least := leastScale[k]
		if least == 0 {
			least = hi[k]
		}
		out[k] = math.Max(hi[k]-lo[k], least)
	}
	return out
}

// farthest returns the day of a season that is least like any of those that are known: the one whose nearest is farthest, each trait
// counted against its scale. Days that are taken are left out; -1: none is left, or all are alike.
func farthest(season, known []traits, taken []Day) int {
	scale := scales(season)
	best, most := -1, 0.0
	for i, x := range season {
		if shared([]Day{DayAt(i, math.NaN())}, taken) != nil {
			continue
		}
		nearest := math.Inf(1)
		for _, y := range known {
			sum := 0.0
			for k := range x {
				if scale[k] > 0 {
					d := (x[k] - y[k]) / scale[k]
					sum += d * d
				}
			}
			nearest = math.Min(nearest, sum)
		}
		if nearest > most {
			best, most = i, nearest
		}
	}
	return best
}

// Beyond is the days of a season on which one trait lies outside those of the days that the full model computed.
type Beyond struct {
	Trait string
	Days  []int // from 0
}

// beyondShare is the share of a trait's scale by which a day may pass the days in full before it counts as outside.
const beyondShare = 0.05

// beyond lists in which traits, and on which days, a season leaves those of the days that are known.
func beyond(season, known []traits) []Beyond {
	var out []Beyond
	scale := scales(season)
	from, to := spans(known)
	for k, name := range traitNames {
		margin := beyondShare * scale[k]
		one := Beyond{Trait: name}
		for i := range season {
			if x := season[i][k]; x < from[k]-margin || x > to[k]+margin {
				one.Days = append(one.Days, i)
			}
		}
		if len(one.Days) > 0 {
			out = append(out, one)
		}
	}
	return out
}

// Outside are the days of the season, from 0, on which something lies outside the days that the full model computed: see Beyond.
func (o *Outcome) Outside() []int {
	var out []int
	for i := range o.Beyond {
		out = append(out, o.Beyond[i].Days...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}
