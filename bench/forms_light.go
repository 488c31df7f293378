package bench

import "emberbank/unit"

// lightFields is what describes the light that a dish throws on a window.
func lightFields() *form {
	size := func() *shape { return like(above(unit.Length, "0 mm", "100 m"), "180 mm") }
	return &form{name: "light", doc: "A dish as it was built, the sun, and the window: which flux meets the window, and what goes elsewhere. Angles count from the receiver's width towards its height.", fields: []field{
		{key: "name", typ: nameText(), def: "the file's", doc: "shown in results"},
		{key: "dish", typ: later("a dish", dishForm), required: true, doc: "the mirrors"},
		{key: "sun", typ: sunShapeShape(), def: "limb darkened, circumsolar ratio 5 %", doc: "how the beam is spread over directions"},
		{key: "tracking error", typ: errorAngle(), def: "0 mrad", doc: "standard deviation, along each of two directions, of how far the dish points beside the sun"},
		{key: "beside the sun", typ: mapping(&form{name: "a lasting error of tracking", fields: []field{
			{key: "width", typ: turn(), def: "0 mrad", doc: "towards the receiver's width"},
			{key: "height", typ: turn(), def: "0 mrad", doc: "upwards"},
		}}), def: "none", doc: "how far the dish lastingly points beside the sun"},
		{key: "shade", typ: later("what stands in the light's way", shadeForm), def: "none", doc: "the receiver itself, and the arms that hold it"},
		{key: "receiver", typ: text("a file name", "receiver.yaml"), def: "none", doc: "a file of kind receiver, whose window the light shall meet"},
		{key: "window", typ: mapping(&form{name: "the window before a dish", doc: "A rectangle by width and height, or round by its diameter. Its plane stands square to the dish's axis.", fields: []field{
			{key: "distance", typ: like(above(unit.Length, "0 mm", "200 m"), "1.5 m"), def: "the focal length", doc: "of its plane from the dish's vertex, along the axis"},
			{key: "width", typ: size(), def: "that of the receiver", doc: "across"},
			{key: "height", typ: size(), def: "that of the receiver", doc: "up"},
			{key: "diameter", typ: size(), doc: "of a round window, instead of width and height"},
			{key: "centre", typ: mapping(besideAxis("the window's middle")), def: "on the axis", doc: "where its middle lies beside the dish's axis"},
		}}), def: "the receiver's, in the focal plane", doc: "where the light shall go; a duty that names this file puts its own receiver's window there"},
		{key: "beam", typ: like(above(unit.HeatFlux, "0 W/m2", "1400 W/m2"), "900 W/m2"), def: "900 W/m2", doc: "direct normal irradiance for which `emberbank light` tells its answer"},
		{key: "right window", typ: later("the right window", rightWindowForm), def: "not asked", doc: "how large the window should be: needs a receiver"},
		{key: "error", typ: like(above(unit.Dimensionless, "0", "10 %"), "0.1 %"), def: "0.1 %", doc: "standard error from casting at which `emberbank light` stops to refine: of the power in the window; twenty times that for the flux at its peak"},
		{key: "seed", typ: count(0, 1e9), def: "0", doc: "of the rays: another one draws others"},
	}}
}

func errorAngle() *shape { return like(quantity(unit.Angle, "0 mrad", "100 mrad"), "2 mrad") }

func turn() *shape { return like(quantity(unit.Angle, "-70 mrad", "70 mrad"), "1 mrad") }

func anyAngle() *shape { return like(quantity(unit.Angle, "-720 deg", "720 deg"), "30 deg") }

func besideAxis(what string) *form {
	return &form{name: what + " beside the axis", fields: []field{
		{key: "width", typ: lengthAlong(), required: true, doc: "across, from the dish's axis"},
		{key: "height", typ: lengthAlong(), required: true, doc: "up, from the dish's axis"},
	}}
}

