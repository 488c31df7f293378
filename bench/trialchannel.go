package bench

import (
	"fmt"
	"path"
	"sort"
	"strconv"
	"strings"

	"emberbank/history"
	"emberbank/trial"
	"emberbank/unit"
	yaml "go.yaml.in/yaml/v4"
)

// ref reads a column's heading or number.
func ref(v *value) trial.Ref {
	if v == nil {
		return trial.Ref{}
	}
	quoted := v.node.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0
	if n, err := strconv.Atoi(strings.TrimSpace(v.text)); err == nil && n > 0 && n < 1e6 && !quoted {
		return trial.Ref{Number: n}
	}
	return trial.Ref{Heading: strings.TrimSpace(v.text)}
}

// source reads how a file of rows is laid out, and its clock.
func (r *reader) source(v *value) trial.Source {
	s := trial.Source{Layout: trial.Layout{Skip: -1, Headings: -1}}
	s.Layout.Separator = map[string]trial.Separator{
		"comma": trial.Comma, "semicolon": trial.Semicolon, "tab": trial.Tab, "pipe": trial.Pipe, "blanks": trial.Blanks, "fixed": trial.Fixed,
	}[v.get("separator").word("")]
	for _, w := range v.get("widths").items() {
		s.Layout.Widths = append(s.Layout.Widths, int(w.num))
	}
	if w := v.get("widths"); w != nil && s.Layout.Separator != trial.Fixed {
		if sep := v.get("separator"); sep != nil {
			r.wrong(w, "widths belong to fixed columns", "widths with separator: fixed", "take it out, or write separator: fixed")
		}
		s.Layout.Separator = trial.Fixed
	}
	switch v.get("decimal").word("") {
	case "point":
		s.Layout.Decimal = '.'
	case "comma":
		s.Layout.Decimal = ','
		if s.Layout.Separator == trial.Comma {
			r.doubt(v.get("decimal"), "commas part both cells and decimals: only cells in quotes can be told apart", "is the separator a semicolon?")
		}
	}
	if x := v.get("skip"); x != nil {
		s.Layout.Skip = int(x.num)
	}
	if x := v.get("headings"); x != nil {
		s.Layout.Headings = int(x.num)
		if s.Layout.Skip < 0 {
			s.Layout.Skip = -1
		}
	}
	for _, m := range v.get("missing").items() {
		s.Missing = append(s.Missing, strings.TrimSpace(m.text))
	}
	if c := v.get("clock"); c != nil {
		s.Clock = r.clock(c)
	}
	return s
}

// logger reads one logger.
func (p *trialPlan) logger(i int, v *value) {
	s := p.r.source(v)
	if f := v.get("file").items(); len(f) > 0 {
		s.Name = path.Join(path.Dir(p.v.file), f[0].text)
	}
	s.Accuracy, s.Share = v.get("accuracy").number(0)/half95, v.get("share").number(0)/half95
	var values []*value
	for _, c := range v.get("channels").items() {
		s.Channels = append(s.Channels, p.channel(c, i))
		values = append(values, c)
	}
	p.setup.Sources = append(p.setup.Sources, s)
	p.loggers = append(p.loggers, v)
	p.chans = append(p.chans, values)
}

// placed is what a place means.
type placed struct {
	role     trial.Role
	of       string
	quantity history.Quantity
	open     bool // the quantity is not told
}

// place reads a place.
func (p *trialPlan) place(v *value, outside bool) placed {
	text := v.word("")
	switch text {
	case "ambient":
		return placed{trial.Ambient, "", history.Temperature, false}
	case "irradiance":
		return placed{trial.Irradiance, "", history.Irradiance, false}
	case "lamp power":
		return placed{trial.LampPower, "", history.HeatFlow, false}
	case "light":
		return placed{trial.LightPower, "", history.HeatFlow, false}
	case "wind":
		return placed{trial.Wind, "", history.Speed, false}
	case "source":
		return placed{trial.SourceAt, "", history.Temperature, false}
	case "time", "stored", "melted", "absorbed", "heat to passes", "block max":
		p.r.wrong(v, "results use this name for something else", "a name of its own", "choose another name")
	}
	if rest, ok := strings.CutPrefix(text, "circuit "); ok {
		for _, c := range []struct {
			end  string
			role trial.Role
			q    history.Quantity
		}{
			{" inlet", trial.Inlet, history.Temperature},
			{" outlet", trial.Outlet, history.Temperature},
			{" flow", trial.Flow, history.MassFlow},
			{" pressure drop", trial.PressureDrop, history.Pressure},
			{" pressure", trial.PressureAt, history.Pressure},
		} {
			if name, ok := strings.CutSuffix(rest, c.end); ok && name != "" {
				p.circuit(v, name)
				return placed{c.role, name, c.q, false}
			}
		}
		p.r.wrong(v, "what of the circuit is measured is not known", "circuit NAME inlet, outlet, flow, pressure, pressure drop", `write for example "circuit main outlet"`)
	}
	if rest, ok := strings.CutPrefix(text, "heater "); ok {
		if name, ok := strings.CutSuffix(rest, " power"); ok && name != "" {
			p.heater(v, name)
			return placed{trial.HeaterPower, name, history.HeatFlow, false}
		}
	}
	if strings.ContainsAny(text, "[],\"\n") {
		p.r.wrong(v, "a name with brackets, commas or quotes cannot head a column", "words", "choose another name")
	}
	role := trial.Body
	if outside {
		role = trial.Other
	}
	return placed{role, "", history.Temperature, true}
}

