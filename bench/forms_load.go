package bench

import "emberbank/unit"

// loadForm is what is wanted of the water.
func loadForm() *form {
	return &form{name: "a load", doc: "What is wanted of the water: give heat or steam. The load opens circuits one by one, in the order in which they stand, until those that are open can give it; it sets their flows, and shuts them in reverse.", fields: []field{
		{key: "heat", typ: signalShape(quantity(unit.Power, "0 W", "100 MW")), doc: "carried by the water: what leaves less what enters; or give steam"},
		{key: "steam", typ: signalShape(quantity(unit.MassFlow, "0 kg/s", "100 kg/s")), doc: "vapour that leaves, wet or dry, by the least water that makes it"},
		{key: "opens", typ: list(text("a circuit's name", "near"), 1), def: "all circuits in the receiver's order", doc: "circuits in the order in which they are opened"},
		{key: "between", typ: tuple(flowShape(), flowShape()), required: true, doc: "least and greatest flow of water of each circuit that is open"},
		{key: "serves", typ: like(quantity(unit.Temperature, "0 degC", "700 degC"), "80 degC"), def: "any", doc: "with heat: temperature that what leaves a circuit must have to be of use; flows are kept so small that it has"},
		{key: "band", typ: like(quantity(unit.Dimensionless, "0", "1"), "10 %"), def: "10 %", doc: "share of what is wanted that fewer circuits must be able to give beyond it before one is shut"},
		{key: "rest", typ: like(quantity(unit.Time, "0 s", "1 d"), "5 min"), def: "5 min", doc: "least time between two changes of how many are open, but for one more after one more"},
		{key: "shut", typ: word("drained", "open", "closed"), def: "drained", doc: "what stands in a circuit that is shut: drained is empty; open and closed as in water. Water shut in a hot block is a danger"},
	}}
}
