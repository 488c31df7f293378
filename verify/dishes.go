package verify

import (
	"context"
	"math"
	"sync"

	"emberbank/dish"
)

const dishTopic = "dish"

// perfectDish has no errors and no gaps, and a round window in its focal plane.
func perfectDish(focal, diameter, window float64) dish.Dish {
	return dish.Dish{
		Focal: focal, Diameter: diameter, Pieces: dish.Petals(4, 0, diameter/2, dish.Piece{Present: true, Reflectance: 1}),
		Window: dish.Window{Distance: focal, Round: true, Width: window, Height: window},
	}
}

// castDish casts a dish once, when a row first asks; nil where it cannot be cast.
func castDish(d dish.Dish, rays int64) func() *dish.Result {
	return sync.OnceValue(func() *dish.Result {
		r, err := dish.Cast(context.Background(), &d, dish.Options{Rays: rays, Threads: 1})
		if err != nil {
			return nil
		}
		return r
	})
}

// ofCast asks a number of a cast.
func ofCast(cast func() *dish.Result, of func(r *dish.Result) float64) func(*outcome) float64 {
	return asked(func() float64 {
		if r := cast(); r != nil {
			return of(r)
		}
		return math.NaN()
	})
}

// diameterOf is the diameter of the round window that catches a share.
func diameterOf(r *dish.Result, share float64) float64 {
	c := &r.Round
	for i := 1; i < len(c.Size); i++ {
		if a, b := c.Intercept[i-1].Value, c.Intercept[i].Value; b >= share {
			return c.Size[i-1] + (c.Size[i]-c.Size[i-1])*(share-a)/(b-a)
		}
	}
	return math.NaN()
}

func dishes() []known {
	return []known{
		{topic: dishTopic, title: "geometry of a dish", rows: dishGeometry()},
		{topic: dishTopic, title: "image of the sun", rows: dishImage()},
		{topic: dishTopic, title: "errors of a dish", rows: dishErrors()},
		{topic: dishTopic, title: "limits of a dish", rows: dishLimits()},
	}
}

func dishGeometry() []wanted {
	d := perfectDish(5, 10, 0.1)
	return from("Duffie & Beckman, Solar Engineering of Thermal Processes, chapter 7: tan(ψ/2) = D/(4f), (8πf²/3)[(1 + (D/4f)²)^1.5 − 1]", "a dish of 10 m with a focal length of 5 m, to the digits given",
		near("dish of 10 m, f = 5 m: rim angle", "deg", 53.13010235, 1e-9, asked(func() float64 { return d.RimAngle() * 180 / math.Pi })),
		near("dish of 10 m, f = 5 m: reflecting surface", "m2", 83.26110355, 1e-9, asked(func() float64 { return dish.Surface(5, 10) })))
}

func dishImage() []wanted {
	small := castDish(perfectDish(5, 0.02, 0.05), 200_000)
	whole := castDish(perfectDish(1, 1.2, 0.013), 600_000)
	rows := from("Duffie & Beckman, chapter 7: the sun's disc of half-angle θ has an image of 2 f tan θ", "a mirror of 20 mm at the vertex, f = 5 m, θ = 4.65 mrad: twice the window that catches a quarter; 0.3 % for rays and bins",
		near("image of the sun, f = 5 m: diameter", "m", 0.04650033515, 0.003, ofCast(small, func(r *dish.Result) float64 { return 2 * diameterOf(r, 0.25) })))
	rows = append(rows, from("sin²ψ/sin²θ, the exact flux in the middle of a perfect dish's focal plane under an even sun (Rabl 1985)", "f = 1 m, D = 1.2 m, θ = 4.65 mrad, even out to f tan θ = 4.65 mm; 0.2 % for rays and bins",
		near("perfect dish of rim angle 33.4 deg: concentration within 4.5 mm", "1", 14013.5036, 0.002, ofCast(whole, func(r *dish.Result) float64 {
			return r.Round.At(0.009) * r.Reflected.Value / (math.Pi * 0.0045 * 0.0045)
		})))...)
	// All rays meet the round window that is just large enough for the image of the rim.
	psi, theta := math.Pi/4, dish.SunHalfAngle
	f := 1.0
	rim := 2 * f / (1 + math.Cos(psi)) * math.Sin(theta) / math.Cos(psi+theta)
	all := castDish(perfectDish(f, 4*f*math.Tan(psi/2), 2*rim), 200_000)
	aperture := math.Pi * 4 * f * f * math.Tan(psi/2) * math.Tan(psi/2)
	return append(rows, from("Rabl, Active Solar Collectors and Their Applications (1985): sin²ψ cos²(ψ+θ)/sin²θ − 1 for a flat round receiver that is just large enough for all rays, its own shadow left out", "rim angle 45 deg, θ = 4.65 mrad; to the digits given, and every ray counts",
		near("receiver for all rays, rim angle 45 deg: concentration", "1", 11453.588, 1e-6, asked(func() float64 { return aperture/(math.Pi*rim*rim) - 1 })),
		within("receiver for all rays, rim angle 45 deg: share caught", "1", 1, 1e-12, ofCast(all, func(r *dish.Result) float64 { return r.Intercept.Value })))...)
}

