// Package figure draws a run as SVG text: the history over time, the ledger as streams as wide as their heat, a
// section through the receiver with its isotherms, and a circuit from inlet to outlet; a trial, a match and a plan; and
// a study: its responses over one axis and over two, what they hang on, how they are spread, which variants are not beaten.
//
// The pictures obey three measures: height is temperature, width is heat, and a colour that fills an area is a
// temperature. Lines carry their names where they run; the only keys are those for hatching and for the
// temperature rule. Temperature is drawn with a scale that is even to the eye (see Tint), in steps, with isotherms,
// so that it can be read without colour too.
//
// Everything is text of a fixed size, nothing below 10.5 px. The same result gives the same bytes: coordinates are
// printed to a hundredth of a pixel, and no map is walked. A picture stands alone on light paper; on a page it takes the
// page's colours, dark ones too (see Styles). Left out: round blocks, moving pictures.
package figure

// Colours by intent, as they stand on light paper.
const (
	sheet  = "#FBFCFA"
	ink    = "#17211F"
	ink2   = "#4A5653" // secondary text
	line   = "#8C9894" // never text
	hair   = "#D3DAD6"
	pen    = "#2647B0" // what the user gave
	water  = "#0B6E7D"
	light  = "#E9DFA8" // light from sun or lamp
	sign   = "#F6C400" // danger
	ground = "#FFF3C2" // of the sign of danger
	onSign = "#17211E" // the stroke in it, on paper of any colour
	serif  = "Vollkorn, Georgia, serif"
	sans   = "'Emberbank Lettering', sans-serif"
	zeroC  = 273.15 // K
	thin   = "\u2009"
	minus  = "−"
	degree = "°C"
)
