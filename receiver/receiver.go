// Package receiver describes what is built, as plain values in SI: parts that fill boxes, the window and its
// cover, the outer surfaces, and the tubes that pass through. It is shape and data; heat is computed elsewhere.
// Temperatures are in K, lengths in m (see package block for the directions and the origin).
package receiver

import (
	"emberbank/block"
	"emberbank/material"
)

// Receiver is what is built.
type Receiver struct {
	Name  string
	Block block.Box // the storage block; its window face is at depth 0
	// Parts fill space in their order, a later one replacing what stood there. The block is the part of that name.
	Parts    []Part
	Media    []material.Medium
	Surfaces []Surface // by name; the six sides are always there, air parts may add more
	Window   *Window   // nil: the block's front face belongs to the surface "front"
	Heaters  []Heater  // electric cartridges in the block
	Circuits []Circuit
	Passes   []Pass // each belongs to one circuit, or stands alone with a fixed fluid temperature
}

// Part is a box of one medium, or of open air.
type Part struct {
	Name       string
	Role       Role
	Box        block.Box
	Medium     int     // index into Media; -1 for open air
	Surface    int     // for open air: the Surface of solid faces towards it
	Initial    float64 // K; NaN: the run's initial temperature
	Generation float64 // W/m³, steady and uniform
}

// Role groups parts in the ledger.
type Role int

// What a part is for.
const (
	RoleBlock Role = iota
	RoleInsulation
	RoleJacket
	RoleFixture
	RoleBox // any other box
)

// String returns the role's word in the ledger.
func (r Role) String() string {
	return [...]string{"block", "insulation", "jacket", "fixtures", "boxes"}[r]
}

// Surface is what happens on a set of outer faces of the solid. The half cell between a cell's centre and its
// face always stands in series.
type Surface struct {
	Name        string
	Kind        SurfaceKind
	Temperature float64  // K, for FixedTemperature
	Film        Film     // for Exchange
	Emissivity  float64  // for Exchange; 0: no radiation
	Ambient     *float64 // K, of the air; nil: the duty's ambient
	Surrounds   *float64 // K, radiated to; nil: the duty's sky and ground as the surface sees them
	Touchable   bool     // a surface that a person can reach: its temperature is checked against touch limits
}

// SurfaceKind tells how a surface is bound.
type SurfaceKind int

// The ways in which a surface can be bound.
const (
	Adiabatic SurfaceKind = iota
	FixedTemperature
	Exchange // film to the air and radiation to the surroundings
)

// Film is a heat transfer coefficient between a surface and the air.
type Film struct {
	Kind  FilmKind
	Value float64 // W/(m² K), for FilmFixed
}

// FilmKind tells where a film coefficient comes from.
type FilmKind int

// Where a film coefficient comes from.
const (
	FilmNone    FilmKind = iota
	FilmFixed            // Value
	FilmOutside          // natural convection by attitude, with the duty's wind
)

// Window is the aperture in the front and what covers it.
type Window struct {
	Opening      block.Box // only width and height count, on the block's front face
	Absorptance  float64   // of the block's face for the light
	Emissivity   float64   // of the block's face in the infrared
	Film         Film      // of the open face, without glass
	Ambient      *float64  // K, as for Surface
	Surrounds    *float64  // K
	Glass        *Glass    // nil: open face
	Cover        float64   // W/(m² K), conductance to the ambient of the closed cover; 0: closes adiabatically
	ServiceLimit float64   // K of the block's face or coating, 0: none
	FluxLimit    float64   // W/m² of light on the block's face that it bears, 0: none is stated
	// Absorptances, where given, holds instead of Absorptance: at the middles of equal bins of the light's angle of
	// incidence from 0 to π/2.
	Absorptances []float64
}

// Glass is a pane before the block's face with a gap of air between them.
type Glass struct {
	Thickness, Gap float64 // m
	Medium         int     // index into Media, for its heat capacity and service limit
	Transmittance  float64 // for the light
	Absorptance    float64 // of the pane for the light
	Emissivity     float64 // in the infrared, both sides; the pane is opaque there
	OutsideFilm    Film
	FluxLimit      float64 // W/m² of light on the pane that it bears, 0: none is stated
	// Transmittances and Absorptances, where given, hold instead of the two above: at the middles of equal bins of the
	// light's angle of incidence from 0 to π/2. Light that the block's face throws back is then followed as well. The two above
	// are then those of light straight on.
	Transmittances, Absorptances []float64
}

// Heater is an electric cartridge: a straight line source along an axis.
type Heater struct {
	Name     string
	Axis     block.Axis
	At       block.Point // m, on the line
	From, To float64     // m along Axis
	Diameter float64     // m; its heat enters the cells that the cartridge covers
}

// Pass is one straight tube run through the block.
type Pass struct {
	Name     string
	Axis     block.Axis
	At       block.Point // m, on the tube's axis; the coordinate along Axis means nothing
	From, To float64     // m along Axis: where it enters and leaves the block, From < To
	// Line, where above zero, makes the pass a bare line sink: W/(m K) per metre between the temperature of the
	// cell that holds the axis and the fluid; nothing below then counts but Fluid.
	Line       float64
	Outer      float64 // m, outer diameter of the tube: the bore in the block
	Inner      float64 // m
	Roughness  float64 // m, of the inner wall
	WallMedium int     // index into Media; -1: no resistance of the wall
	Spreading  bool    // whether the resistance inside the cells around the tube counts
	Contact    Contact
	FilmFixed  float64   // W/(m² K) on the inner area; 0: by correlation
	FilmNone   bool      // no resistance of the film
	Fluid      float64   // K, fixed fluid temperature; NaN: water of the circuit
	FilmChoice string    // "" or the name of a correlation to prefer
	Strength   *Strength // under pressure, as the user states it; nil: nothing is said
}

// Contact is the conductance between the bore's wall and the tube, on the tube's outer area.
type Contact struct {
	None  bool           // no resistance
	Value material.Curve // W/(m² K) over the mean of wall and tube temperature
}

// Circuit is passes joined in order: the water runs through Runs from first to last.
type Circuit struct {
	Name string
	Runs []Run
}

// Run is one straight, axis-parallel stretch of a circuit: a pass inside the block, or a lead or a bend in the
// insulation. Its ends lie on the tube's axis.
type Run struct {
	Kind     RunKind
	Pass     int // index into Passes: the pass itself, or the pass to whose heat a lead or bend is counted
	From, To block.Point
	// For leads and bends: the tube as in the pass, its wall a bridge in the solid.
}

// RunKind tells a stretch's nature.
type RunKind int

// The stretches of a circuit.
const (
	RunPass RunKind = iota
	RunLead
	RunBend
)
