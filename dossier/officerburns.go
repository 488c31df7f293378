package dossier

import (
	"slices"

	"emberbank/hazard"
	"emberbank/heat"
	"emberbank/paper"
)

// touch is how hot surfaces within reach become, and from when on they burn.
func (o *officer) touch() []paper.Block {
	var t paper.Text
	n := o.t.count("/touch/surfaces_above_the_limit")
	switch {
	case n > 0:
		t = says("Within reach and above ", o.n("/touch/limit_degC", "", 0), ": ")
		for i := range n {
			at := "/touch/surfaces_above_the_limit/" + decimal(i)
			borne := says("bare metal so hot is borne for ", o.n(at+"/metal_is_borne_s", "", -1))
			if s, _ := o.t.float(at + "/metal_is_borne_s"); s == 0 {
				borne = says(paper.Span{Text: "bare metal so hot burns at once", Origin: o.t.origin(at + "/metal_is_borne_s")})
			}
			if i > 0 {
				t = append(t, says("; ")...)
			}
			t = append(t, says(o.words(at+"/surface"), ", up to ", o.n(at+"/hottest_degC", "", 0), " (", o.words(at+"/run"), ", from ", o.n(at+"/first_above_s", "", -1), " on; ", borne, ")")...)
		}
		t = append(t, says(". Guard them. ")...)
		if o.hotFromTheStart(n) {
			t = append(t, says("A surface that is above it from the first minute on was so when its run began: the number may be that of the start, not what the insulation lets through. ")...)
		}
	case len(o.runs) > 0 && o.has("/touch/limit_degC"):
		t = says("In none of the runs does a surface that is marked as within reach come above ", o.n("/touch/limit_degC", "", 0), ". ")
	default:
		t = says("Whether surfaces become too hot to touch is not watched in these runs. ")
	}
	t = append(t, says("The window's surround, the pane, the cover's inner side, tube ends and outlet pipes are not among these: take them as hot whenever the block is.")...)
	return append([]paper.Block{paper.Paragraph{Says: t}}, o.thresholds()...)
}

// hotFromTheStart is whether one of the first n surfaces is too hot within a minute of its run's start, as all of a
// receiver is that begins at one temperature.
func (o *officer) hotFromTheStart(n int) bool {
	for i := range n {
		if s, ok := o.t.float("/touch/surfaces_above_the_limit/" + decimal(i) + "/first_above_s"); ok && s < 60 {
			return true
		}
	}
	return false
}

// thresholds is the table of burns by surface and time.
func (o *officer) thresholds() []paper.Block {
	t := newTable("thresholds", "", says("Temperatures from which a surface burns bare skin that stays on it"), words("surface"))
	rows, columns := map[string]int{}, map[string]int{}
	const list = "/touch/burns_from"
	for i := range o.t.count(list) {
		if time := o.n(list+"/"+decimal(i)+"/contact_s", "", -1); columns[time.Text] == 0 {
			t.Columns = append(t.Columns, numbers(time.Text, "°C"))
			columns[time.Text] = len(t.Columns) - 1
		}
	}
	for i := range o.t.count(list) {
		at := list + "/" + decimal(i)
		of := o.words(at + "/surface")
		if _, ok := rows[of.Text]; !ok {
			rows[of.Text] = len(t.Rows)
			t.row(of)
		}
		cell := says(o.bare(at+"/from_degC", "", 0))
		low, _ := o.t.float(at + "/from_degC")
		if high, _ := o.t.float(at + "/to_degC"); high > low {
			cell = append(cell, says(" to ", o.bare(at+"/to_degC", "", 0))...)
		}
		t.Rows[rows[of.Text]][columns[o.n(at+"/contact_s", "", -1).Text]] = cell
	}
	t.Notes = append(t.Notes, says("Healthy adults; children burn sooner. Paint and what is not listed count as metal. Source: "+hazard.TouchSource+"."))
	return t.block()
}

// light is how bright the light is and how far it reaches.
func (o *officer) light() []paper.Block {
	if !o.has("/light/absorbed_W") {
		return nil
	}
	t := says("The block takes in up to ", o.n("/light/absorbed_W", "", -1), " (run ", o.words("/light/run"), ", after ", o.n("/light/at_s", "", -1), ")")
	if o.has("/light/peak_absorbed_W_per_m2") {
		t = append(t, says(", up to ", o.n("/light/peak_absorbed_W_per_m2", "", -1), " where it is brightest")...)
	}
	t = append(t, says(".")...)
	if o.has("/light/thrown_back_W") {
		t = append(t, says(" Of ", o.n("/light/falling_W", "", -1), " that fall on the window ", o.n("/light/thrown_back_W", "", -1),
			" are thrown back. From a dull face that is still ", o.n("/light/eye_10_s_W_per_m2", "", -1), ", which an eye bears for ten seconds, at ", o.n("/light/dull_face_eye_10_s_m", "m", 2),
			" straight before it, and ", o.n("/light/eye_beyond_1000_s_W_per_m2", "W/m2", 0), ", which it bears for long, at ", o.n("/light/dull_face_eye_beyond_1000_s_m", "m", 1),
			"; a pane or a polished rim throws light further, in one direction.")...)
	}
	var blocks []paper.Block
	if o.has("/light/dish_power_W") {
		d := says("By the rays of ", o.words("/light/dish"), " the dish sends ", o.n("/light/dish_power_W", "", -1), " into the window, ", o.n("/light/dish_peak_W_per_m2", "", -1), " at the peak, in a cone of ",
			o.n("/light/dish_rim_angle_rad", "", -1), " to the axis. Before and behind the focus its mean has fallen to what skin bears for a second (", o.n("/light/skin_1_s_W_per_m2", "", -1), ") at ",
			o.n("/light/cone_mean_skin_1_s_m", "m", 2), " and to what an eye bears for ten seconds at ", o.n("/light/cone_mean_eye_10_s_m", "m", 2), "; within the cone light may be several times as bright.")
		if o.has("/light/dish_misses_window_share") {
			d = append(d, says(" Of the light ", o.n("/light/dish_misses_window_share", "%", -1), " misses the window and falls on what is around it.")...)
		}
		if o.has("/light/peak_absorbed_W_per_m2") {
			d = append(d, says(" The flux of a run, in its cautions too, is the mean over a cell of the light that its duty has, as the block takes it in; where that and the peak of the rays differ, the larger counts.")...)
		}
		d = append(d, says(" When the dish tracks in or off, the spot sweeps over whatever stands beside the window; turned away, it still throws the sun somewhere.")...)
		blocks = append(blocks, paper.Paragraph{Says: d})
	}
	t = append(t, says(" All light counts as infrared here. Ultraviolet light, which the sun has, and the retina of who looks into the source have stricter limits, which are not given here. Source: "+hazard.LightSource+".")...)
	blocks = append([]paper.Block{paper.Paragraph{Says: t}}, blocks...)
	return append(blocks, o.cautions(heat.KindLight)...)
}