func sunShapeShape() *shape {
	return either(word("pill-box"),
		mapping(&form{name: "an even sun", fields: []field{
			{key: "pill-box", typ: mapping(&form{name: "a pill-box", fields: []field{
				{key: "half angle", typ: like(above(unit.Angle, "0 mrad", "100 mrad"), "4.65 mrad"), def: "4.65 mrad", doc: "of the disc, which is equally bright all over"},
			}}), required: true, doc: "a disc of even radiance"},
		}}),
		mapping(&form{name: "a Gaussian sun", fields: []field{
			{key: "gaussian", typ: mapping(&form{name: "a sun without an edge", fields: []field{
				{key: "sigma", typ: like(above(unit.Angle, "0 mrad", "100 mrad"), "2.73 mrad"), required: true, doc: "standard deviation along each of two directions"},
			}}), required: true, doc: "radiance falls off as exp(-θ²/(2 σ²))"},
		}}),
		mapping(&form{name: "a limb-darkened sun", fields: []field{
			{key: "limb darkened", typ: mapping(&form{name: "limb and aureole", fields: []field{
				{key: "circumsolar ratio", typ: like(quantity(unit.Dimensionless, "0", "70 %"), "5 %"), def: "5 %", doc: "share of the beam that comes from the aureole: clear air 1 to 5 %, haze 10 to 40 % (common practice)"},
			}}), required: true, doc: "a disc that darkens towards its limb, with an aureole around it (Buie, Monger & Dey 2003)"},
		}}),
	)
}

// mirrorKeys are what each mirror has of its own.
func mirrorKeys(needed bool) []field {
	of := func(s string) string {
		if needed {
			return s
		}
		return "the dish's"
	}
	reflectance := field{key: "reflectance", typ: like(quantity(unit.Dimensionless, "0", "1"), "0.92"), required: needed, doc: "share of the beam that is thrown back"}
	if !needed {
		reflectance.def = "the dish's"
	}
	return []field{
		reflectance,
		{key: "slope error", typ: errorAngle(), def: of("0 mrad"), doc: "standard deviation of the surface's slope along each of two directions; a ray turns by twice that"},
		{key: "specularity error", typ: errorAngle(), def: of("0 mrad"), doc: "standard deviation of the reflected ray along each of two directions"},
		{key: "pointing", typ: mapping(&form{name: "a pointing error", fields: []field{
			{key: "outwards", typ: turn(), def: "0 mrad", doc: "by how much the mirror as a whole is turned, its normal away from the axis"},
			{key: "sideways", typ: turn(), def: "0 mrad", doc: "the same, towards rising angles"},
		}}), def: of("none"), doc: "how far the mirror as a whole is turned from its place"},
	}
}

