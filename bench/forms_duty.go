package bench

import (
	"slices"

	"emberbank/unit"
)

// dutyFields is what describes a duty.
func dutyFields() *form {
	return &form{name: "duty", doc: "What is done to the receiver over time.", fields: slices.Concat([]field{
		{key: "name", typ: nameText(), doc: "shown in results"},
	}, calendarFields(), []field{
		{key: "ambient", typ: signalShape(outdoors()), def: "20 degC", doc: "temperature of the air"},
		{key: "sky", typ: signalShape(like(quantity(unit.Temperature, "0 K", "100 degC"), "0 degC")), def: "the ambient", doc: "effective radiating temperature of the sky"},
		{key: "ground", typ: signalShape(outdoors()), def: "the ambient", doc: "radiating temperature of the ground"},
		{key: "wind", typ: signalShape(quantity(unit.Speed, "0 m/s", "60 m/s")), def: "0 m/s", doc: "speed of the wind at the receiver"},
		{key: "tilt", typ: tiltShape(), def: "0 deg", doc: "angle of the window's outward normal below the horizontal: 0 looks sideways, 90 deg straight down, -90 deg up"},
		{key: "light", typ: later("light", lightForm), def: "none", doc: "the flux on the window"},
		{key: "cover", typ: word("open", "shut"), def: "open", doc: "at the start"},
		{key: "heaters", typ: named(mapping(&form{name: "a heater's duty", fields: []field{
			{key: "power", typ: signalShape(quantity(unit.Power, "0 W", "1 MW")), required: true, doc: "electric power while it is on"},
			{key: "on", typ: flag(), def: "yes", doc: "at the start"},
		}})), doc: "by the heaters' names in the receiver; one that is not named stays off"},
		{key: "water", typ: named(later("the water of a circuit", waterForm)), doc: "by the circuits' names in the receiver; all: for every circuit that is not named"},
		{key: "pumps", typ: list(mapping(&form{name: "a pump", doc: "Feeds circuits side by side; the flow divides so that all have the same pressure drop.", fields: []field{
			{key: "flow", typ: signalShape(flowShape()), required: true, doc: "in total"},
			{key: "circuits", typ: list(text("a circuit's name", "main"), 1), required: true, doc: "that it feeds"},
		}}), 0), doc: "circuits that share one pump"},
		{key: "load", typ: later("a load", loadForm), def: "none", doc: "what is wanted of the water over time: circuits are opened one by one to give it"},
		{key: "events", typ: list(mapping(&form{name: "an event", doc: "Switches at a stated time.", fields: []field{
			{key: "at", typ: moment(), required: true, doc: "from the start of the run"},
			{key: "every", typ: like(above(unit.Time, "0 s", "40000 d"), "1 d"), def: "it comes once", doc: "after which it comes again, and so on"},
			{key: "name", typ: nameText(), def: "what it does", doc: "shown in results"},
			{key: "do", typ: actionsShape(), required: true, doc: "what is switched"},
		}}), 0), doc: "switching at stated times; they may stand in any order"},
		{key: "rules", typ: list(later("a rule", ruleForm), 0), doc: "switching when a watched value crosses a threshold"},
	})}
}

func flowShape() *shape { return quantity(unit.MassFlow, "0 kg/s", "100 kg/s") }

// waterPressure spans what the water's equations serve here: from deep vacuum to region 3's lower edge.
func waterPressure() *shape { return quantity(unit.Pressure, "1 kPa", "16.5 MPa") }