// materials is what the receiver's materials bear in heat.
func (o *officer) materials() []paper.Block {
	t := newTable("media", "", says("Limits of materials, and where a run passes them"),
		words("material"), words("used for"), words("limit"), numbers("at", "°C"), numbers("reached", "°C"), words("in the run"))
	var more []paper.Block
	for i := range o.t.count("/media") {
		at := "/media/" + decimal(i)
		used := paper.Text{}
		for k := range o.t.count(at + "/used_for") {
			if k > 0 {
				used = append(used, says(", ")...)
			}
			used = append(used, o.words(at+"/used_for/"+decimal(k)))
		}
		for k := range o.t.count(at + "/limits") {
			l := at + "/limits/" + decimal(k)
			reached, run := says(pale("below")), paper.Text(nil)
			if len(o.runs) == 0 {
				reached = says(pale("–"))
			}
			if o.has(l + "/reached_degC") {
				reached, run = says(o.bare(l+"/reached_degC", "", 0)), says(o.words(l+"/run"))
			}
			t.row(o.words(at+"/medium"), used, o.words(l+"/kind"), o.bare(l+"/limit_degC", "", 0), reached, run)
		}
		more = append(more, o.melt(at)...)
	}
	if len(t.Rows) > 0 {
		t.Notes = []paper.Text{says("Where each limit comes from stands in ", code(SafetyName), " and in the report. below: no run passes it.")}
	}
	blocks := append(t.block(), more...)
	return append(blocks, o.cautions(heat.KindMoltenMetal, heat.KindOxidation, heat.KindMaterial)...)
}

// melt is whether a melt has room, and how fast graphite burns.
func (o *officer) melt(at string) (blocks []paper.Block) {
	if o.has(at + "/melt_needs_share") {
		t := says("In ", o.words(at+"/medium"), " molten ", o.words(at+"/melts_inside"), " needs ", o.n(at+"/melt_needs_share", "%", 1), " of the volume and has ", o.n(at+"/melt_has_share", "%", 1))
		if left, _ := o.t.float(at + "/melt_leaves_share"); left < 0 {
			t = append(t, paper.Span{Text: ": too little room, it is pressed out or bursts what holds it.", Style: paper.Strong})
		} else {
			t = append(t, says(": ", o.n(at+"/melt_leaves_share", "%", 1), " stays empty, if the void lies where the melt can reach it. It melts from ", o.n(at+"/melts_from_degC", "", -1),
				"; on freezing it draws in and may leave hollows, and a first melting of a part that froze between solid ends has no room at all.")...)
		}
		blocks = append(blocks, paper.Paragraph{Says: t})
	}
	if o.has(at + "/burns_times_as_fast_as_at_the_onset") {
		blocks = append(blocks, paragraph("At its hottest ", o.words(at+"/medium"), " burns away ", o.n(at+"/burns_times_as_fast_as_at_the_onset", "", -1), " times as fast in air as at the onset (", hazard.BurnsSource, ")."))
	}
	return blocks
}

// warnings lists the kinds of cautions that runs raised, with the worst of each.
func (o *officer) warnings() []paper.Block {
	kinds := []string{}
	for i := range o.runs {
		for _, w := range o.runs[i].cautions {
			if !slices.Contains(kinds, w.Kind) && w.Kind != heat.KindMaterial {
				kinds = append(kinds, w.Kind)
			}
		}
	}
	all, others := worst(o.runs, kinds...)
	t := newTable("raised", "", says("Cautions that the runs raise, the worst of each kind"), words("caution"), words("where"), numbers("value", ""), words("run"), numbers("from", ""), numbers("others", ""))
	for i := range all {
		w := &all[i]
		value := says(pale("–"))
		if n, ok := w.value(); ok {
			value = says(n)
		}
		from, _ := w.of.Number(w.at + "/at_s")
		tree := w.of.tree(w.of.Main)
		kind, _ := tree.sentence(w.at + "/kind")
		place, _ := tree.sentence(w.at + "/place")
		t.row(kind, place, value, w.of.Name(), from, paper.Span{Text: decimal(others[i]), Origin: w.of.Origin(w.of.Main) + " /cautions"})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	t.Notes = append(t.Notes, says("others: how many more of the kind there are, in other places and runs. Each run lists all in its report."))
	return t.block()
}
