package bench

import "emberbank/unit"

var sideNames = []string{"front", "back", "left", "right", "bottom", "top"}

// receiverFields is what describes a receiver.
func receiverFields() *form {
	fields := []field{
		{key: "name", typ: nameText(), def: "receiver", doc: "shown in results"},
		{key: "block", typ: later("block", blockForm), required: true, doc: "the storage block"},
		{key: "insulation", typ: later("insulation", insulationForm), def: "none", doc: "layers around the block"},
		{key: "jacket", typ: later("jacket", jacketForm), def: "none", doc: "sheet outside everything else"},
		{key: "fixtures", typ: list(later("a fixture", func() *form { return fixtureForm("a fixture") }), 0), doc: "boxes that bridge the insulation, such as feet; a later one replaces an earlier one where they meet"},
		{key: "boxes", typ: list(either(later("a box", func() *form { return fixtureForm("a box") }), later("a box of open air", airForm)), 0), doc: "boxes of any material or of open air, anywhere, after the fixtures; a later one replaces an earlier one"},
	}
	fields = append(fields, materialLists()...)
	fields = append(fields,
		field{key: "window", typ: later("window", windowForm), def: "none: the block's face is part of the surface front", doc: "the opening through which light comes in"},
		field{key: "surfaces", typ: later("surfaces", surfacesForm), doc: "what happens on the outer faces; a narrower name wins over a wider one"},
		field{key: "heaters", typ: list(later("a heater", heaterForm), 0), doc: "electric cartridges in the block"},
		field{key: "tube", typ: mapping(&form{name: "tube", doc: "Values for all passes; a pass may state its own.", fields: tubeFields()}), doc: "values for all passes"},
		field{key: "passes", typ: list(later("a pass", passForm), 1), doc: "straight tube runs through the whole block, numbered from 1 in their order"},
		field{key: "circuits", typ: list(later("a circuit", circuitForm), 1), def: `one circuit "1" with all passes that have water, in their order`, doc: "passes joined in the order of flow; circuits run side by side"},
	)
	return &form{name: "receiver", doc: "What is built. Coordinates count along depth (from the window inwards), width (across) and height (up) from the block's corner at the window face, low in width and height; insulation lies at negative coordinates and beyond the block.", fields: fields}
}

func blockForm() *form {
	size := like(quantity(unit.Length, "1 mm", "10 m"), "300 mm")
	return &form{name: "block", doc: "The storage solid.", fields: []field{
		{key: "depth", typ: size, required: true, doc: "from the window inwards"},
		{key: "width", typ: size, required: true, doc: "across"},
		{key: "height", typ: size, required: true, doc: "up"},
		{key: "medium", typ: text("a material's name", "aluminium"), required: true, synonym: "material", doc: "a material or composite: of this file, of the bench, or of the catalogue"},
		{key: "generation", typ: quantity(unit.Generation, "-1e9 W/m3", "1e9 W/m3"), def: "0 W/m3", doc: "uniform and steady heat source"},
		{key: "initial", typ: temperature(), def: "the run's", doc: "temperature at the start"},
	}}
}

func layerShape() *shape {
	return list(mapping(&form{name: "a layer", doc: "One layer of insulation.", fields: []field{
		{key: "material", typ: text("a material's name", "microporous-board"), required: true, doc: "a material's name"},
		{key: "thickness", typ: thickness(), required: true, doc: "through the layer"},
		{key: "generation", typ: quantity(unit.Generation, "-1e9 W/m3", "1e9 W/m3"), def: "0 W/m3", doc: "uniform and steady heat source"},
		{key: "initial", typ: temperature(), def: "the run's", doc: "temperature at the start"},
	}}), 1)
}

func insulationForm() *form {
	return &form{name: "insulation", doc: "Layers from the block outwards. They wrap like shells: the first layer of every side, then the second, and so on; within a shell the sides come in the order back, left, right, bottom, top, front, and each covers everything placed so far, so that edges and corners are filled. A side's own list wins over around, and around over all.", fields: []field{
		{key: "back", typ: layerShape(), doc: "behind the block"},
		{key: "left", typ: layerShape(), doc: "at low width"},
		{key: "right", typ: layerShape(), doc: "at high width"},
		{key: "bottom", typ: layerShape(), doc: "at low height"},
		{key: "top", typ: layerShape(), doc: "at high height"},
		{key: "around", typ: layerShape(), doc: "left, right, bottom and top"},
		{key: "all", typ: layerShape(), doc: "around and back"},
		{key: "front", typ: layerShape(), doc: "before the block's face, with the window's opening cut through; the reveal is adiabatic"},
	}}
}