func (p *trialPlan) circuit(v *value, name string) {
	if p.rec == nil || p.rec.v.partial {
		return
	}
	var names []string
	for _, c := range p.rec.out.Circuits {
		if c.Name == name {
			return
		}
		names = append(names, c.Name)
	}
	if len(names) == 0 {
		p.r.wrong(v, "the receiver has no circuits", "a receiver with circuits", "name another place, or another receiver")
		return
	}
	fix := "write one of the receiver's circuits"
	if near := nearest(name, names); near != "" {
		fix = fmt.Sprintf("did you mean %q?", strings.Replace(v.text, name, near, 1))
	}
	p.r.wrong(v, "the receiver has no circuit called \""+name+"\"", joined(names), fix)
}

func (p *trialPlan) heater(v *value, name string) {
	if p.rec == nil || p.rec.v.partial {
		return
	}
	var names []string
	for _, h := range p.rec.out.Heaters {
		if h.Name == name {
			return
		}
		names = append(names, h.Name)
	}
	fix := "name another place"
	if near := nearest(name, names); near != "" {
		fix = fmt.Sprintf("did you mean %q?", "heater "+near+" power")
	}
	p.r.wrong(v, "the receiver has no heater called \""+name+"\"", joined(names), fix)
}

// quantities by the word of the key.
var quantities = map[string]history.Quantity{
	"temperature": history.Temperature, "flow": history.MassFlow, "irradiance": history.Irradiance, "power": history.HeatFlow, "pressure": history.Pressure,
	"speed": history.Speed, "angle": history.Angle, "share": history.Fraction, "length": history.Length, "energy": history.Heat,
	"voltage": history.Voltage, "current": history.Current,
}

func quantityName(q history.Quantity) string {
	var names []string
	for n, x := range quantities {
		if x == q {
			names = append(names, n)
		}
	}
	sort.Strings(names)
	return strings.Join(names, " or ")
}

// channel reads one channel.
func (p *trialPlan) channel(v *value, _ int) trial.Channel {
	c := trial.Channel{Column: ref(v.get("column")), Good: []float64{0}}
	pl := v.get("place")
	c.Name = strings.TrimSpace(pl.word(""))
	if pl != nil {
		if other, twice := p.names[c.Name]; twice {
			p.r.wrong(pl, fmt.Sprintf("line %d has this place already", other.node.Line), "each place once", "give one of them another name, or leave it out")
		}
		p.names[c.Name] = pl
	}
	at := p.place(pl, v.get("outside").yes(false))
	c.Role, c.Of, c.Quantity = at.role, at.of, at.quantity
	p.unitOf(v, &c, at)
	if c.Quantity != history.Temperature && c.Role == trial.Body {
		c.Role = trial.Other
	}
	p.signal(v.get("signal"), &c)
	quality(v.get("quality"), &c)
	c.At = v.get("meter at").word("")
	c.Hold = v.get("hold").yes(false)
	c.Sensor, c.Lag = v.get("sensor").word(""), v.get("lag").number(0)
	c.Repairs = repairs(v.get("repairs"))
	if x := v.get("position"); x != nil {
		pt := point(x)
		if c.Role != trial.Body {
			p.r.wrong(x, "only temperatures of the receiver have a position", "a position for a sensor in or on the receiver", "take it out")
		} else {
			p.inBody(x, pt, c.Name)
		}
		pos := [3]float64(pt)
		c.Position = &pos
	}
	if x := v.get("least"); x != nil {
		if c.Role != trial.Flow {
			p.r.wrong(x, "only a flow meter has a least flow", "least for a flow", "take it out")
		}
		c.Least, _ = p.error(x, &c)
	}
	if x := v.get("spike"); x != nil {
		c.SpikeHeight, _ = p.error(x, &c)
	}
	if x := v.get("noise"); x != nil {
		c.Noise, _ = p.error(x, &c)
	}
	p.parts(v, &c)
	return c
}