func dishForm() *form {
	radius := func() *shape { return like(quantity(unit.Length, "0 mm", "50 m"), "200 mm") }
	numbers := func() *shape { return list(count(1, 10000), 0) }
	petal := &form{name: "a petal", doc: "A sector between two angles and two distances from the axis.", fields: append([]field{
		{key: "from", typ: anyAngle(), required: true, doc: "angle at which it begins"},
		{key: "to", typ: anyAngle(), required: true, doc: "angle at which it ends, above the first"},
		{key: "inner", typ: radius(), def: "0 mm", doc: "distance of its inner edge from the axis"},
		{key: "outer", typ: radius(), def: "the dish's rim", doc: "distance of its outer edge from the axis"},
		{key: "missing", typ: flag(), def: "no", doc: "its place is empty"},
	}, mirrorKeys(false)...)}
	facet := &form{name: "a facet", doc: "A piece of the paraboloid within a small outline, seen along the axis: round, a rectangle, or a regular hexagon.", fields: append([]field{
		{key: "centre", typ: mapping(besideAxis("a facet's middle")), required: true, doc: "where its middle lies"},
		{key: "diameter", typ: radius(), doc: "of a round one"},
		{key: "width", typ: radius(), doc: "of a rectangle"},
		{key: "height", typ: radius(), doc: "of a rectangle"},
		{key: "across", typ: radius(), doc: "of a hexagon, between two of its sides"},
		{key: "turned", typ: anyAngle(), def: "0 deg", doc: "by how much it is turned about its middle"},
		{key: "missing", typ: flag(), def: "no", doc: "its place is empty"},
	}, mirrorKeys(false)...)}
	return &form{name: "a dish", doc: "A paraboloid made of petals or of facets.", fields: append([]field{
		{key: "focal length", typ: like(above(unit.Length, "0 mm", "100 m"), "1.5 m"), required: true, doc: "of the paraboloid"},
		{key: "diameter", typ: like(above(unit.Length, "0 mm", "100 m"), "2.4 m"), required: true, doc: "of the circle in which all mirrors lie, seen along the axis"},
		{key: "hole", typ: radius(), def: "what the petals leave free about the axis", doc: "diameter of a hole about the axis that was never meant to hold mirrors: its light counts to no gap"},
		{key: "petals", typ: either(
			mapping(&form{name: "equal petals", doc: "Sectors that fill the circle, numbered from 1.", fields: []field{
				{key: "count", typ: count(1, 1000), required: true, doc: "how many there are places for"},
				{key: "from", typ: anyAngle(), def: "0 deg", doc: "angle at which the first begins"},
				{key: "gap", typ: like(quantity(unit.Angle, "0 deg", "90 deg"), "0.5 deg"), def: "0 deg", doc: "angle left free between two neighbours"},
				{key: "inner", typ: radius(), def: "0 mm", doc: "distance of their inner edges from the axis"},
				{key: "outer", typ: radius(), def: "the dish's rim", doc: "distance of their outer edges from the axis"},
				{key: "missing", typ: numbers(), def: "none", doc: "numbers of the places that are empty"},
				{key: "other", typ: list(mapping(&form{name: "petals that are not like the others", fields: append([]field{
					{key: "petals", typ: list(count(1, 10000), 1), required: true, doc: "their numbers"},
				}, mirrorKeys(false)...)}), 0), def: "none", doc: "petals with errors of their own"},
			}}),
			list(mapping(petal), 1),
		), doc: "equal ones by their number, or one by one; or give facets"},
		{key: "facets", typ: list(mapping(facet), 1), doc: "one by one, instead of petals"},
	}, mirrorKeys(true)...)}
}

func shadeForm() *form {
	size := func() *shape { return like(above(unit.Length, "0 mm", "100 m"), "400 mm") }
	return &form{name: "what stands in the light's way", doc: "A box or a round can about the axis, behind the window's plane, and bars.", fields: []field{
		{key: "width", typ: size(), doc: "of a box"},
		{key: "height", typ: size(), doc: "of a box"},
		{key: "diameter", typ: size(), doc: "of a round can, instead of width and height"},
		{key: "depth", typ: like(quantity(unit.Length, "0 mm", "100 m"), "400 mm"), def: "0 mm", doc: "from the window's plane away from the dish"},
		{key: "arms", typ: list(mapping(&form{name: "an arm", doc: "A straight round bar from the receiver to the dish; it stops light on its way in and on its way back.", fields: []field{
			{key: "angle", typ: anyAngle(), required: true, doc: "at which it stands, from width towards height"},
			{key: "width", typ: like(above(unit.Length, "0 mm", "1 m"), "30 mm"), required: true, doc: "how wide it is"},
			{key: "inner", typ: like(quantity(unit.Length, "0 mm", "50 m"), "200 mm"), def: "the edge of the receiver", doc: "distance from the axis at which it ends in the window's plane"},
			{key: "outer", typ: like(above(unit.Length, "0 mm", "50 m"), "1.2 m"), def: "the dish's rim", doc: "distance from the axis at which it stands on the dish"},
		}}), 0), def: "none", doc: "bars that hold the receiver"},
	}}
}
