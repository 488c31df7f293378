// Package dish casts rays: from the sun by a dish of mirrors as it was built to the plane of a receiver's window. The dish
// is a paraboloid of revolution about the axis z, its vertex at the origin,
//
//	z = (x² + y²)/(4 f),
//
// f its focal length, made of pieces (petals or facets) that are there or not, each with its own reflectance, slope error,
// specularity error and pointing. The window lies in the plane z = d, square to the axis, and looks down into the dish. x
// is the receiver's width, y its height, both counted from the axis; angles count from width towards height.
//
// A ray comes from a point of the sun's shape, meets a mirror unless the receiver's body or an arm stands in its way, is
// thrown back about a normal that is off by the slope error, is spread by the specularity error, and meets the plane unless
// an arm stands in its way. Every ray ends somewhere that has a name (see Ends). Rays are points of scrambled Sobol
// sequences, one for each piece; sixteen independent scramblings tell the error of whatever is counted. The numbers hang on
// the dish, the options and the seed alone, not on the number of threads.
//
// Left out: mirrors of another shape than the paraboloid's (flat or bent facets), light that meets two mirrors, what the
// frame and the edges of mirrors throw back, colour (a reflectance is one number, that of the beam's spectrum), dust that
// spreads light, and how gravity and wind bend the dish.
//
//	d := dish.Dish{Focal: 1, Diameter: 1.2, Pieces: dish.Petals(12, 0.1, 0.6, dish.Piece{Present: true, Reflectance: 0.9})}
//	d.Sun, d.Window = dish.Sun{Shape: dish.PillBox}, dish.Window{Distance: 1, Width: 0.18, Height: 0.18}
//	result, err := dish.Cast(ctx, &d, dish.Options{})
package dish

import (
	"fmt"
	"math"
)

// Dish is what is built, where the sun stands beside its axis, and where the window is. Lengths are in m, angles in rad.
type Dish struct {
	Focal    float64 // m
	Diameter float64 // m, of the circle in which all pieces lie, square to the axis
	Hole     float64 // m, diameter of a hole about the axis that was never meant to hold mirrors; its light counts to no gap
	Pieces   []Piece
	Sun      Sun
	Tracking float64    // rad, standard deviation along each of two directions of how far the axis points beside the sun
	Off      [2]float64 // rad: by how much the axis lastingly points beside the sun, towards width and height
	Body     Body
	Arms     []Arm
	Window   Window
}

// Piece is a petal or a facet: what lies of the paraboloid within its outline.
type Piece struct {
	Name        string
	Present     bool
	Outline     Outline
	Reflectance float64    // 1
	Slope       float64    // rad, standard deviation of the surface's slope along each of two directions
	Specular    float64    // rad, standard deviation of the reflected ray's direction along each of two directions
	Pointing    [2]float64 // rad: by how much the piece is turned from its place, its normal outwards and sideways (towards rising angles)
}

// Window is where the light shall go: in the plane at Distance from the vertex.
type Window struct {
	Distance      float64 // m
	Round         bool
	Width, Height float64    // m; both are the diameter where it is round
	Centre        [2]float64 // m, width and height from the axis
}

// Body is what holds the window and stands in the light's way: a box or a round can of some depth behind the window's plane,
// about the axis. Without width there is none.
type Body struct {
	Round         bool
	Width, Height float64 // m; both are the diameter where it is round
	Depth         float64 // m, from the window's plane away from the dish
}

// Arm is a straight round bar that stands in the light's way, on its way in and on its way back.
type Arm struct {
	From, To [3]float64 // m: width, height, distance from the vertex along the axis
	Width    float64    // m, its diameter
}

// Map is what a cast gives of the window's plane. Lengths are in m about the dish's axis, width first.
type Map struct {
	Width, Height     []float64 // m, rising: centres of the bins
	Flux              []float64 // 1: flux over beam irradiance ("suns") at i + j*len(Width)
	Error             []float64 // 1, standard error of each from the casting
	Power, PowerError float64   // m²: power through the plane over beam irradiance
	Angles            []float64 // shares of that power by angle of incidence on the plane, in equal bins from 0 to 90 deg
}

// Rim returns how far the dish's rim lies from its vertex along the axis, m.
func (d *Dish) Rim() float64 { return d.Diameter * d.Diameter / (16 * d.Focal) }

// RimAngle returns the angle at the focus between axis and rim, rad: tan(ψ/2) = D/(4 f).
func (d *Dish) RimAngle() float64 { return 2 * math.Atan(d.Diameter/(4*d.Focal)) }

// Aperture returns the area of a dish without pieces missing, square to the axis, m².
func (d *Dish) Aperture() float64 {
	return math.Pi / 4 * (d.Diameter*d.Diameter - d.Hole*d.Hole)
}

