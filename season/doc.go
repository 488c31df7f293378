// Package season is a fast model of a receiver for seasons of use. It builds itself from the full model: it has some days
// computed by heat.Run and asks heat.Still, and it holds itself to other days of the full model that it was not built from.
//
// Its state is the heat content of a few nodes: layers of the block by depth, and shells of what surrounds the block, parted
// where the standing temperature falls by equal shares from block to surroundings. The heat content of a node over its
// temperature is that of the media in it, melting included, exactly as the full model has it. What joins the nodes was
// found as the heat that the full model's solid conducts from one to the other on the days of building, over the difference
// of their temperatures. A pane before the window is a node too, between the gap and the outside. What surroundings and water take is the full model's own, asked for over tables of temperature,
// weather, flow and inlet, with water as it settles.
//
// Left out: the water's heat content (a few minutes' worth), water that stands in tubes, pumps that several
// circuits share, and whatever within the block is not a matter of depth. How far that matters is what the days held apart
// are for: where their error passes what is allowed, and where a season leaves the states from which the model was built,
// it answers nothing, and says why.
package season
