// Package seek looks for the best variant, or for the front between two aims, under constraints. It runs nothing: Ask
// names the points at which it wants values, Tell hands them over, in any order and from any machine.
//
//	s, err := seek.NewSurrogate(problem)
//	for range 20 {
//		asked, err := s.Ask(4)
//		... run asked.Points ...
//		err = s.Tell(point, values)
//	}
//	best := s.Best()
//
// A Surrogate is for runs that are dear, some ten to three hundred of them: it lays a Gaussian process through what it was
// told and asks where an improvement is to be expected. A Direct search is for runs that cost next to nothing, thousands
// of them. Both handle real, whole and listed variables and variants that fail.
//
// What either asks is a function of the problem, its seed, the set of what was told and of what is still out: the order of
// telling does not matter, and a search that was stopped goes on when it is told its history again.
//
// Left out: more than two aims, and noise that differs from variant to variant.
package seek
