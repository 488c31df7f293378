package dossier

import (
	"emberbank/heat"
	"emberbank/material"
	"emberbank/paper"
	"emberbank/receiver"
)

// holds are the things of a bench on which its checklist hangs.
type holds struct {
	light, dish, pane, heaters, water, shutIn, melt, graphite, fibre, loggers bool
	molten                                                                    bool // a run melts it
}

// holdings looks through the bench for what a checklist has to name.
func (o *officer) holdings() (h holds) {
	p := &o.first.Problem
	rec := &p.Receiver
	h.light = p.Duty.Light != nil || o.has("/light/absorbed_W")
	h.dish = o.has("/light/dish_power_W")
	h.pane = rec.Window != nil && rec.Window.Glass != nil
	h.heaters = len(rec.Heaters) > 0
	h.water = len(rec.Circuits) > 0
	h.loggers = len(o.g.Of("trial")) > 0
	for i := range rec.Media {
		m := &rec.Media[i]
		uses := servesAs(rec, i)
		if len(uses) == 0 {
			continue
		}
		h.melt = h.melt || m.Latent > 0 && (m.Metal != m.Name || m.Room != (material.Room{}))
		h.graphite = h.graphite || m.OxidationOnset > 0
		for _, u := range uses {
			h.fibre = h.fibre || u == receiver.RoleInsulation.String()
		}
	}
	molten, _ := worst(o.runs, heat.KindMoltenMetal)
	shut, _ := worst(o.runs, heat.KindClosed, heat.KindFull)
	h.molten, h.shutIn = len(molten) > 0, len(shut) > 0
	h.melt = h.melt || h.molten
	return h
}

// checklist is what to see to on the day, as far as this bench has it. All of it is common practice.
func (o *officer) checklist() []paper.Block {
	h := o.holdings()
	var before, during, after []paper.Text
	add := func(list *[]paper.Text, when bool, parts ...any) {
		if when {
			*list = append(*list, says(parts...))
		}
	}
	add(&before, true, "Two people at least; both know how to stop the trial, its limits (trial sheet), and where cold water and a telephone are.")
	add(&before, h.light, "The ways of the beam, of what misses the window and of what is thrown back are screened and barred; nothing that burns stands in them. Who can see the spot wears eye protection made for it.")
	add(&before, h.dish, "Turning the dish off the sun was tried today, also without power; parked, it throws light at nobody.")
	add(&before, h.light && !h.dish, "Switching the light off was tried today; cables, cooling and earth were looked at.")
	add(&before, h.pane, "The pane is clean, whole and free to grow; nobody stands before it while it warms or cools.")
	add(&before, h.heaters, "Heaters are earthed, on a residual-current breaker, and can be cut off from where it is cool.")
	add(&before, h.water, "Every stretch of tube that two things can shut has a relief of worked-out capacity that nothing can shut off, led to where nobody stands. Tubes and joints passed a cold pressure test by somebody who may do it.")
	add(&before, h.water, "Circuits that stay dry are drained and open at one end; those that are to be filled are filled cold.")
	add(&before, h.melt, "The filler is dry, its mass was weighed, the void above it is open inside; a dry tray that holds all of it stands below, and no water line crosses it.")
	add(&before, h.graphite, "Air is kept from hot graphite; where a gas does that, oxygen is measured where people breathe.")
	add(&before, h.fibre, "Who cuts or moves insulation wears what keeps its dust from lungs, eyes and skin.")
	add(&before, true, "Surfaces within reach that become hot are guarded or marked.")
	add(&before, h.loggers, "The logger runs, its clock is right, and each thermocouple answers to a warm hand.")
	add(&during, h.light, "Nobody enters the beam's ways while light is on. The cover is shut only when the light is off: a shut cover burns.")
	add(&during, h.water, "First water: outlet open first and led away, little water, nobody near outlet and joints. Hammer or a jumping pressure: stop the water, leave the outlet open.")
	add(&during, h.water, "Water that stood in a hot block is never shut in: the outlet stays open until the block is cold or the tubes are empty.")
	add(&during, h.shutIn, "A run here shuts water in: not to be copied on the rig without a relief.")
	add(&during, h.molten, "No water is let in where a leak could reach the melt; a stain, a smell or a falling level ends the trial.")
	add(&after, h.light, "The light is locked off, not only switched off.")
	add(&after, h.water, "Tubes are drained and left open.")
	add(&after, h.melt, "The block is left alone until all of the filler has frozen.")
	add(&after, true, "A sign says that it is hot and since when; it comes down when a thermometer has said so. What went otherwise than planned is written down.")
	l := paper.List{Checked: true}
	for _, part := range []struct {
		word  string
		items []paper.Text
	}{{"Before.", before}, {"During.", during}, {"After.", after}} {
		for _, item := range part.items {
			l.Items = append(l.Items, append(says(paper.Span{Text: part.word, Style: paper.Strong}, " "), item...))
		}
	}
	return []paper.Block{paragraph("Common practice, as far as this bench calls for it; complete it on site and strike out what does not apply."), l}
}
