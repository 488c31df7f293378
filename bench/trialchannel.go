package bench

import (
	"fmt"
	"math"
	"path"
	"sort"
	"strconv"
	"strings"
	"time"

	"emberbank/block"
	"emberbank/history"
	"emberbank/trial"
	"emberbank/unit"
	yaml "go.yaml.in/yaml/v4"
)

// half95 is the half-width of the 95 % interval of a normal distribution in standard deviations.
const half95 = 1.959963984540054

func (p *trialPlan) zone(v *value) *time.Location {
	z, ok := trial.Zone(v.text)
	if !ok {
		p.r.wrong(v, "not a zone that is known", "UTC, or a distance from it such as +01:00 or -05:30", "give the distance; names of zones change with summer time")
		return nil
	}
	return z
}

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

// logger reads one logger.
func (p *trialPlan) logger(i int, v *value) {
	s := trial.Source{Layout: trial.Layout{Skip: -1, Headings: -1}}
	if f := v.get("file").items(); len(f) > 0 {
		s.Name = path.Join(path.Dir(p.v.file), f[0].text)
	}
	s.Layout.Separator = map[string]trial.Separator{
		"comma": trial.Comma, "semicolon": trial.Semicolon, "tab": trial.Tab, "blanks": trial.Blanks, "fixed": trial.Fixed,
	}[v.get("separator").word("")]
	for _, w := range v.get("widths").items() {
		s.Layout.Widths = append(s.Layout.Widths, int(w.num))
	}
	if w := v.get("widths"); w != nil && s.Layout.Separator != trial.Fixed {
		if sep := v.get("separator"); sep != nil {
			p.r.wrong(w, "widths belong to fixed columns", "widths with separator: fixed", "take it out, or write separator: fixed")
		}
		s.Layout.Separator = trial.Fixed
	}
	switch v.get("decimal").word("") {
	case "point":
		s.Layout.Decimal = '.'
	case "comma":
		s.Layout.Decimal = ','
		if s.Layout.Separator == trial.Comma {
			p.r.doubt(v.get("decimal"), "commas part both cells and decimals: only cells in quotes can be told apart", "is the separator a semicolon?")
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
	s.Accuracy, s.Share = v.get("accuracy").number(0)/half95, v.get("share").number(0)/half95
	if c := v.get("clock"); c != nil {
		s.Clock = p.clock(c)
	}
	var values []*value
	for _, c := range v.get("channels").items() {
		s.Channels = append(s.Channels, p.channel(c, i))
		values = append(values, c)
	}
	p.setup.Sources = append(p.setup.Sources, s)
	p.loggers = append(p.loggers, v)
	p.chans = append(p.chans, values)
}

// clock reads where the time stands.
func (p *trialPlan) clock(v *value) trial.Clock {
	c := trial.Clock{
		Column: ref(v.get("column")), Time: ref(v.get("time")), Year: ref(v.get("year")), Month: ref(v.get("month")), Day: ref(v.get("day")),
		DayOfYear: ref(v.get("day of year")), Hour: ref(v.get("hour")), Minute: ref(v.get("minute")), Second: ref(v.get("second")),
		HourMinute: ref(v.get("hour-minute")), DecimalHour: ref(v.get("decimal hour")), FixedYear: int(v.get("in year").number(0)),
		Offset: v.get("offset").number(0),
	}
	parts := []string{"year", "month", "day", "day of year", "hour", "minute", "second", "hour-minute", "decimal hour"}
	var given []string
	for _, k := range parts {
		if v.has(k) {
			given = append(given, k)
		}
	}
	switch {
	case len(given) > 0:
		c.Kind = trial.Parts
		p.clockParts(v, &c, given)
	case v.has("unit") || v.has("since"):
		c.Kind = trial.Elapsed
		if !c.Column.Given() {
			p.r.wrong(v, "it does not say in which column the time stands", "a clock with its column", `add "column: …"`)
		}
	}
	if u := v.get("unit"); u != nil {
		c.Unit = map[string]float64{"ms": 1e-3, "s": 1, "min": 60, "h": 3600, "d": 86400}[u.text]
	}
	c.Order = map[string]trial.DateOrder{
		"year-month-day": trial.YearMonthDay, "day-month-year": trial.DayMonthYear, "month-day-year": trial.MonthDayYear,
	}[v.get("order").word("")]
	if z := v.get("zone"); z != nil {
		c.Zone = p.zone(z)
	}
	if s := v.get("since"); s != nil {
		at, zoned, ok := trial.Moment(s.text)
		if !ok {
			p.r.wrong(s, "not a moment", "year first, such as 2026-03-14 09:30:00 +01:00", "write it in that form")
		} else {
			if !zoned && c.Zone != nil {
				at = time.Date(at.Year(), at.Month(), at.Day(), at.Hour(), at.Minute(), at.Second(), at.Nanosecond(), c.Zone)
				zoned = true
			}
			c.Since, c.SinceZoned = &at, zoned
		}
	}
	if a := v.get("align"); a != nil {
		c.Align = &trial.Align{Channel: a.get("channel").word(""), With: a.get("with").word(""), Within: a.get("within").number(600)}
	}
	return c
}

// clockParts checks that columns of parts make a time.
func (p *trialPlan) clockParts(v *value, c *trial.Clock, given []string) {
	if v.has("column") || v.has("unit") || v.has("since") {
		p.r.wrong(v, "column, unit and since do not go together with "+given[0], "one column of time, or its parts", "take one of the two out")
	}
	if !v.has("hour") && !v.has("hour-minute") && !v.has("decimal hour") {
		p.r.wrong(v, "no column gives the hour", "hour, hour-minute or decimal hour", `add "hour-minute: …" or "hour: …"`)
	}
	if v.has("day of year") && v.has("day") {
		p.r.wrong(v.get("day"), "the day of the year says it already", "day of year, or month and day", "take one of the two out")
	}
	if v.has("day") != v.has("month") && !v.has("day of year") {
		p.r.wrong(v, "of month and day one is missing", "both, or day of year", "add the other")
	}
	if (v.has("day of year") || v.has("day")) && !v.has("year") && !v.has("in year") {
		p.r.wrong(v, "the year is not known", "year (a column) or in year (a number)", `add "in year: 2026"`)
	}
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
	if q := v.get("quality"); q != nil {
		c.Quality = ref(q.get("column"))
		if g := q.get("good").items(); len(g) > 0 {
			c.Good = nil
			for _, x := range g {
				c.Good = append(c.Good, x.num)
			}
		}
	}
	c.At = v.get("meter at").word("")
	c.Hold = v.get("hold").yes(false)
	c.Sensor, c.Lag = v.get("sensor").word(""), v.get("lag").number(0)
	c.Repairs = repairs(v.get("repairs"))
	if x := v.get("position"); x != nil {
		pt := point(x)
		if c.Role != trial.Body {
			p.r.wrong(x, "only temperatures of the receiver have a position", "a position for a sensor in or on the receiver", "take it out")
		} else {
			p.inBody(x, pt)
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

// inBody reports a sensor that lies outside the solid.
func (p *trialPlan) inBody(v *value, at block.Point) {
	if p.rec == nil {
		return
	}
	run := &runPlan{r: p.r, v: p.v, rec: p.rec}
	run.inBody(v, at)
	run.inBore(v, at)
}

// error reads an error in the channel's quantity, or as a share of the reading.
func (p *trialPlan) error(v *value, c *trial.Channel) (constant, relative float64) {
	if v == nil {
		return 0, 0
	}
	fits := map[unit.Dimension]history.Quantity{
		unit.TemperatureDifference: history.Temperature, unit.MassFlow: history.MassFlow, unit.VolumeFlow: history.MassFlow, unit.Power: history.HeatFlow,
		unit.HeatFlux: history.Irradiance, unit.Pressure: history.Pressure, unit.Speed: history.Speed, unit.Angle: history.Angle,
		unit.Length: history.Length, unit.Energy: history.Heat,
	}
	if v.typ.dim == unit.Dimensionless {
		if c.Quantity == history.Fraction && !strings.Contains(v.text, "%") {
			return v.num, 0
		}
		return 0, v.num
	}
	q, ok := fits[v.typ.dim]
	if !ok || q != c.Quantity {
		p.r.wrong(v, "it does not fit what is measured", "an error of "+quantityName(c.Quantity)+", or a share such as 2 %", "give it in a unit of "+quantityName(c.Quantity))
		return 0, 0
	}
	x := v.num
	if v.typ.dim == unit.VolumeFlow {
		x *= 1000 // kg/m³: near enough for an error
	}
	return x, 0
}

// parts reads how well a channel is known.
func (p *trialPlan) parts(v *value, c *trial.Channel) {
	zeroAt := 0.0
	if c.Quantity == history.Temperature {
		zeroAt = 273.15
	}
	add := func(group, what string, constant, relative float64) {
		if constant > 0 || relative > 0 {
			c.Parts = append(c.Parts, trial.Part{Group: group, What: what, Constant: constant / half95, Relative: relative / half95, Zero: zeroAt, DoF: math.Inf(1)})
		}
	}
	own := "own " + c.Name
	group := own
	pair := v.get("pair")
	if pair != nil {
		group = "pair " + pair.text
	}
	cal, given := v.get("calibration"), v.get("uncertainty").items()
	couple, cls := v.get("couple"), v.get("class")
	if cls != nil && couple == nil {
		p.r.wrong(cls, "a class belongs to a thermocouple's type", "class with couple", `add "couple: K", or what else it is`)
	}
	if couple != nil && c.Sensor == "" {
		c.Sensor = "thermocouple " + couple.text
		if cls != nil {
			c.Sensor += ", class " + cls.text
		}
	}
	switch {
	case len(given) > 0:
		sumC, sumR := 0.0, 0.0
		for _, e := range given {
			a, b := p.error(e, c)
			sumC, sumR = math.Hypot(sumC, a), math.Hypot(sumR, b)
		}
		add(group, "given", sumC, sumR)
	case cal != nil:
	case couple != nil && cls != nil:
		if c.Quantity != history.Temperature {
			p.r.wrong(couple, "a thermocouple measures a temperature", "couple for a temperature", "take it out")
			break
		}
		part, _, _, err := trial.Tolerance(couple.text, int(cls.num), group)
		if err != nil {
			p.r.wrong(cls, err.Error(), "1 to 3", "give another class, or the uncertainty")
			break
		}
		c.Parts = append(c.Parts, part)
	}
	if cal != nil {
		a, b := 0.0, 0.0
		if u := cal.get("uncertainty"); u != nil {
			a, b = p.error(u, c)
		}
		add("calibration "+cal.get("name").word(""), "calibration", a, b)
		p.corrections(cal.get("corrections"), c)
	}
	if d := v.get("drift"); d != nil {
		a, b := p.error(d, c)
		add(own, "drift", a, b)
	}
	if d := v.get("pair difference"); d != nil {
		if pair == nil {
			p.r.wrong(d, "there is no pair", "pair difference with pair", `add "pair: NAME" to both sensors`)
		}
		a, b := p.error(d, c)
		add(own+" of the pair", "difference of the pair", a/math.Sqrt2, b/math.Sqrt2)
	}
}

func (p *trialPlan) corrections(v *value, c *trial.Channel) {
	if v == nil {
		return
	}
	if c.Quantity != history.Temperature {
		p.r.wrong(v, "corrections are for temperatures", "corrections of a temperature", "put them into the points of signal")
		return
	}
	t := &trial.Table{}
	for _, row := range v.items() {
		x, y := row.list[0], row.list[1]
		if n := len(t.X); n > 0 && x.num <= t.X[n-1] {
			p.r.wrong(x, "not above the reading before it", "readings that rise", "sort the pairs by reading, each once")
			continue
		}
		t.X, t.Y = append(t.X, x.num), append(t.Y, y.num)
	}
	if len(t.X) > 0 {
		c.Correction = t
	}
}
