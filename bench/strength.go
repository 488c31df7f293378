package bench

import (
	"emberbank/material"
	"emberbank/receiver"
	"emberbank/unit"
)

// strengthForm is what a tube under pressure bears by its papers.
func strengthForm() *form {
	stress := like(above(unit.Pressure, "0 MPa", "2000 MPa"), "110 MPa")
	return &form{name: "strength", doc: "What a tube under pressure bears: for the safety page, yours to take from the current code. Nothing of it enters a run.", fields: []field{
		{key: "allowable stress", typ: either(stress, mapping(&form{name: "stress over temperature", fields: []field{
			{key: "points", typ: list(tuple(temperature(), stress), 1), required: true, doc: "pairs of temperature and stress, straight lines between; below the first the first counts, above the last none is known"},
		}})), required: true, doc: "of the wall's material and product form, by the code that applies"},
		{key: "up to", typ: like(temperature(), "350 degC"), doc: "the highest temperature at which a single allowable stress counts; needed with one"},
		{key: "joint", typ: like(above(unit.Dimensionless, "0", "1"), "0.85"), def: "1: seamless", doc: "efficiency of the weld seam, or quality factor"},
		{key: "undersize", typ: like(quantity(unit.Dimensionless, "0", "0.5"), "10 %"), def: "12.5 %, of pipe by ASTM A530", doc: "share of the wall that the mill may leave out"},
		{key: "allowance", typ: like(quantity(unit.Length, "0 mm", "20 mm"), "0.1 mm"), def: "0 mm", doc: "off the wall: threads, corrosion, erosion"},
		{key: "source", typ: text("a text", "the code, its edition and table"), doc: "where the allowable stress comes from"},
	}}
}

// strength reads what a tube bears.
func (r *reader) strength(v *value) *receiver.Strength {
	if v == nil {
		return nil
	}
	s := &receiver.Strength{
		Joint: v.get("joint").number(1), Undersize: v.get("undersize").number(0.125), Allowance: v.get("allowance").number(0), Source: v.get("source").word(""),
	}
	stress, upTo := v.get("allowable stress"), v.get("up to")
	s.Stress = r.curve(stress)
	switch {
	case !stress.isQuantity() && upTo != nil:
		r.wrong(upTo, "points of stress say by themselves up to which temperature they count", "up to with a single allowable stress", "take it out")
	case stress.isQuantity() && upTo == nil && !v.partial:
		r.problemAt(v, v.path+" has a single allowable stress and does not say up to which temperature it counts", "a temperature", `add "up to: 350 degC"`)
	case stress.isQuantity():
		s.Stress = material.Curve{Poly: []float64{stress.num}, Max: upTo.number(0)}
	}
	return s
}
