package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/sample"
	"emberbank/unit"
)

// mostOutside is the share of a normal or lognormal distribution that may lie outside what is allowed; it is cut off.
const mostOutside = 1e-3

// sampled reads a sample.
func (c *choices) sampled(v *value) {
	s := &StudySample{Rows: int64(v.get("count").number(0)), Seed: seedOf(v), Latin: v.get("points").is("latin"), Sensitivity: v.get("sensitivity").yes(false)}
	c.out.Kind, c.out.Sample = Sample, s
	if !v.has("inputs") && !v.get("stated").yes(false) && !v.partial {
		c.r.problemAt(v, v.path+" says of nothing how it is drawn", "inputs, stated: yes, or both", `add "inputs:" with what is known of them, or "stated: yes" for all that the run's files state with ±`)
	}
	ok := !v.partial
	for _, iv := range v.get("inputs").items() {
		ok = c.input(iv) && ok
	}
	if v.get("stated").yes(false) && c.run != nil {
		ok = c.stated(v) && ok
	}
	if ok && c.run != nil {
		c.draws(v, s)
	}
}

func seedOf(v *value) uint64 { return uint64(v.get("seed").number(1)) }

// draws lays the design of a sample.
func (c *choices) draws(v *value, s *StudySample) {
	var into []sample.Distribution
	for i := range c.out.Axes {
		into = append(into, c.out.Axes[i].From)
	}
	columns, each := len(into), int64(1)
	if s.Sensitivity {
		columns, each = 2*columns, int64(len(into)+2)
	}
	count := v.get("count")
	if n := s.Rows * each; n > mostVariants {
		what := fmt.Sprintf("the sample has %d variants", n)
		if each > 1 {
			what += fmt.Sprintf(", %d for each draw", each)
		}
		c.r.wrong(count, what, fmt.Sprintf("at most %d variants", mostVariants), "draw fewer, or leave inputs out")
		return
	}
	var points sample.Points
	var err error
	if s.Latin {
		points, err = sample.NewLatin(s.Rows, columns, s.Seed)
	} else {
		points, err = sample.NewSobol(columns, s.Seed)
	}
	if err == nil {
		if s.Sensitivity {
			c.out.Design, err = sample.NewExchange(s.Rows, points, into...)
		} else {
			c.out.Design, err = sample.NewDrawn(s.Rows, points, into...)
		}
	}
	if err != nil {
		c.r.problemAt(v, v.path+": "+err.Error(), "", "draw fewer, or other inputs")
		return
	}
	if !s.Latin && s.Rows&(s.Rows-1) != 0 {
		c.r.doubt(count, fmt.Sprintf("%s is %d: a Sobol sequence fills best with a power of two", count.path, s.Rows), "take "+powersAround(s.Rows))
	}
	c.try()
}

func powersAround(n int64) string {
	low := int64(1)
	for 2*low <= n {
		low *= 2
	}
	return fmt.Sprintf("%d or %d", low, 2*low)
}

// input reads one input that is drawn; false after a mistake.
func (c *choices) input(v *value) bool {
	a := c.what(v, v.texts("one of", "between", "about", "median", "low", "mode", "high"))
	if !a.known || v.partial {
		return false
	}
	a.From = c.distribution(a)
	if a.From == nil {
		return false
	}
	c.add(a)
	return true
}

// ways are the keys by which a distribution is given.
var ways = []string{"between", "about", "median", "mode", "one of"}

