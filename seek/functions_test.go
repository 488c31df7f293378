package seek

import "math"

// published is a test function with a known optimum.
type published struct {
	name    string
	source  string
	problem Problem
	of      func(x []float64) Values
	best    float64
}

func real(n int, low, high float64) []Axis {
	out := make([]Axis, n)
	for i := range out {
		out[i] = Axis{Low: low, High: high}
	}
	return out
}

func aim(f float64, g ...float64) Values { return Values{Aims: []float64{f}, Constraints: g} }

var branin = published{
	name:    "Branin",
	source:  "L. C. W. Dixon, G. P. Szegö, Towards Global Optimisation 2, North-Holland (1978); minimum 5/(4π) = 0.397887 at three places (exact)",
	problem: Problem{Axes: []Axis{{Low: -5, High: 10}, {Low: 0, High: 15}}, Aims: 1},
	of: func(x []float64) Values {
		a := x[1] - 5.1/(4*math.Pi*math.Pi)*x[0]*x[0] + 5/math.Pi*x[0] - 6
		return aim(a*a + 10*(1-1/(8*math.Pi))*math.Cos(x[0]) + 10)
	},
	best: 5 / (4 * math.Pi),
}

func hartmann(x []float64, a, p [4][]float64) Values {
	sum := 0.0
	for i, c := range []float64{1, 1.2, 3, 3.2} {
		e := 0.0
		for j, v := range x {
			e += a[i][j] * (v - p[i][j]) * (v - p[i][j])
		}
		sum -= c * math.Exp(-e)
	}
	return aim(sum)
}

var hartmann3 = published{
	name:    "Hartmann 3",
	source:  "Dixon & Szegö 1978; coefficients and minimum −3.86278: S. Surjanovic, D. Bingham, Virtual Library of Simulation Experiments, page hart3",
	problem: Problem{Axes: real(3, 0, 1), Aims: 1},
	of: func(x []float64) Values {
		return hartmann(x, [4][]float64{{3, 10, 30}, {0.1, 10, 35}, {3, 10, 30}, {0.1, 10, 35}},
			[4][]float64{{0.3689, 0.1170, 0.2673}, {0.4699, 0.4387, 0.7470}, {0.1091, 0.8732, 0.5547}, {0.0381, 0.5743, 0.8828}})
	},
	best: -3.86278,
}

var hartmann6 = published{
	name:    "Hartmann 6",
	source:  "Dixon & Szegö 1978; minimum −3.322368011 at (0.20169, 0.150011, 0.476874, 0.275332, 0.311652, 0.6573): Surjanovic & Bingham, page hart6",
	problem: Problem{Axes: real(6, 0, 1), Aims: 1},
	of: func(x []float64) Values {
		return hartmann(x, [4][]float64{{10, 3, 17, 3.5, 1.7, 8}, {0.05, 10, 17, 0.1, 8, 14}, {3, 3.5, 1.7, 10, 17, 8}, {17, 8, 0.05, 10, 0.1, 14}},
			[4][]float64{
				{0.1312, 0.1696, 0.5569, 0.0124, 0.8283, 0.5886},
				{0.2329, 0.4135, 0.8307, 0.3736, 0.1004, 0.9991},
				{0.2348, 0.1451, 0.3522, 0.2883, 0.3047, 0.6650},
				{0.4047, 0.8828, 0.8732, 0.5743, 0.1091, 0.0381},
			})
	},
	best: -3.32237,
}

// The optimum is exact: cos 2x cos y and sin x are both at their least, −1, at x = 3π/2, y = 0, where the constraint is 0 ≤ 0.5.
var gardner = published{
	name:    "simulation 1 of Gardner",
	source:  "J. R. Gardner et al., ICML, PMLR 32 (2014) 937-945, section 4.1: cos 2x cos y + sin x, cos(x + y) ≤ 0.5, 0 to 6",
	problem: Problem{Axes: real(2, 0, 6), Aims: 1, Constraints: 1},
	of: func(x []float64) Values {
		return aim(math.Cos(2*x[0])*math.Cos(x[1])+math.Sin(x[0]), math.Cos(x[0]+x[1])-0.5)
	},
	best: -2,
}

var g06 = published{
	name:    "G06",
	source:  "C. A. Floudas, P. M. Pardalos, A Collection of Test Problems, LNCS 455, Springer (1990); minimum −6961.81388 at (14.095, 0.84296) (from memory; both constraints are active there, so that the point proves itself)",
	problem: Problem{Axes: []Axis{{Low: 13, High: 100}, {Low: 0, High: 100}}, Aims: 1, Constraints: 2},
	of: func(x []float64) Values {
		return aim(math.Pow(x[0]-10, 3)+math.Pow(x[1]-20, 3),
			100-math.Pow(x[0]-5, 2)-math.Pow(x[1]-5, 2), math.Pow(x[0]-6, 2)+math.Pow(x[1]-5, 2)-82.81)
	},
	best: -6961.81388,
}

// zdt returns ZDT1 (convex front f₂ = 1 − √f₁) or ZDT2 (f₂ = 1 − f₁²) in n variables; both fronts are at x₂ = ... = 0.
func zdt(kind, n int) published {
	p := published{
		name:    map[int]string{1: "ZDT1", 2: "ZDT2"}[kind],
		source:  "E. Zitzler, K. Deb, L. Thiele, Evol. Comput. 8 (2000) 173-195, eqs. 7 and 8",
		problem: Problem{Axes: real(n, 0, 1), Aims: 2},
	}
	p.of = func(x []float64) Values {
		g := 1.0
		for _, v := range x[1:] {
			g += 9 * v / float64(n-1)
		}
		h := 1 - math.Sqrt(x[0]/g)
		if kind == 2 {
			h = 1 - (x[0]/g)*(x[0]/g)
		}
		return Values{Aims: []float64{x[0], g * h}}
	}
	return p
}

// zdtArea is the area that the whole front dominates up to (1.1, 1.1): 1.21 less what lies below the front.
func zdtArea(kind int) float64 {
	if kind == 1 {
		return 1.21 - (1 - 2.0/3) // ∫ 1 − √x = 1/3
	}
	return 1.21 - 2.0/3 // ∫ 1 − x² = 2/3
}