func jacketForm() *form {
	return &form{name: "jacket", doc: "A sheet outside of all insulation, wrapped as one more shell.", fields: []field{
		{key: "material", typ: text("a material's name", "stainless-304"), required: true, doc: "a material's name"},
		{key: "thickness", typ: thickness(), required: true, doc: "of the sheet"},
		{key: "sides", typ: list(word(sideNames...), 1), def: "all but front", doc: "the sides that it covers"},
		{key: "initial", typ: temperature(), def: "the run's", doc: "temperature at the start"},
	}}
}

func fixtureForm(name string) *form {
	fields := []field{
		{key: "name", typ: nameText(), def: "fixture 1, box 1, …", doc: "shown in results"},
		{key: "material", typ: text("a material's name", "stainless-304"), required: true, doc: "a material's name"},
	}
	fields = append(fields, boxFields()...)
	fields = append(fields,
		field{key: "generation", typ: quantity(unit.Generation, "-1e9 W/m3", "1e9 W/m3"), def: "0 W/m3", doc: "uniform and steady heat source"},
		field{key: "initial", typ: temperature(), def: "the run's", doc: "temperature at the start"},
	)
	return &form{name: name, doc: "A box of one material.", fields: fields}
}

func airForm() *form {
	fields := []field{
		{key: "name", typ: nameText(), def: "box 1, …", doc: "shown in results"},
		{key: "open air", typ: flag(), required: true, doc: "yes: the box is empty, and solid faces towards it take its surface"},
	}
	fields = append(fields, boxFields()...)
	fields = append(fields, field{key: "surface", typ: surfaceShape(), def: "film outside, emissivity 0.9", doc: "what happens on the solid's faces towards it"})
	return &form{name: "a box of open air", doc: "An empty box.", fields: fields}
}

func filmShape() *shape {
	return either(word("outside", "none"), filmValue())
}

func surfaceShape() *shape {
	return either(word("adiabatic"),
		mapping(&form{name: "a fixed temperature", fields: []field{
			{key: "temperature", typ: temperature(), required: true, doc: "of the faces"},
			{key: "touchable", typ: flag(), def: "no", doc: "whether a person can reach it"},
		}}),
		mapping(&form{name: "exchange with the surroundings", fields: []field{
			{key: "film", typ: filmShape(), synonym: "conductance", def: "outside", doc: "heat transfer coefficient to the air: a value, none, or outside (natural convection by attitude, with the duty's wind)"},
			{key: "emissivity", typ: share(), def: "0.9 where the film is outside, else 0", doc: "for radiation to the surroundings; 0: none"},
			{key: "ambient", typ: temperature(), def: "the duty's", doc: "temperature of the air"},
			{key: "surroundings", typ: temperature(), def: "the duty's sky and ground; where ambient is given here, that", doc: "temperature radiated to"},
			{key: "touchable", typ: flag(), def: "yes, but no for front and open air", doc: "whether a person can reach it: its temperature is then checked against the touch limit"},
		}}),
	).called("A surface", "\"adiabatic\", a fixed temperature, or film and radiation.")
}

func surfacesForm() *form {
	s := surfaceShape()
	fields := []field{
		{key: "all", typ: s, def: "{film: outside, emissivity: 0.9}", doc: "every outer side"},
		{key: "around", typ: s, doc: "left, right, bottom and top"},
	}
	for _, n := range sideNames {
		doc := "this side"
		if n == "front" {
			doc = "the front: the rim beside the window, and the block's face where there is no window"
		}
		fields = append(fields, field{key: n, typ: s, doc: doc})
	}
	return &form{name: "surfaces", doc: "What happens on the outer faces. A narrower name stands for its sides as a whole, not key by key: what it leaves out has the default, not the wider name's value.", fields: fields}
}