// distribution reads what is known of an input; nil after a mistake.
func (c *choices) distribution(a *asked) sample.Distribution {
	v, r := a.v, c.r
	var given []string
	for _, k := range ways {
		if v.has(k) {
			given = append(given, k)
		}
	}
	if len(given) != 1 {
		what := " says nothing of how it is drawn"
		if len(given) > 1 {
			what = " is given in several ways: " + joined2(given)
		}
		r.problemAt(v, v.path+what, "one of: between, about, median with within factor, low with mode and high, one of", `write for example "between: [`+v.get("name").word("")+` least, largest]" with their units, or "about: … ± …"`)
		return nil
	}
	if a.Kind == AxisWords && given[0] != "one of" {
		r.wrong(v.get(given[0]), "words are drawn one by one", "one of: [word, word]", "give the words under one of")
		return nil
	}
	if a.Kind != AxisNumber && given[0] != "one of" && given[0] != "between" {
		r.wrong(v.get(given[0]), "whole numbers are drawn evenly", "between, or one of", "give the least and the largest under between, or the numbers under one of")
		return nil
	}
	switch given[0] {
	case "between":
		return c.even(a)
	case "about":
		return c.about(a)
	case "median":
		return c.lognormal(a)
	case "mode":
		return c.triangle(a)
	}
	return c.oneOf(a)
}

// even reads "between"; whole numbers are drawn each alike.
func (c *choices) even(a *asked) sample.Distribution {
	pair := a.v.get("between").items()
	low, ok := c.value(a, pair[0])
	high, fine := c.value(a, pair[1])
	switch {
	case !ok || !fine:
		return nil
	case low >= high:
		c.r.wrong(pair[1], "not above the first value", "two values that rise", "swap or mend them")
		return nil
	case a.Kind == AxisNumber:
		return sample.Uniform{Low: low, High: high}
	}
	var d sample.Choice
	for x := low; x <= high; x++ {
		d.Values = append(d.Values, x)
	}
	return d
}

// about reads a normal distribution with its half-width.
func (c *choices) about(a *asked) sample.Distribution {
	t := a.v.get("about")
	mean, ok := c.value(a, t)
	if !ok {
		return nil
	}
	q, _ := unit.Parse(t.text, a.Dimension) // read before
	if !(q.Half > 0) {
		c.r.wrong(t, "without its half-width it is no distribution", "a value with ± its half-width at 95 %", `write it as "`+t.text+` ± …"`)
		return nil
	}
	return c.cut(a, t, sample.Normal{Mean: mean, SD: q.Half / half95})
}

func (c *choices) lognormal(a *asked) sample.Distribution {
	t, f := a.v.get("median"), a.v.get("within factor")
	median, ok := c.value(a, t)
	switch {
	case !ok:
		return nil
	case f == nil:
		c.r.problemAt(a.v, a.v.path+" has a median without its width", "median with within factor", `add "within factor: 1.5": 19 of 20 lie between the median divided by it and the median times it`)
		return nil
	case median <= 0:
		c.r.wrong(t, "a lognormal lies above zero", "above zero", "give it about with ±, or between two values")
		return nil
	}
	return c.cut(a, t, sample.LogNormal{Median: median, Factor: math.Exp(math.Log(f.num) / half95)})
}

func (c *choices) triangle(a *asked) sample.Distribution {
	var d sample.Triangular
	for _, one := range []struct {
		key  string
		into *float64
	}{{"low", &d.Low}, {"mode", &d.Mode}, {"high", &d.High}} {
		t := a.v.get(one.key)
		if t == nil {
			c.r.problemAt(a.v, a.v.path+" has a mode without its ends", "low, mode and high", "add "+one.key)
			return nil
		}
		x, ok := c.value(a, t)
		if !ok {
			return nil
		}
		*one.into = x
	}
	if err := d.Check(); err != nil {
		c.r.wrong(a.v.get("mode"), "low, mode and high do not rise", "low below high, the mode between them", "put them in order")
		return nil
	}
	return d
}

// oneOf reads values, or words, of which one is drawn.
func (c *choices) oneOf(a *asked) sample.Distribution {
	texts := a.v.get("one of").items()
	var d sample.Choice
	switch levels := c.list(a, texts).(type) {
	case sample.List:
		d.Values = levels
	default:
		return nil
	}
	weights := a.v.get("weights").items()
	for _, w := range weights {
		d.Weights = append(d.Weights, w.num)
	}
	if err := d.Check(); err != nil && len(weights) > 0 {
		c.r.wrong(a.v.get("weights"), err.Error(), "as many weights as values, one above zero at least", "give one for each value, or none")
		return nil
	}
	return d
}

