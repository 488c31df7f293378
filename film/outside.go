package film

import "math"

// Names of what governs an outer face.
const (
	lawUpright = "still air, upright or sloping: Churchill & Chu 1975"
	lawUp      = "still air, hot side up: McAdams 1954"
	lawDown    = "still air, hot side down: McAdams 1954"
	lawWind    = "wind along a flat plate, with still air added in cubes: Incropera Eqs. 7.30, 7.38, 9.64"
)

// Outside returns the film coefficient between one flat outer face and the
// air at 1 atm.
//
// elevation is the angle of the face's outward normal above the horizontal in
// rad: +π/2 looks up, 0 sideways, −π/2 down. height is the length of the face
// along its slope in m, areaOverPerimeter its area over its perimeter in m;
// Ts and Ta are face and air in K; wind is the air's speed along the face in
// m/s, 0 for still air. A face colder than the air acts as a hot one turned
// over.
//
// Still air is the largest of three, each with its own part of gravity:
//
//	ChurchillChuPlate on height with g cos(elevation)
//	HotFaceUp on area/perimeter with g sin(elevation), where the hot side looks up
//	HotFaceDown on area/perimeter with g sin(−elevation), where it looks down
//
// Taking the largest of these is the advice of Raithby & Hollands for sloping
// plates (Handbook of Heat Transfer, 3rd ed., chapter 4; from memory). It is
// exact at the three attitudes for which the forms were published, has no
// jump, and never falls under the resting limit 0.68 k/height of Churchill &
// Chu. Wind is PlateInWind over height, and
//
//	h³ = h³(still air) + h³(wind)
//
// (Incropera Eq. 9.64, exponent 3). Properties at the mean of Ts and Ta. The
// wind's direction and the body's edges are not known here, so that the spread
// with wind is wide.
func Outside(elevation, height, areaOverPerimeter, Ts, Ta, wind float64) Coefficient {
	height = reach(height, 1e-6, 1e6)
	side := reach(areaOverPerimeter, 1e-6, 1e6)
	mean := (Ts + Ta) / 2
	air := AirAt(mean)
	dT := math.Abs(Ts - Ta)
	up := math.Sin(elevation) // > 0: the hot side looks up
	if Ts < Ta {
		up = -up
	}

	raHeight := grashof(air, dT, height) * air.Prandtl
	raSlope := raHeight * math.Abs(math.Cos(elevation))
	raSide := grashof(air, dT, side) * air.Prandtl * math.Abs(up)

	c := Coefficient{
		H:      ChurchillChuPlate(raSlope, air.Prandtl) * air.Conductivity / height,
		Law:    lawUpright,
		Spread: 0.20,
		// Slopes beyond 60° from upright were not covered by the plate's law.
		Outside: raHeight > 1e12 || math.Abs(up) > math.Sin(math.Pi/3)+1e-9,
	}
	if up > 0 {
		if h := HotFaceUp(raSide) * air.Conductivity / side; h > c.H {
			c = Coefficient{H: h, Law: lawUp, Spread: 0.25, Outside: raSide < 1e4 || raSide > 1e11}
		}
	} else if up < 0 {
		if h := HotFaceDown(raSide) * air.Conductivity / side; h > c.H {
			c = Coefficient{H: h, Law: lawDown, Spread: 0.35, Outside: raSide < 1e5 || raSide > 1e10}
		}
	}

	if wind > 0 {
		re := reach(wind*height*air.Density/air.Viscosity, 0, 1e12)
		blown := PlateInWind(re, air.Prandtl) * air.Conductivity / height
		still := c.H
		c.H = math.Cbrt(cube(still) + cube(blown))
		if blown > still {
			c.Law, c.Spread, c.Outside = lawWind, 0.50, re > 1e8
		}
	}
	if mean < airFrom || mean > airTo {
		c.Outside = true
	}
	if c.Outside {
		c.Spread = math.Max(c.Spread, factorOfTwo)
	}
	return c
}