func windowForm() *form {
	size := like(quantity(unit.Length, "1 mm", "10 m"), "180 mm")
	return &form{name: "window", doc: "The opening in the front, on the block's face.", fields: []field{
		{key: "width", typ: size, def: "the block's", doc: "of the opening"},
		{key: "height", typ: size, def: "the block's", doc: "of the opening"},
		{key: "centre", typ: mapping(&form{name: "a point on the face", fields: []field{
			{key: "width", typ: lengthAlong(), required: true, doc: "across"},
			{key: "height", typ: lengthAlong(), required: true, doc: "up"},
		}}), def: "the face's middle", doc: "of the opening"},
		{key: "absorptance", typ: either(share(), byAngleShape()), def: "0.95", doc: "of the block's face for the light, at every angle alike or by its angle of incidence"},
		{key: "emissivity", typ: share(), def: "0.9", doc: "of the block's face in the infrared"},
		{key: "film", typ: filmShape(), def: "outside", doc: "of the open face, where there is no glass"},
		{key: "ambient", typ: temperature(), def: "the duty's", doc: "temperature of the air"},
		{key: "surroundings", typ: temperature(), def: "the duty's sky and ground; where ambient is given here, that", doc: "temperature radiated to"},
		{key: "service limit", typ: temperature(), def: "none", doc: "of the face or its coating: a run in which the face grows hotter gets a caution"},
		{key: "flux limit", typ: like(above(unit.HeatFlux, "0 W/m2", "100 MW/m2"), "800 kW/m2"), def: "none", doc: "of the light on the face or its coating: a run in which it is brighter gets a caution"},
		{key: "glass", typ: later("glass", glassForm), def: "none", doc: "a pane before the face"},
		{key: "cover", typ: either(mapping(&form{name: "a cover by its conductance", fields: []field{
			{key: "conductance", typ: filmValue(), required: true, doc: "from the face or pane to the ambient when shut"},
		}}), mapping(&form{name: "a cover by its layers", fields: []field{
			{key: "layers", typ: layerOnly(), required: true, doc: "its conductance follows from them, at 200 degC, with a film of 10 W/(m2 K) outside"},
		}})), def: "one that shuts adiabatically", doc: "the flap that closes the window"},
	}}
}

func layerOnly() *shape {
	return list(mapping(&form{name: "a layer of the cover", fields: []field{
		{key: "material", typ: text("a material's name", "mineral-wool"), required: true, doc: "a material's name"},
		{key: "thickness", typ: thickness(), required: true, doc: "through the layer"},
	}}), 1)
}

func glassForm() *form {
	return &form{name: "glass", doc: "A pane with a gap of air behind it.", fields: []field{
		{key: "material", typ: text("a material's name", "borosilicate-glass"), def: "borosilicate-glass", doc: "for heat capacity, service limit, and what it does with light"},
		{key: "thickness", typ: like(quantity(unit.Length, "0.1 mm", "100 mm"), "4 mm"), required: true, doc: "of the pane"},
		{key: "gap", typ: like(quantity(unit.Length, "1 mm", "1 m"), "20 mm"), required: true, doc: "of air between pane and block"},
		{key: "transmittance", typ: share(), def: "by the angle of the light, from index and extinction", doc: "for the light, at every angle alike"},
		{key: "absorptance", typ: share(), def: "0.02 where the transmittance is given, else as that", doc: "of the pane for the light, at every angle alike"},
		{key: "index", typ: like(quantity(unit.Dimensionless, "1", "4"), "1.473"), def: "the material's", doc: "of refraction, where transmittance is left out"},
		{key: "extinction", typ: like(quantity(unit.Extinction, "0 1/m", "1e5 1/m"), "4 1/m"), def: "the material's", doc: "of light in the glass, over its way: about 4 1/m for glass low in iron, 30 1/m for greenish glass"},
		{key: "flux limit", typ: like(above(unit.HeatFlux, "0 W/m2", "100 MW/m2"), "800 kW/m2"), def: "none", doc: "of the light on the pane: a run in which it is brighter gets a caution"},
		{key: "emissivity", typ: share(), def: "0.88", doc: "in the infrared, both sides"},
		{key: "film", typ: filmShape(), def: "outside", doc: "on the outer side"},
	}}
}

// byAngleShape is a property over the angle at which light falls.
func byAngleShape() *shape {
	return mapping(&form{name: "by angle", doc: "Points over the angle between the light and the normal, straight lines between; before the first and after the last the value stays.", fields: []field{
		{key: "angles", typ: list(tuple(like(quantity(unit.Angle, "0 deg", "90 deg"), "60 deg"), share()), 1), required: true, doc: "pairs of angle of incidence and value: `[[0 deg, 0.95], [60 deg, 0.93], [80 deg, 0.7]]`"},
	}})
}

func axisWord() *shape { return word("depth", "width", "height") }

