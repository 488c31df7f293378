package kernel

func flow(s *Sweep, from, to int) {
	nx, plane := s.Row, s.Plane
	p, n := plane+from, to-from
	out := s.Y[from:to]
	w := s.W[from:to][:len(out)]
	tc := s.T[p : p+n][:len(out)]
	txm, txp := s.T[p-1 : p-1+n][:len(out)], s.T[p+1 : p+1+n][:len(out)]
	tym, typ := s.T[p-nx : p-nx+n][:len(out)], s.T[p+nx : p+nx+n][:len(out)]
	tzm, tzp := s.T[p-plane : p-plane+n][:len(out)], s.T[p+plane : p+plane+n][:len(out)]
	gxm, gxp := s.Gx[p-1 : p-1+n][:len(out)], s.Gx[p : p+n][:len(out)]
	gym, gyp := s.Gy[p-nx : p-nx+n][:len(out)], s.Gy[p : p+n][:len(out)]
	gzm, gzp := s.Gz[p-plane : p-plane+n][:len(out)], s.Gz[p : p+n][:len(out)]
	for i := range out {
		x := tc[i]
		out[i] = float64(w[i]) * (float64(gxm[i])*(txm[i]-x) + float64(gxp[i])*(txp[i]-x) +
			float64(gym[i])*(tym[i]-x) + float64(gyp[i])*(typ[i]-x) +
			float64(gzm[i])*(tzm[i]-x) + float64(gzp[i])*(tzp[i]-x))
	}
}

func stage(s *Sweep, from, to int) {
	nx, plane := s.Row, s.Plane
	p, n := plane+from, to-from
	out := s.Y[from:to]
	ya, f0 := s.Ya[from:to][:len(out)], s.F0[from:to][:len(out)]
	w := s.W[from:to][:len(out)]
	tc := s.T[p : p+n][:len(out)]
	txm, txp := s.T[p-1 : p-1+n][:len(out)], s.T[p+1 : p+1+n][:len(out)]
	tym, typ := s.T[p-nx : p-nx+n][:len(out)], s.T[p+nx : p+nx+n][:len(out)]
	tzm, tzp := s.T[p-plane : p-plane+n][:len(out)], s.T[p+plane : p+plane+n][:len(out)]
	gxm, gxp := s.Gx[p-1 : p-1+n][:len(out)], s.Gx[p : p+n][:len(out)]
	gym, gyp := s.Gy[p-nx : p-nx+n][:len(out)], s.Gy[p : p+n][:len(out)]
	gzm, gzp := s.Gz[p-plane : p-plane+n][:len(out)], s.Gz[p : p+n][:len(out)]
	mu, nu, mt, gt := s.Mu, s.Nu, s.Mt, s.Gt
	for i := range out {
		x := tc[i]
		q := float64(gxm[i])*(txm[i]-x) + float64(gxp[i])*(txp[i]-x) +
			float64(gym[i])*(tym[i]-x) + float64(gyp[i])*(typ[i]-x) +
			float64(gzm[i])*(tzm[i]-x) + float64(gzp[i])*(tzp[i]-x)
		out[i] = mu*ya[i] + nu*out[i] + mt*(float64(w[i])*q) + gt*f0[i]
	}
}

// read rounds its products before it goes on: the conversions forbid to fuse them, on the platforms where Go would.
func read(out, a, b []float64, curve *Curve) int {
	_ = curve.Nodes[0]
	if curve.Straight {
		return readLines(out, a, b, curve)
	}
	out, b = out[:len(a)], b[:len(a)]
	var from, to, inv float64 // of the arc in hand: none
	var nodes []Node
	for c := range a {
		h := a[c] + b[c]
		if !(h >= from && h < to) {
			if !(h >= curve.From[0] && h < curve.From[MostArcs]) {
				return c
			}
			i := 0
			for i+1 < MostArcs && h >= curve.From[i+1] {
				i++
			}
			from, to, inv = curve.From[i], curve.From[i+1], curve.Inv[i]
			first := int(curve.First[i])
			nodes = curve.Nodes[first : first+int(curve.Last[i])+1]
		}
		x := float64((h - from) * inv)
		i := uint(int(x))
		if i >= uint(len(nodes)) { // rounding at the arc's end
			i = uint(len(nodes) - 1)
		}
		n := &nodes[i]
		out[c] = n.T + float64((x-float64(int(i)))*n.DT)
	}
	return len(a)
}

// readLines is read along straight arcs.
func readLines(out, a, b []float64, curve *Curve) int {
	out, b = out[:len(a)], b[:len(a)]
	for c := range a {
		h := a[c] + b[c]
		if !(h >= curve.From[0] && h < curve.From[MostArcs]) {
			return c
		}
		i := 0
		for i+1 < MostArcs && h >= curve.From[i+1] {
			i++
		}
		out[c] = curve.C[i] + float64(curve.S[i]*h)
	}
	return len(a)
}

func triad(a, b, c []float64, s float64) {
	b, c = b[:len(a)], c[:len(a)]
	for i := range a {
		a[i] = b[i] + float64(s*c[i])
	}
}

func rise(out, base, d []float64, slope []float32) {
	n := len(out)
	base, d, slope = base[:n], d[:n], slope[:n]
	for i := range out {
		out[i] = base[i] + float64(float64(slope[i])*d[i])
	}
}