func dishErrors() []wanted {
	// Of a long, narrow dish angles are small, and its spot is a Gaussian of σ f.
	long := func(sun, slope, specular, tracking, window float64) func() *dish.Result {
		d := perfectDish(10, 0.6, window)
		d.Sun, d.Tracking = dish.Sun{Shape: dish.GaussianSun, Sigma: sun}, tracking
		for i := range d.Pieces {
			d.Pieces[i].Slope, d.Pieces[i].Specular = slope, specular
		}
		return castDish(d, 200_000)
	}
	caught := func(r *dish.Result) float64 { return r.Intercept.Value }
	sum := long(2.73e-3, 2e-3, 0.5e-3, 1e-3, 0.2)
	return from("γ = 1 − exp(−r²/(2σ²)), σ² = sun² + (2 slope)² + specularity² + tracking² (Duffie & Beckman, chapter 7; Rabl 1985)", "f = 10 m, D = 0.6 m; 0.1 % for rays and for angles that are not small",
		near("Gaussian spot of 20 mm: intercept of a window of 50 mm radius", "1", 0.9560630664, 0.001, ofCast(long(2e-3, 0, 0, 0, 0.1), caught)),
		near("Gaussian spot of 30 mm: intercept of a window of 50 mm radius", "1", 0.7506477912, 0.001, ofCast(long(1e-9, 1.5e-3, 0, 0, 0.1), caught)),
		near("sun 2.73, slope 2, specularity 0.5, tracking 1 mrad: together", "mrad", 4.970201203, 0.002, ofCast(sum, func(r *dish.Result) float64 {
			return 1000 * diameterOf(r, 0.5) / 2 / math.Sqrt(2*math.Ln2) / 10
		})))
}

func dishLimits() []wanted {
	deep := castDish(perfectDish(1, 3.5, 0.02), 200_000)
	built := perfectDish(1, 1.2, 0.015)
	built.Pieces = dish.Petals(12, 0, 0.6, dish.Piece{Present: true, Reflectance: 0.9, Slope: 3e-3})
	built.Pieces[3].Present = false
	built.Body = dish.Body{Width: 0.1, Height: 0.1}
	built.Arms = []dish.Arm{{From: [3]float64{0.05, 0, 1}, To: [3]float64{0.4, 0, 0.04}, Width: 0.02}}
	less := castDish(built, 200_000)
	rows := from("Rabl (1985): no mirrors concentrate a disc of half-angle θ beyond 1/sin²θ", "f = 1 m, D = 3.5 m, θ = 4.65 mrad: each bin of the map less four of its standard errors from casting",
		bound("dish of rim angle 82 deg: largest concentration", "1", AtMost, 46248.4545, ofCast(deep, func(r *dish.Result) float64 {
			most := 0.0
			for n, f := range r.Map.Flux {
				most = math.Max(most, f-4*r.Map.Error[n])
			}
			return most
		})))
	return append(rows, from("conservation of energy", "eleven of twelve petals, with a shadow: all ends of the beam together; 5e-5 for rays that meet a slope from aside",
		near("dish with a missing petal: beam on its mirrors over the whole dish", "1", 11.0/12, 5e-5, ofCast(less, func(r *dish.Result) float64 {
			sum := 0.0
			for _, e := range r.Ends {
				sum += e.Power.Value
			}
			return sum / r.Whole
		})),
		within("dish with a missing petal: rays that end nowhere", "1", 0, 0, ofCast(less, func(r *dish.Result) float64 {
			left := r.Rays
			for _, e := range r.Ends {
				left -= e.Rays
			}
			return float64(left)
		})))...)
}
