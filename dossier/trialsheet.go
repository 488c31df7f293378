package dossier

import (
	"math"
	"slices"
	"strings"

	"emberbank/bench"
	"emberbank/block"
	"emberbank/figure"
	"emberbank/hazard"
	"emberbank/paper"
	"emberbank/shelf"
)

// SheetName is the document of numbers behind the trial sheet.
const SheetName = "trial-sheet.json"

// Bounds of what a sheet of one page holds.
const (
	mostSensors  = 5 // in the table and in the drawing
	mostCourses  = 5 // in the chart
	mostMoments  = 5
	mostCircuits = 2  // rows of circuits that are fed alike
	mostBlank    = 5  // columns to write into
	mostRows     = 10 // of the table to write into, as far as there is room
	sheetRows    = 18
)

// crowded tells that the sheet needs a smaller picture.
func crowded(t *tree) bool {
	return min(t.count("/sensors"), mostSensors)+min(len(alike(t)), mostCircuits)+t.count("/moments") > 8
}

// TrialSheet composes the sheet for the rig, one page: sensors and where they sit, what they are expected to read over time, what is
// switched when, readings at which to call somebody and at which to stop, and room to write down. It is about the plan, run or trial
// that dossier.yaml names; else about the bench's first plan, without one about its first run. A bench of which none can be read has a
// sheet that says so. The error is of bench.Problems where the file that is named is none of these, or cannot be read.
func TrialSheet(g *Gathered) (*paper.Document, error) {
	d := &paper.Document{Title: "Trial sheet", Subtitle: g.title(), Close: true, Bench: g.Back}
	of := &bench.Words{}
	if g.plan != nil {
		of = &g.plan.TrialSheet
	}
	r := g.rigOf(of.Text)
	if r == nil && of.Text != "" {
		return nil, bench.Problems{of.Problem(of.Text, 0, of.Path+" names no plan, run or trial that can be read", "a file of the bench of one of these kinds", "name one, or look at what is wrong with it: emberbank check "+of.Text)}
	}
	if r == nil {
		d.Chapters = []paper.Chapter{{Key: "none", Title: "Nothing is planned", Blocks: []paper.Block{
			paragraph("No plan, run or trial of the bench can be read, so that there is no trial to do. Look at what is wrong: ", code("emberbank check ."), "."),
		}}}
		return d, nil
	}
	all := r.sensors()
	t := g.fact(SheetName, r.document(all))
	d.Title, d.Subtitle = "Trial sheet", g.title()+", "+r.name
	d.Facts = r.facts(t)
	blocks := r.sensorBlocks(t, all)
	blocks = append(append(append(blocks, r.waterBlocks(t)...), r.stopBlocks(t)...), r.blankBlocks(t)...)
	d.Chapters = []paper.Chapter{{Key: "sheet", Blocks: blocks}}
	return d, nil
}

// facts is the title block.
func (r *rig) facts(t *tree) (facts []paper.Fact) {
	add := func(name string, parts ...any) { facts = append(facts, paper.Fact{Name: name, Says: says(parts...)}) }
	if r.result != nil && r.result.Stale() {
		add("Foretold by", code(r.file), ", older than ", names(r.result.Changed[:1]), ": renew it")
	} else {
		add("Foretold by", code(r.file))
	}
	if r.trial != "" {
		add("Channels", code(r.trial))
	}
	if n, ok := t.number("/logs_every_s"); ok {
		add("Log every", n)
	}
	add("Date, by", blank(18))
	return facts
}

// blank is room to write into.
func blank(n int) paper.Span { return paper.Span{Text: strings.Repeat("\u00a0", n)} }

// sensorBlocks are the picture of sensors and their courses, and the table of them.
func (r *rig) sensorBlocks(t *tree, all []sensor) []paper.Block {
	if len(all) == 0 {
		return []paper.Block{paragraph("No sensor has a place yet: give them under ", code("sensors:"), " of ", code(r.file), ".")}
	}
	caption := says("Where the sensors sit, and what they are expected to read over the time since the start.")
	if _, banded := t.at("/banded"); banded {
		caption = append(caption, says(" Tint: ", r.bandSays())...)
	}
	blocks := []paper.Block{paper.Figure{Key: "courses", Says: caption, SVG: r.picture(t, all)}}
	table := newTable("", "", says("Sensors, what they are expected to read, and from which readings on to call somebody and to stop"),
		numbers("", ""), words("sensor"), words("column"), numbers("depth", "mm"), numbers("width", "mm"), numbers("height", "mm"), numbers("lowest", "°C"), numbers("highest", "°C"), numbers("±", "K"),
		numbers("call", "°C"), numbers("stop", "°C"))
	for i := range all[:min(len(all), mostSensors)] {
		at := "/sensors/" + decimal(i)
		bareOf := func(key string, decimals int) paper.Span {
			if n, ok := t.number(at + "/" + key); ok {
				return n.Bare("", decimals)
			}
			return pale("–")
		}
		table.row(bareOf("number", 0), t.span(at+"/sensor"), t.span(at+"/column"), bareOf("depth_m", 0), bareOf("width_m", 0), bareOf("height_m", 0),
			bareOf("lowest_degC", 0), bareOf("highest_degC", 0), bareOf("widest_half_width_K", 0), bareOf("call_above_degC", 0), bareOf("stop_at_degC", 0))
	}
	table.Notes = append(table.Notes, r.limitsSay(t))
	if len(all) > mostSensors {
		table.Notes = append(table.Notes, says("Further sensors are left out here; ", code(SheetName), " has them all."))
	}
	if s, ok := t.sentence("/also_read"); ok {
		table.Notes = append(table.Notes, says("Also read: ", s, "."))
	}
	return append(blocks, table.block()...)
}

