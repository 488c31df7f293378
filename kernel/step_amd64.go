package kernel

// The twins take whole fours; the plain loops do what is left, with the same bits.

func withinTwin(y, a, b, f, g []float64, at Course) {
	a, b, f, g = a[:len(y)], b[:len(y)], f[:len(y)], g[:len(y)]
	n := len(y) &^ 3
	if n > 0 {
		withinAVX2(&y[0], &a[0], &b[0], &f[0], &g[0], n, at.On, at.Bow, at.Inv)
	}
	within(y[n:], a[n:], b[n:], f[n:], g[n:], at)
}

func missesTwin(v, d, f0, f1, weight []float64, share, part float64) {
	d, f0, f1, weight = d[:len(v)], f0[:len(v)], f1[:len(v)], weight[:len(v)]
	n := len(v) &^ 3
	if n > 0 {
		missesAVX2(&v[0], &d[0], &f0[0], &f1[0], &weight[0], n, share, part)
	}
	misses(v[n:], d[n:], f0[n:], f1[n:], weight[n:], share, part)
}

func weighTwin(a, b []float64) float64 {
	b = b[:len(a)]
	var s [4]float64
	n := len(a) &^ 7
	if n > 0 {
		weighAVX2(&a[0], &b[0], n, &s[0])
	}
	return weighed(&s, a[n:], b[n:])
}

func extremesTwin(v []float64, high, low float64) (highest, lowest float64) {
	n := len(v) &^ 3
	if n > 0 {
		ends := [8]float64{high, high, high, high, low, low, low, low}
		extremesAVX2(&v[0], n, &ends[0])
		high, _ = extremes(ends[:4], high, low)
		_, low = extremes(ends[4:], high, low)
	}
	return extremes(v[n:], high, low)
}

func astrideTwin(marks []uint64, a, b []float64, lo, hi float64) {
	b = b[:len(a)]
	marks = marks[:(len(a)+63)/64]
	n := len(a) &^ 7
	if last := n / 64; last < len(marks) { // what the vector loop leaves or fills in part
		marks[last] = 0
	}
	if n > 0 {
		astrideAVX2(&marks[0], &a[0], &b[0], n, lo, hi)
	}
	if rest := len(a) - n; rest > 0 {
		var word [1]uint64
		astride(word[:], a[n:], b[n:], lo, hi)
		marks[n/64] |= word[0] << (n % 64)
	}
}

func apartTwin(a, b []float64) float64 {
	b = b[:len(a)]
	n := len(a) &^ 3
	var most [4]float64
	if n > 0 {
		apartAVX2(&a[0], &b[0], n, &most[0])
	}
	return max(most[0], most[1], most[2], most[3], apart(a[n:], b[n:]))
}

func glowTwin(x, lost, s, g, area []float64, to Glow) {
	lost, s, g, area = lost[:len(x)], s[:len(x)], g[:len(x)], area[:len(x)]
	n := len(x) &^ 3
	if n > 0 {
		glowAVX2(&x[0], &lost[0], &s[0], &g[0], &area[0], n, &to)
	}
	glow(x[n:], lost[n:], s[n:], g[n:], area[n:], to)
}

func pullTwin(y, t []float64, w []float32, p0, p1, p2 []float64, weight float64) float64 {
	t, w, p0, p1, p2 = t[:len(y)], w[:len(y)], p0[:len(y)], p1[:len(y)], p2[:len(y)]
	var s [4]float64
	n := len(y) &^ 3
	if n > 0 {
		pullAVX2(&y[0], &t[0], &w[0], &p0[0], &p1[0], &p2[0], n, weight, &s[0])
	}
	return pulledLast(&s, y[n:], t[n:], w[n:], p0[n:], p1[n:], p2[n:], weight)
}

func linkTwin(g []float32, t0, t1, up0, up1, shape []float64, factor, least float64) int {
	t0, t1, up0, up1, shape = t0[:len(g)], t1[:len(g)], up0[:len(g)], up1[:len(g)], shape[:len(g)]
	n, done := len(g)&^3, 0
	if n > 0 {
		if done = linkAVX2(&g[0], &t0[0], &t1[0], &up0[0], &up1[0], &shape[0], n, factor, least); done < n {
			n = min(done+4, len(g)) // one of four is not for it: the plain loop finds which
		} else {
			n = len(g)
		}
		return done + link(g[done:n], t0[done:n], t1[done:n], up0[done:n], up1[done:n], shape[done:n], factor, least)
	}
	return link(g, t0, t1, up0, up1, shape, factor, least)
}
