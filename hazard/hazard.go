// Package hazard gives the numbers that a safety officer asks for, as plain physics: the steam that stored heat could make, what
// a tube bears by the thin-wall formula of ASME B31.1 and what is left of it, how fast the pressure of water shut in rises, from
// which temperature a surface burns, how far a beam of concentrated light reaches, and how much faster graphite burns
// away. SI throughout, temperatures in K.
//
// It is no design code and sets no limit of its own: a number from it says where to look, and local codes and licensed practice
// decide. Where a value comes from memory its source says so.
//
// Left out: external pressure, bending, thermal stress, fatigue and creep of tubes, water hammer, the give of a tube that is full
// of water, burns by steam or hot air, light by its colour (ultraviolet too, whose limits are lower), and whatever a blast does.
//
//	s, err := hazard.SteamOf(5e6, 10e5, 288.15) // 5 MJ at 10 bar, from water of 15 °C
package hazard

// Practice stands below every page of these numbers.
const Practice = "Local codes and licensed practice decide."

const (
	iceZero    = 273.15   // K
	atmosphere = 101325.0 // Pa
)