func lightForm() *form {
	sigma := like(quantity(unit.Length, "0.1 mm", "10 m"), "60 mm")
	centre := field{key: "centre", typ: mapping(&form{name: "a point on the face", fields: []field{
		{key: "width", typ: lengthAlong(), required: true, doc: "across"},
		{key: "height", typ: lengthAlong(), required: true, doc: "up"},
	}}), def: "the window's middle", doc: "of the spot"}
	floor := field{key: "floor", typ: like(quantity(unit.Dimensionless, "0", "0.99"), "15 %"), def: "0 %", doc: "share of the power on the opening that is spread evenly under the spot, as a lamp with a reflector throws it past what the reflector gathers"}
	return &form{name: "light", doc: "Concentrated light on the window's opening.", fields: []field{
		{key: "power", typ: signalShape(quantity(unit.Power, "0 W", "100 MW")), doc: "total on the opening; or give peak, or a map or a reading that carries it"},
		{key: "reading", typ: later("a reading", readingForm), doc: "of a calorimeter or of gauges, instead of power"},
		{key: "peak", typ: signalShape(quantity(unit.HeatFlux, "0 W/m2", "100 MW/m2")), doc: "largest flux on the opening, instead of power"},
		{key: "dish", typ: text("a file name", "light.yaml"), doc: "a file of kind light: power and map on the window follow from rays cast by its dish; instead of power, peak and map"},
		{key: "beam", typ: beamShape(), doc: "direct normal irradiance on the dish, or on an area"},
		{key: "area", typ: like(above(unit.Area, "0 m2", "1e6 m2"), "4 m2"), doc: "in place of a dish: the area whose beam comes through the opening, that of the mirrors times what they reflect and what the opening catches of it"},
		{key: "cone", typ: like(quantity(unit.Angle, "0 deg", "90 deg"), "40 deg"), def: "0 deg: it falls straight on", doc: "half-angle of the bundle of light that meets each point of the window, filled evenly; a pane and a face with values by angle take less of what falls aslant"},
		{key: "spectrum", typ: either(word("sun"), like(quantity(unit.Temperature, "1000 K", "20000 K"), "3200 K")), def: "sun", doc: "of the light, for a pane whose values follow from what it is made of: the sun's direct beam by ASTM G173-03, or a black body's by its colour temperature: about 3200 K for halogen lamps, 6000 K for xenon arcs"},
		{key: "counts", typ: word("incident", "absorbed"), def: "incident", doc: "incident: glass and absorptance still take their part; absorbed: this is what the block absorbs"},
		{key: "map", typ: either(word("uniform"),
			mapping(&form{name: "a Gaussian map", fields: []field{
				{key: "gaussian", typ: either(
					mapping(&form{name: "a round spot", fields: []field{{key: "sigma", typ: sigma, required: true, doc: "flux = peak · exp(-r²/(2 σ²))"}, floor, centre}}),
					mapping(&form{name: "an oval spot", fields: []field{
						{key: "sigma width", typ: sigma, required: true, doc: "σ across"},
						{key: "sigma height", typ: sigma, required: true, doc: "σ upwards"},
						floor,
						centre,
					}}),
				), required: true, doc: "a spot that falls off as exp(-r²/(2 σ²)), such as that of a short-arc or halogen lamp with its reflector"},
			}}),
			mapping(&form{name: "a map by table", fields: []field{
				{key: "table", typ: text("a file name", "map.csv"), required: true, doc: "CSV: the first row holds widths (its first cell the unit, as \"height [mm]\"), the first column heights, the rest the flux relative to one another; in the receiver's coordinates. Where the first cell names the flux's unit too, as \"height [mm] flux [kW/m2]\", the flux is measured: it must carry the stated power, and gives it where none is stated"},
			}}),
		), def: "uniform", doc: "how the flux spreads over the opening"},
		{key: "on", typ: flag(), def: "yes", doc: "at the start"},
	}}
}

func waterForm() *form {
	return &form{name: "the water of a circuit", doc: "What feeds one circuit.", fields: []field{
		{key: "flow", typ: signalShape(flowShape()), doc: "mass flow while it flows; not needed where a pump feeds it, where hold outlet sets it, or where it stays drained"},
		{key: "inlet", typ: signalShape(like(quantity(unit.Temperature, "0 degC", "370 degC"), "15 degC")), doc: "temperature at the inlet, of liquid: steam at the inlet is left out; not needed where it stays drained"},
		{key: "pressure", typ: signalShape(waterPressure()), def: "10 bar", doc: "absolute, at the outlet; films and two-phase flow are published for no more than its range"},
		{key: "state", typ: word("flowing", "open", "closed", "drained"), def: "flowing", doc: "at the start: open stands full with the inlet shut and the outlet open, and boils off; closed is full with both shut; drained is empty"},
		{key: "hold outlet", typ: mapping(holdForm()), doc: "throttle the flow to hold what leaves: a temperature, a quality, a superheat or steam"},
	}}
}

