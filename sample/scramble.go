package sample

// scramble permutes the binary digits of x at random: whether a digit is turned over depends on the seed, the column
// and all the digits before it. Behind the last digit comes one more random number, so that the result is spread
// evenly within its smallest cell and is never 0 or 1.
//
// Source: A. B. Owen, "Randomly permuted (t,m,s)-nets and (t,s)-sequences", in Monte Carlo and Quasi-Monte Carlo Methods
// in Scientific Computing, Springer (1995) 299-317.
func scramble(x uint32, seed uint64, column int) float64 {
	key := mix(seed ^ mix(uint64(column)+1))
	var out uint32
	for k := range digits {
		before := uint64(0)
		if k > 0 {
			before = uint64(x >> (digits - k))
		}
		// The leading one tells prefixes of different lengths apart.
		flip := uint32(mix(key^(1<<k|before)) >> 63)
		out = out<<1 | (x>>(digits-1-k)&1 ^ flip)
	}
	rest := mix(key^(1<<digits|uint64(x))) >> (64 - 20)
	return (float64(out) + (float64(rest)+0.5)/(1<<20)) / (1 << digits)
}

// mix turns a number into one that looks drawn: each bit of the input turns half of the output's.
// Source: the finaliser of SplitMix64, G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number
// generators", OOPSLA 2014, 453-472 (constants from memory; any good mixing serves here).
func mix(z uint64) uint64 {
	z += 0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}
