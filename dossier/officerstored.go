package dossier

import (
	"cmp"
	"slices"

	"emberbank/heat"
	"emberbank/paper"
)

// mostRuns is how many runs the table of what is stored has at the most.
const mostRuns = 8

// order sorts the runs of safety.json by what their block holds, the most first.
func (o *officer) order() []int {
	var rank []int
	for i := range o.t.count("/runs") {
		if o.has("/runs/" + decimal(i) + "/block_above_ambient_J") {
			rank = append(rank, i)
		}
	}
	slices.SortStableFunc(rank, func(a, b int) int {
		x, _ := o.t.float("/runs/" + decimal(a) + "/block_above_ambient_J")
		y, _ := o.t.float("/runs/" + decimal(b) + "/block_above_ambient_J")
		return cmp.Compare(y, x)
	})
	return rank
}

// stored is how much heat there is, how hot, and the steam that it could make.
func (o *officer) stored() []paper.Block {
	rank := o.order()
	if len(rank) == 0 {
		return []paper.Block{paragraph("No run has results yet, so that what is stored is not known.")}
	}
	at := "/runs/" + decimal(rank[0])
	t := says("The block holds most in the run ", o.words(at+"/run"), ": ", o.n(at+"/block_above_ambient_J", "", -1), " above the ambient of ", o.n(at+"/ambient_degC", "", -1),
		", at a mean of ", o.n(at+"/warmest_block_mean_degC", "", -1), ", after ", o.n(at+"/at_s", "", -1))
	if x, _ := o.t.float(at + "/melted"); x > 0 {
		t = append(t, says(", with ", o.n(at+"/melted", "", -1), " of what melts molten")...)
	}
	t = append(t, says(".")...)
	if o.has(at + "/steam_kg") {
		t = append(t, says(" Of that, ", o.n(at+"/block_above_100_degC_J", "", -1), " stands above the boiling point of water in the open and could at most make ",
			o.n(at+"/steam_kg", "", -1), " of steam, ", o.n(at+"/steam_m3", "m3", 1), " of it.")...)
	}
	if o.has(at + "/line_steam_kg") {
		t = append(t, says(" Above what boils at ", o.n(at+"/line_pressure_Pa", "", -1), " (", o.n(at+"/line_boils_degC", "", -1), ") stand ",
			o.n(at+"/block_above_line_boiling_J", "", -1), ", enough for ", o.n(at+"/line_steam_kg", "", -1), ".")...)
	}
	t = append(t, says(" That is the block alone: with insulation, jacket and water, what is stored rose by ", o.n(at+"/rise_of_all_J", "", -1),
		" in that run. The steam is an upper bound: tubes let heat out at their own pace.")...)
	blocks := []paper.Block{paper.Paragraph{Says: t}}
	if len(rank) > 1 {
		blocks = append(blocks, o.storedTable(rank)...)
	}
	kind := heat.KindFirstWater
	if first, _ := worst(o.runs, kind); len(first) == 0 {
		kind = heat.KindWetting
	}
	return append(blocks, o.cautions(kind)...)
}

func (o *officer) storedTable(rank []int) []paper.Block {
	t := newTable("", "", says("What the block holds when it holds most, run by run, and the steam that it could make in the open"),
		words("run"), numbers("after", ""), numbers("mean", "°C"), numbers("molten", ""), numbers("above ambient", "kWh"), numbers("above boiling", "kWh"), numbers("steam", "kg"), numbers("of it", "m³"))
	for _, i := range rank[:min(len(rank), mostRuns)] {
		at := "/runs/" + decimal(i)
		t.row(o.words(at+"/run"), o.n(at+"/at_s", "", -1), o.bare(at+"/warmest_block_mean_degC", "", -1), o.n(at+"/melted", "", -1),
			o.bare(at+"/block_above_ambient_J", "kWh", 2), o.bare(at+"/block_above_100_degC_J", "kWh", 2), o.bare(at+"/steam_kg", "", -1), o.bare(at+"/steam_m3", "m3", 1))
	}
	if len(rank) > mostRuns {
		t.Notes = append(t.Notes, says("Runs that hold less are left out."))
	}
	return t.block()
}