// quality reads the column of codes beside a channel's values.
func quality(v *value, c *trial.Channel) {
	if v == nil {
		return
	}
	c.Quality = ref(v.get("column"))
	if g := v.get("good").items(); len(g) > 0 {
		c.Good = nil
		for _, x := range g {
			c.Good = append(c.Good, x.num)
		}
	}
}

// unitOf settles quantity and unit.
func (p *trialPlan) unitOf(v *value, c *trial.Channel, at placed) {
	q := v.get("quantity")
	if q != nil {
		want := quantities[q.text]
		if !at.open && want != at.quantity {
			p.r.wrong(q, fmt.Sprintf("%s is measured at %q", quantityName(at.quantity), c.Name), quantityName(at.quantity), "take it out, or name another place")
		}
		c.Quantity = want
	}
	u := v.get("unit")
	if u == nil {
		return
	}
	c.Unit = u.text
	if f := electricOf(c.Quantity, u.text); f != 0 {
		c.Conversion = unit.Conversion{Factor: f, Divisor: 1}
		return
	}
	got, conv, volume, ok := trial.Reads(u.text)
	if !ok {
		fix := "write it as °C, degF, K, l/min, kg/h, W/m2, kW, bar, m/s or the like"
		if s, known := v.get("signal").at2("unit"); !known && s == "" && (strings.HasSuffix(u.text, "V") || strings.HasSuffix(u.text, "A")) {
			fix = `the file's volts or milliamperes are described by "signal"; unit is that of what they become`
		}
		p.r.wrong(u, "not a unit that is known", "a unit of "+quantityName(c.Quantity), fix)
		return
	}
	if at.open && q == nil {
		c.Quantity = got
	}
	if got != c.Quantity {
		p.r.wrong(u, fmt.Sprintf("it is a unit of %s, and %s is measured at %q", quantityName(got), quantityName(c.Quantity), c.Name), "a unit of "+quantityName(c.Quantity),
			"give the unit of the numbers in the file; is it the right place?")
		return
	}
	c.Conversion, c.Volume = conv, volume
}

// at2 returns the text of a key, for a missing value too.
func (v *value) at2(key string) (string, bool) {
	x := v.get(key)
	return x.word(""), x != nil
}

func electricOf(q history.Quantity, u string) float64 {
	switch {
	case q == history.Voltage && u == "V", q == history.Current && u == "A":
		return 1
	case q == history.Voltage && u == "mV", q == history.Current && u == "mA":
		return 1e-3
	}
	return 0
}

// signal reads how a raw signal becomes the quantity.
func (p *trialPlan) signal(v *value, c *trial.Channel) {
	if v == nil {
		return
	}
	s := &trial.Signal{Unit: v.get("unit").word("")}
	switch {
	case v.has("couple"):
		s.Couple, s.Junction = v.get("couple").text, v.get("junction").word("")
		if !v.has("junction") {
			p.r.doubt(v, fmt.Sprintf("the cold junction of %q is taken as 0 degC", c.Name),
				`right for an ice bath and for voltages that the logger has corrected; else add "junction: …" with the place of the channel that measures it`)
		}
		if c.Quantity != history.Temperature {
			p.r.wrong(v, "a thermocouple measures a temperature", "a place that has a temperature", "name another place")
		}
	case v.has("points"):
		t := &trial.Table{}
		for _, row := range v.get("points").items() {
			x, y := row.list[0], row.list[1]
			if n := len(t.X); n > 0 && x.num <= t.X[n-1] {
				p.r.wrong(x, "not above the signal before it", "signals that rise", "sort the points by signal, each once")
				continue
			}
			t.X, t.Y = append(t.X, x.num), append(t.Y, y.num)
		}
		if len(t.X) < 2 {
			return
		}
		s.Table = t
	default:
		s.Factor, s.Shift = v.get("factor").must(), v.get("shift").number(0)
	}
	if s.Couple == "" && c.Unit == "" && !v.partial {
		p.r.wrong(v, "the unit of what it becomes is missing", `a signal with the channel's unit`, `add "unit: degC", or what else it is, to the channel`)
	}
	c.Signal = s
}