func heaterForm() *form {
	return &form{name: "a heater", doc: "An electric cartridge, a straight line source along one direction.", fields: []field{
		{key: "name", typ: nameText(), required: true, doc: "as the duty calls it"},
		{key: "along", typ: axisWord(), required: true, doc: "its direction; the two other coordinates are given"},
		{key: "depth", typ: lengthAlong(), doc: "where its axis lies"},
		{key: "width", typ: lengthAlong(), doc: "where its axis lies"},
		{key: "height", typ: lengthAlong(), doc: "where its axis lies"},
		{key: "from", typ: lengthAlong(), def: "the block's low face", doc: "where it begins, along its direction"},
		{key: "to", typ: lengthAlong(), def: "the block's high face", doc: "where it ends"},
		{key: "diameter", typ: like(quantity(unit.Length, "1 mm", "200 mm"), "10 mm"), required: true, doc: "its heat enters the cells that it covers"},
	}}
}

func tubeFields() []field {
	contact := either(append([]*shape{word("none")}, curveOptions(above(unit.HeatTransfer, "0 W/(m2 K)", "1e7 W/(m2 K)"))...)...)
	return []field{
		{key: "outer", typ: like(quantity(unit.Length, "1 mm", "500 mm"), "12 mm"), doc: "outer diameter: the bore in the block"},
		{key: "inner", typ: like(quantity(unit.Length, "0.5 mm", "500 mm"), "10 mm"), doc: "inner diameter; or give wall"},
		{key: "wall", typ: like(quantity(unit.Length, "0.1 mm", "100 mm"), "1 mm"), doc: "wall thickness, instead of inner"},
		{key: "material", typ: text("a material's name or none", "stainless-304"), def: "stainless-304", doc: "of the wall; none: no resistance"},
		{key: "roughness", typ: like(quantity(unit.Length, "0 mm", "5 mm"), "1.5 um"), def: "1.5 um", doc: "of the inner wall"},
		{key: "contact", typ: contact, def: "none", doc: "conductance between block and tube on the tube's outer area, constant or over temperature; none: no resistance"},
		{key: "spreading", typ: word("computed", "none"), def: "computed", doc: "the resistance inside the cells around the tube"},
		{key: "film", typ: either(word("correlation", "none"), above(unit.HeatTransfer, "0 W/(m2 K)", "1e7 W/(m2 K)")), def: "correlation", doc: "on the inner area; none: no resistance"},
		{key: "fluid", typ: temperature(), doc: "fixed fluid temperature: no water is computed for this pass"},
		{key: "strength", typ: later("strength", strengthForm), doc: "what it bears under pressure, for the safety page"},
		{key: "line", typ: above(unit.LineConductance, "0 W/(m K)", "1e6 W/(m K)"), doc: "makes the pass a bare line sink between the cell that holds the axis and the fluid; needs fluid and leaves the rest out"},
	}
}

func passForm() *form {
	at := either(lengthAlong(), list(lengthAlong(), 1))
	fields := []field{
		{key: "name", typ: nameText(), def: "its number", doc: "shown in results"},
		{key: "along", typ: axisWord(), required: true, doc: "its direction; the two other coordinates are given"},
		{key: "depth", typ: at, doc: "where its axis lies; a list in one or both coordinates makes a lattice, depth fastest, then width, then height"},
		{key: "width", typ: at, doc: "where its axis lies"},
		{key: "height", typ: at, doc: "where its axis lies"},
	}
	return &form{name: "a pass", doc: "One straight tube run through the block, or a lattice of them. Any key of tube may stand here too.", fields: append(fields, tubeFields()...)}
}

func circuitForm() *form {
	return &form{name: "a circuit", doc: "Passes joined in the order of flow.", fields: []field{
		{key: "name", typ: nameText(), required: true, doc: "as the duty calls it"},
		{key: "passes", typ: list(text("a pass's number or name", "1"), 1), required: true, doc: "numbers or names in the order of flow; the direction alternates from pass to pass"},
		{key: "enters", typ: word("low", "high"), def: "low", doc: "at which end of the first pass the water comes in"},
		{key: "leads", typ: word("through insulation", "none"), def: "through insulation", doc: "the tube goes straight on through the layers to the outside, where there are any"},
		{key: "bends", typ: either(word("none"), mapping(&form{name: "bends in the insulation", fields: []field{
			{key: "offset", typ: like(quantity(unit.Length, "1 mm", "2 m"), "20 mm"), required: true, doc: "distance of the joining stretch from the block's face"},
		}})), def: "half the first layer, where there is insulation, else none", doc: "how pass ends are joined outside the block; none: no length there"},
	}}
}