// Surface returns the area of a paraboloid's surface out to a diameter, m²: (8 π f²/3) [(1 + (D/4f)²)^1.5 - 1].
// Source: J. A. Duffie, W. A. Beckman, Solar Engineering of Thermal Processes, chapter 7.
func Surface(focal, diameter float64) float64 {
	q := diameter / (4 * focal)
	return 8 * math.Pi * focal * focal / 3 * (math.Pow(1+q*q, 1.5) - 1)
}

// Limit is the largest concentration of light from a disc of half-angle theta (rad) that no mirrors can pass: 1/sin²θ.
// Source: A. Rabl, Active Solar Collectors and Their Applications, Oxford University Press (1985).
func Limit(theta float64) float64 { return 1 / (math.Sin(theta) * math.Sin(theta)) }

// Petals returns n equal sectors from an inner to an outer radius (m) that fill the circle, the first from angle 0, each
// otherwise like the one given.
func Petals(n int, inner, outer float64, like Piece) []Piece {
	out := make([]Piece, n)
	for i := range out {
		out[i] = like
		out[i].Name = fmt.Sprint(i + 1)
		out[i].Outline = Sector(2*math.Pi*float64(i)/float64(n), 2*math.Pi*float64(i+1)/float64(n), inner, outer)
	}
	return out
}

// Check says what must be mended before rays can be cast.
func (d *Dish) Check() error {
	w := &d.Window
	switch {
	case !(d.Focal > 0) || !(d.Diameter > 0) || math.IsInf(d.Focal+d.Diameter, 0):
		return fmt.Errorf("a dish needs a focal length and a diameter above 0, not %g m and %g m", d.Focal, d.Diameter)
	case !(d.Hole >= 0 && d.Hole < d.Diameter):
		return fmt.Errorf("the hole of %g m is not smaller than the dish of %g m", d.Hole, d.Diameter)
	case !(w.Width > 0 && w.Height > 0):
		return fmt.Errorf("the window needs a width and a height above 0, not %g m and %g m", w.Width, w.Height)
	case !(w.Distance > 0):
		return fmt.Errorf("the window lies %g m before the vertex: it must lie before the dish", w.Distance)
	}
	if !(d.Tracking >= 0 && d.Tracking <= mostError) || !(math.Hypot(d.Off[0], d.Off[1]) <= mostError) {
		return fmt.Errorf("the axis points 0 to %g rad beside the sun, not %g by chance and %g lastingly", mostError, d.Tracking, d.Off)
	}
	if err := d.Sun.check(); err != nil {
		return err
	}
	any := false
	for i := range d.Pieces {
		p := &d.Pieces[i]
		if err := p.check(); err != nil {
			return fmt.Errorf("piece %s: %w", p.Name, err)
		}
		if reach := p.Outline.Reach(); reach > d.Diameter/2*(1+1e-9) {
			return fmt.Errorf("piece %s reaches %g m from the axis: beyond the dish's rim at %g m", p.Name, reach, d.Diameter/2)
		} else if z := reach * reach / (4 * d.Focal); p.Present && w.Distance <= z {
			return fmt.Errorf("the window's plane, %g m before the vertex, lies behind the dish: piece %s reaches %g m forward", w.Distance, p.Name, z)
		}
		if near := p.Outline.Nearest(); near < d.Hole/2-touch {
			return fmt.Errorf("piece %s comes to %g m from the axis: into the hole, whose edge lies at %g m", p.Name, near, d.Hole/2)
		}
		any = any || p.Present && p.Reflectance > 0
	}
	if !any {
		return fmt.Errorf("no piece of the dish is there to reflect light")
	}
	if i, k := d.Overlap(); i >= 0 {
		return fmt.Errorf("pieces %s and %s overlap", d.Pieces[i].Name, d.Pieces[k].Name)
	}
	return nil
}

func (p *Piece) check() error {
	within := func(x, lo, hi float64) bool { return x >= lo && x <= hi }
	switch {
	case !within(p.Reflectance, 0, 1):
		return fmt.Errorf("a reflectance is 0 to 1, not %g", p.Reflectance)
	case !within(p.Slope, 0, mostError) || !within(p.Specular, 0, mostError):
		return fmt.Errorf("slope and specularity errors are 0 to %g rad, not %g and %g", mostError, p.Slope, p.Specular)
	case !within(math.Hypot(p.Pointing[0], p.Pointing[1]), 0, mostError):
		return fmt.Errorf("a piece is turned by 0 to %g rad, not %g", mostError, p.Pointing)
	}
	return p.Outline.check()
}

// mostError bounds errors of direction, rad: small angles are added as vectors, which holds to their square.
const mostError = 0.1

// Overlap returns the first two pieces whose outlines overlap, -1 where none do. Absent pieces count: they have a place.
func (d *Dish) Overlap() (i, k int) {
	for i := range d.Pieces {
		for k := range i {
			if d.Pieces[k].Outline.overlaps(&d.Pieces[i].Outline) {
				return k, i
			}
		}
	}
	return -1, -1
}