// cut takes off a distribution what is not allowed at its paths, and complains where that is more than a little.
func (c *choices) cut(a *asked, at *value, d sample.Distribution) sample.Distribution {
	low, high := a.limits(d)
	out := d.Below(low) + 1 - d.Below(high)
	if out > mostOutside {
		allowed := "from 0"
		if len(a.shapes) > 0 {
			allowed = a.shapes[0].allowed()
		}
		c.r.wrong(at, fmt.Sprintf("%.2g %% of this distribution lies outside what is allowed", 100*out), allowed, "give a smaller half-width, or say it by low, mode and high, or by between")
		return nil
	}
	return sample.Cut{Of: d, Low: low, High: high}
}

// limits are the ends of what is allowed at an axis's paths, and of what is drawn at all: open ends are left out.
func (a *asked) limits(d sample.Distribution) (low, high float64) {
	const rare = 1e-7
	low, high = d.Quantile(rare), d.Quantile(1-rare)
	width := high - low
	for _, s := range a.shapes {
		least := s.min
		if s.open {
			least += 1e-9 * width
		}
		low, high = max(low, least), min(high, s.max)
	}
	if a.Factor {
		low = max(low, 0)
	}
	return low, high
}

// stated makes an axis of every input that the run's files state with ±, and of the spreads of its media.
func (c *choices) stated(v *value) bool {
	found := false
	for _, u := range c.inputsStated() {
		if c.settled(&u, c.varied) {
			continue
		}
		found = true
		a := &asked{v: v, StudyAxis: StudyAxis{Name: u.Path, Paths: []string{u.Path}, Dimension: u.Dimension, Unit: u.Unit, Low: math.NaN(), High: math.NaN()}}
		if u.shape != nil {
			a.shapes = []*shape{u.shape}
		}
		d := sample.Normal{Mean: u.Value, SD: u.Half / half95}
		low, high := a.limits(d)
		least, most := u.Limits()
		low, high = max(low, least), min(high, most)
		if out := d.Below(low) + 1 - d.Below(high); out > mostOutside {
			c.r.doubt(v.get("stated"), fmt.Sprintf("%s: of %s, as its ± has it, %.2g %% lies outside what is allowed and is cut off", v.path, u.Path, 100*out),
				"give it under inputs, by low, mode and high or by between")
		}
		a.From = sample.Cut{Of: d, Low: low, High: high}
		if err := a.From.Check(); err != nil {
			c.r.wrong(v.get("stated"), u.Path+": "+err.Error(), "", "give it under inputs")
			return false
		}
		c.add(a)
	}
	if !found {
		c.r.wrong(v.get("stated"), "no input is stated with an uncertainty that is not drawn already", "a run whose files state some with ±", `write one there as "380 ± 24 W/(m2 K)", or take it out`)
	}
	return found
}

// inputsStated are the inputs that the run states with an uncertainty, and the spreads of its media, with what is allowed.
func (c *choices) inputsStated() []Uncertain {
	all := slices.Concat(c.run.Uncertain, c.known.spreads)
	for i := range all {
		if u, found, _ := c.known.find(all[i].Path); found {
			all[i].shape = u.shape
		}
	}
	return all
}

// varied tells whether an axis sets a path, or multiplies it.
func (c *choices) varied(p string) bool {
	if c.set(p) {
		return true
	}
	for _, a := range c.out.Axes {
		for _, have := range a.Paths {
			rest, below := strings.CutPrefix(p, have)
			if have == p || a.Factor && below && (rest[0] == '.' || rest[0] == '[') {
				return true
			}
		}
	}
	return false
}
