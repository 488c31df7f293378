package dossier

import (
	"emberbank/hazard"
	"emberbank/heat"
	"emberbank/paper"
)

// tubes is what the tubes bear at their hottest beside the pressures that they may come to, and what water does that is shut in.
func (o *officer) tubes() []paper.Block {
	n := o.t.count("/circuits")
	if n == 0 {
		return nil
	}
	blocks := []paper.Block{paragraph(
		"Water is trapped wherever two things can shut at once: each circuit between its inlet and outlet valves, each stretch between a valve and a check valve, an instrument's line, a leg that does not drain, a tube plugged by scale or ice. ",
		"Each such stretch needs a relief that nothing can shut off, or a way to stand open.")}
	t := newTable("bears", "", says("Each circuit at its hottest wall, and water that fills it cold and is warmed between shut valves"),
		words("circuit"), numbers("tube", "mm"), numbers("wall", "°C"), numbers("line", "bar"), numbers("boils at", "bar"), numbers("bears", "bar"), numbers("over line", ""), numbers("over boiling", ""),
		numbers("holds", "kg"), numbers("rises by", "bar/K"), numbers("bears it for", "K"))
	known, beyond := false, false
	for i := range n {
		at := "/circuits/" + decimal(i)
		boils := o.bare(at+"/saturation_pressure_Pa", "", -1)
		if v, _ := o.t.at(at + "/above_critical"); v == true {
			boils, beyond = pale("none"), true
		}
		t.row(o.words(at+"/circuit"), says(o.bare(at+"/outer_m", "mm", 1), " × ", o.bare(at+"/wall_m", "mm", 1)), o.bare(at+"/hottest_wall_degC", "", 0),
			o.bare(at+"/line_pressure_Pa", "", -1), boils, o.bare(at+"/bears_Pa", "", -1), o.bare(at+"/bears_over_line", "", -1), o.bare(at+"/bears_over_saturation", "", -1),
			o.bare(at+"/water_kg", "", -1), o.bare(at+"/rise_for_a_kelvin_Pa", "bar", 1), o.bare(at+"/warmed_until_it_bears_no_more_K", "", 0))
		known = known || o.has(at+"/bears_Pa")
	}
	t.Notes = append(t.Notes, says("line: the highest pressure that the files state, absolute. boils at: the saturation pressure at the hottest wall, to which water comes that is shut in with steam. bears: above the pressure outside; over: how many times it bears that. ",
		"rises by: pressure of a full circuit for each kelvin, from the inlet's ", o.n("/circuits/0/filled_at_degC", "", 0), " on, and steeper as it warms; bears it for: kelvins of warming until the tube bears no more, taken as rigid. Source: "+hazard.TrappedSource+"."))
	if beyond {
		t.Notes = append(t.Notes, says("none: the wall comes above the critical temperature of water, where nothing boils: how full the tube is then sets the pressure."))
	}
	blocks = append(blocks, t.block()...)
	if known {
		blocks = append(blocks, o.formula()...)
	}
	blocks = append(blocks, o.unknown()...)
	return append(append(blocks, o.shut()...), o.cautions(heat.KindSaturation, heat.KindClosed, heat.KindFull, heat.KindTubeWall, heat.KindChoke)...)
}

// shut says which runs shut water in, and what comes out where a tube gives way.
func (o *officer) shut() []paper.Block {
	var t paper.Text
	if o.has("/circuits/0/share_that_flashes") {
		t = says("Where a tube gives way at the pressure of boiling, ", o.n("/circuits/0/share_that_flashes", "", -1), " of the water of circuit ", o.words("/circuits/0/circuit"), " is steam at once. ")
	}
	for i := range o.t.count("/circuits") {
		at := "/circuits/" + decimal(i)
		for k := range o.t.count(at + "/runs_that_shut_it") {
			t = append(t, says("The run ", o.words(at+"/runs_that_shut_it/"+decimal(k)), " shuts water in circuit ", o.words(at+"/circuit"), ". ")...)
		}
	}
	if len(t) == 0 {
		return nil
	}
	return []paper.Block{paper.Paragraph{Says: t}}
}

// formula is how what a tube bears was worked out.
func (o *officer) formula() []paper.Block {
	at := ""
	for i := range o.t.count("/circuits") {
		if a := "/circuits/" + decimal(i); at == "" && o.has(a+"/bears_Pa") {
			at = a
		}
	}
	where := says("with S = ", o.n(at+"/allowable_stress_Pa", "MPa", -1), " allowable stress, E = ", o.n(at+"/joint", "", -1), " joint efficiency, D outer diameter, t wall less ",
		o.n(at+"/undersize_share", "%", 1), " that the mill may leave out, A = ", o.n(at+"/allowance_m", "mm", 2), " allowance, y = 0.4")
	if s, ok := o.t.sentence(at + "/stress_source"); ok {
		where = append(where, says("; S from: ", s)...)
	} else {
		where = append(where, says("; where S comes from is not stated")...)
	}
	blocks := []paper.Block{}
	if o.has(at + "/wall_that_saturation_needs_m") {
		blocks = append(blocks, paragraph("For the pressure of boiling at its hottest wall the formula asks of circuit ", o.words(at+"/circuit"), " for a wall of at least ", o.n(at+"/wall_that_saturation_needs_m", "mm", 2),
			", as ordered; it has ", o.n(at+"/wall_m", "mm", 2), "."))
	}
	return append([]paper.Block{paper.Equation{
		Says:  says(symbol("P"), " = 2 ", symbol("S"), " ", symbol("E"), " (", symbol("t"), " − ", symbol("A"), ")/(", symbol("D"), " − 2 ", symbol("y"), " (", symbol("t"), " − ", symbol("A"), "))"),
		Where: []paper.Text{where}, Source: hazard.TubeSource,
	}}, blocks...)
}

// unknown says which margins cannot be stated, and what to supply.
func (o *officer) unknown() (blocks []paper.Block) {
	told := map[string]bool{}
	for i := range o.t.count("/circuits") {
		at := "/circuits/" + decimal(i)
		why, ok := o.t.sentence(at + "/not_known_because")
		if !ok || told[why.Text] {
			continue
		}
		told[why.Text] = true
		blocks = append(blocks, paragraph(paper.Span{Text: "The margin cannot be stated", Style: paper.Strong}, " of circuit ", o.words(at+"/circuit"), " and those like it: ", why,
			". Take the allowable stress of the tube's material and product form at ", o.n(at+"/hottest_wall_degC", "", 0), " and above from the current code, and write it under ", code("tube:"), " of the receiver: ",
			code("strength: {allowable stress: … MPa, up to: … degC, source: …}"), "."))
	}
	return blocks
}
