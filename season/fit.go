package season

import (
	"math"

	"emberbank/heat"
)

// link joins two nodes: g0 + g1 (T̄ − ref) W/K, T̄ the mean of both temperatures.
type link struct {
	a, b   int
	g0, g1 float64
	ref    float64 // K
}

func (k *link) at(Ta, Tb float64) float64 { return k.g0 + k.g1*(0.5*(Ta+Tb)-k.ref) }

// findLinks finds what joins the nodes: the conductance, straight over temperature, by which the heat that the full model's
// solid conducts between them on the days of building is met with the least sum of squares.
func findLinks(days []*observed, nodes int) []link {
	var out []link
	for a := range nodes {
		for b := a + 1; b < nodes; b++ {
			ref, n := 0.0, 0.0
			each(days, func(o *observed, i int) {
				ref += 0.5 * (o.nodes[i][a] + o.nodes[i][b])
				n++
			})
			ref /= n
			var s00, s01, s11, y0, y1 float64
			lo, hi := math.Inf(1), math.Inf(-1)
			each(days, func(o *observed, i int) {
				q := o.rows[i].Between[a][b]
				d := o.nodes[i][a] - o.nodes[i][b]
				m := 0.5*(o.nodes[i][a]+o.nodes[i][b]) - ref
				lo, hi = math.Min(lo, m), math.Max(hi, m)
				x0, x1 := d, d*m
				s00, s01, s11 = s00+x0*x0, s01+x0*x1, s11+x1*x1
				y0, y1 = y0+x0*q, y1+x1*q
			})
			if !(s00 > 0) || y0 == 0 {
				continue
			}
			k := link{a: a, b: b, g0: y0 / s00, ref: ref}
			if det := s00*s11 - s01*s01; det > 1e-6*s00*s11 {
				g0, g1 := (y0*s11-y1*s01)/det, (y1*s00-y0*s01)/det
				if g0+g1*lo > 0 && g0+g1*hi > 0 {
					k.g0, k.g1 = g0, g1
				}
			}
			if k.g0 > 0 {
				out = append(out, k)
			}
		}
	}
	return out
}

// each calls f with every row of the days.
func each(days []*observed, f func(o *observed, row int)) {
	for _, o := range days {
		for i := range o.rows {
			f(o, i)
		}
	}
}

// outlet is the faces of one path that belong to one node: the cells behind them stand air + ratio (T − air).
type outlet struct {
	path, node int
	share      float64 // of the path's area
	ratio      float64
}

// leastShare is the share of a path's area below which a node's part of it is counted to the others.
const leastShare = 0.02

// findOutlets finds through which nodes each path loses heat, the window's left out.
func findOutlets(days []*observed, touching [][]float64, window int) []outlet {
	var out []outlet
	for path, areas := range touching {
		if path == window {
			continue
		}
		whole, counted := 0.0, 0.0
		for _, a := range areas {
			whole += a
		}
		first := len(out)
		for node, a := range areas {
			if a < leastShare*whole {
				continue
			}
			counted += a
			var xx, xy float64
			each(days, func(o *observed, i int) {
				air := heat.WeatherAt(&o.duty, o.result.History.Time[i]).Air
				x, y := o.nodes[i][node]-air, o.rows[i].Faces[path][node]-air
				xx, xy = xx+x*x, xy+x*y
			})
			q := outlet{path: path, node: node, share: a, ratio: 1}
			if xx > 0 {
				q.ratio = xy / xx
			}
			out = append(out, q)
		}
		for i := first; i < len(out); i++ {
			out[i].share /= counted
		}
	}
	return out
}

// findFace finds by how much hotter than the first layer the cells behind the window are for each watt that enters the
// block through it, in K/W.
func findFace(days []*observed, window int) float64 {
	var xx, xy float64
	each(days, func(o *observed, i int) {
		enters := o.column("absorbed")[i] - o.rows[i].Across
		d := o.rows[i].Faces[window][0] - o.nodes[i][0]
		xx, xy = xx+enters*enters, xy+enters*d
	})
	if xx == 0 {
		return 0
	}
	return math.Max(0, xy/xx)
}

// settles is how long, in s, a circuit flows before its rows tell of steady water.
const settles = 1200

// findDraw finds of one circuit which share of its heat each node gives, by how much colder the cells around its passes are
// than their nodes for each watt that it takes, in K/W, and tells whether it ever flowed.
func findDraw(days []*observed, l *laid, circuit int) (shares []float64, ease float64, known, boils bool) {
	shares = make([]float64, l.nodes)
	each(days, func(o *observed, i int) {
		r := &o.rows[i]
		if !r.Flowing[circuit] {
			return
		}
		known, boils = true, boils || r.Boils[circuit]
		for n, q := range r.Taken[circuit] {
			shares[n] += q
		}
	})
	all := 0.0
	for n := range shares {
		shares[n] = math.Max(0, shares[n])
		all += shares[n]
	}
	if !known || !(all > 0) {
		return shares, 0, false, boils
	}
	for n := range shares {
		shares[n] /= all
	}
	var xx, xy float64
	steady(days, circuit, func(o *observed, i int) {
		q := 0.0
		for _, x := range o.rows[i].Taken[circuit] {
			q += x
		}
		d := behind(shares, l.layers, o.nodes[i]) - o.rows[i].Tubes[circuit]
		xx, xy = xx+q*q, xy+q*d
	})
	if xx > 0 {
		ease = math.Max(0, xy/xx)
	}
	return shares, ease, true, boils
}

// steady calls f with every row at which a circuit has been flowing for a while.
func steady(days []*observed, circuit int, f func(o *observed, row int)) {
	for _, o := range days {
		since := math.Inf(-1)
		flowing := true // at the start it has been flowing for long
		for i := range o.rows {
			t := o.result.History.Time[i]
			if now := o.rows[i].Flowing[circuit]; now != flowing {
				if flowing = now; now {
					since = t
				}
			}
			if flowing && t-since >= settles {
				f(o, i)
			}
		}
	}
}

// behind returns the mean temperature in K of the block's layers behind a circuit, by what each gives.
func behind(shares []float64, layers int, T []float64) float64 {
	sum, all := 0.0, 0.0
	for n := range layers {
		sum, all = sum+shares[n]*T[n], all+shares[n]
	}
	if all == 0 {
		return T[0]
	}
	return sum / all
}