// heldKeys are what an outlet can hold, one of them at a time.
var heldKeys = []string{"at", "quality", "superheat", "steam", "heat"}

func holdForm() *form {
	return &form{name: "holding the outlet", doc: "Sets the flow between two limits so that what leaves holds a value: give one of at, quality, superheat, steam and heat.", fields: []field{
		{key: "at", typ: like(quantity(unit.Temperature, "0 degC", "700 degC"), "90 degC"), doc: "outlet temperature to hold"},
		{key: "quality", typ: like(above(unit.Dimensionless, "0", "1"), "0.8"), doc: "share of steam in what leaves, by mass"},
		{key: "superheat", typ: like(above(unit.TemperatureDifference, "0 K", "500 K"), "20 K"), doc: "of the steam that leaves, above its boiling point at the outlet's pressure"},
		{key: "steam", typ: like(above(unit.MassFlow, "0 kg/s", "100 kg/s"), "2 kg/h"), doc: "steam that leaves, wet or dry, by the least flow that makes it"},
		{key: "heat", typ: like(above(unit.Power, "0 W", "100 MW"), "2 kW"), doc: "that the water carries off: what leaves less what enters"},
		{key: "between", typ: tuple(flowShape(), flowShape()), required: true, doc: "least and greatest flow of water"},
	}}
}

// actionsShape is what an event or a rule switches.
func actionsShape() *shape {
	return named(either(word("on", "off", "open", "shut", "flowing", "closed", "drained", "yes", "no", "true", "false"), like(quantity(unit.Dimensionless, "0", "100"), "50 %"))).
		called("What can be switched", "`light: on` or `off`; `cover: open` or `shut`; `water NAME: flowing`, `open`, `closed` or `drained`; `heater NAME: on` or `off`; "+
			"`flow NAME: 50 %` (a factor on the circuit's flow); `stop: yes` ends the run. Without a NAME `water`, `heater` and `flow` mean all of them.")
}

func ruleForm() *form {
	limit := either(
		like(quantity(unit.Temperature, "0 K", "3000 degC"), "420 degC"),
		quantity(unit.Power, "0 W", "100 MW"),
		quantity(unit.Dimensionless, "0", "1"),
		quantity(unit.MassFlow, "0 kg/s", "100 kg/s"),
		quantity(unit.Pressure, "0 bar", "220 bar"),
	)
	back := either(
		quantity(unit.TemperatureDifference, "0 K", "2000 K"),
		quantity(unit.Power, "0 W", "100 MW"),
		quantity(unit.Dimensionless, "0", "1"),
		quantity(unit.MassFlow, "0 kg/s", "100 kg/s"),
		quantity(unit.Pressure, "0 bar", "220 bar"),
	)
	return &form{name: "a rule", doc: "Acts when the watched value comes to lie beyond the threshold, and again only after it has come back.", fields: []field{
		{key: "name", typ: nameText(), def: "what it watches", doc: "shown in results"},
		{key: "when", typ: mapping(&form{name: "a condition", fields: []field{
			{key: "place", typ: text("what is watched", "block mean"), required: true, doc: "a probe's or sensor's name, block mean, block max, outlet NAME, quality NAME, steam NAME (kg/s of it that leave the circuit), pressure NAME (at its outlet, or of what is shut in), light (W on the window) or melted (share of the block)"},
			{key: "above", typ: limit, doc: "acts at or above this; or give below"},
			{key: "below", typ: limit, doc: "acts at or below this"},
		}}), required: true, doc: "the condition"},
		{key: "back by", typ: back, def: "0", doc: "how far the value must come back before the rule acts again (hysteresis)"},
		{key: "after", typ: moment(), def: "0 s", doc: "not before this time"},
		{key: "once", typ: flag(), def: "no", doc: "act once only"},
		{key: "do", typ: actionsShape(), required: true, doc: "what is switched"},
		{key: "else", typ: actionsShape(), doc: "what is switched when the value has come back"},
	}}
}