// limitsSay says what the readings in the last columns are.
func (r *rig) limitsSay(t *tree) paper.Text {
	says := says("call: above the highest that is expected with its band the trial goes otherwise than foretold; who is responsible decides how it goes on. stop: source off, at the latest there")
	var told []string
	for i := range min(t.count("/sensors"), mostSensors) {
		at := "/sensors/" + decimal(i)
		why, ok := t.sentence(at + "/stop_because")
		if !ok || slices.Contains(told, why.Text) {
			continue
		}
		told = append(told, why.Text)
		says = append(says, paper.Span{Text: map[bool]string{true: ": ", false: "; "}[len(told) == 1]}, why.Span())
	}
	says = append(says, paper.Span{Text: "."})
	if r.setup == nil || len(r.setup.Limits) == 0 {
		says = append(says, paper.Span{Text: " The trial states no limits of its own: give them under "}, code("limits:"), paper.Span{Text: " of its description."})
	}
	if s, ok := t.sentence("/not_foretold"); ok {
		says = append(says, paper.Span{Text: " Nothing foretells "}, s.Span(), paper.Span{Text: ": "}, code("emberbank run "+shelf.Word(r.file)+" --uncertainty"), paper.Span{Text: "."})
	}
	return says
}

// bandSays says where the bands come from.
func (r *rig) bandSays() string {
	if r.half != nil {
		return "what the uncertain inputs leave open, " + confidence + "."
	}
	return "what is not known before the trial leaves open, " + confidence + "."
}

// stopBlocks say when else to stop.
func (r *rig) stopBlocks(t *tree) []paper.Block {
	text := says(paper.Span{Text: "Stop as well", Style: paper.Strong}, " when a sensor that counts falls silent or leaves its band unexplained, when anything cracks, smokes or leaks, when anybody says so. ")
	if len(r.run.Problem.Receiver.Circuits) > 0 {
		text = append(text, says("Never shut water into the hot block. ")...)
	}
	if r.run.Problem.Duty.Light != nil {
		text = append(text, says("Light off before the cover is shut. ")...)
	}
	if n, ok := t.number("/touch_limit_degC"); ok {
		text = append(text, says("Hands off above ", n.Span("", 0), ".")...)
	}
	return []paper.Block{paper.Paragraph{Says: append(text, says(" "+hazard.Practice)...)}}
}

// picture is the drawing with the chart beside it.
func (r *rig) picture(t *tree, all []sensor) []byte {
	rec := &r.run.Problem.Receiver
	all = all[:min(len(all), mostSensors)]
	axis, at := plane(all)
	var marks []figure.Sensor
	f := figure.Foretold{}
	if crowded(t) {
		f.High = 160
	}
	for i, s := range all {
		marks = append(marks, figure.Sensor{Number: i + 1, Name: s.name, At: s.at})
		c, ok := r.foretold(s.name)
		if !ok || len(f.Lines) == mostCourses {
			continue
		}
		if f.Time == nil {
			f.Time = c.time
		}
		l := figure.ForetoldLine{Name: s.name}
		for _, t := range f.Time {
			l.Values = append(l.Values, c.at(c.value, t)-iceZero)
			if c.half != nil {
				l.Half = append(l.Half, c.at(c.half, t))
			}
		}
		f.Lines = append(f.Lines, l)
	}
	for i := range t.count("/moments") {
		when, _ := t.float("/moments/" + decimal(i) + "/at_s")
		letter, _ := t.sentence("/moments/" + decimal(i) + "/letter")
		f.Marks = append(f.Marks, figure.ForetoldMark{Letter: letter.Text, At: when})
	}
	return figure.TrialSheet(rec, axis, at, marks, f)
}

// plane finds where most sensors lie in one plane, across the width where there is nothing between them.
func plane(all []sensor) (best block.Axis, at float64) {
	most := 0
	for _, a := range []block.Axis{block.Width, block.Height, block.Depth} {
		for _, s := range all {
			n := 0
			for _, o := range all {
				if math.Abs(o.at[a]-s.at[a]) < 0.005 {
					n++
				}
			}
			if n > most {
				best, at, most = a, s.at[a], n
			}
		}
	}
	return best, at
}
