// Package sample lays the points at which many variants are run: every combination of some axes, or points
// spread evenly over distributions, by Sobol's sequence or by a Latin hypercube.
//
// A design answers with its count and with any of its points, and lays out none: a grid of a billion variants costs
// nothing to count, and a study keeps no list of its points. Every point is a function of the design and its seed
// alone, so that a study that was stopped goes on with the same points, on any number of machines.
//
//	thickness := sample.Range{From: 0.02, To: 0.2, Count: 10}
//	grid, err := sample.NewGrid(thickness, sample.List{300, 400})
//
// Left out: inputs that hang together (a correlation between distributions), and designs that avoid combinations.
// Points of a quasi-random design are not independent of one another; intervals that suppose independence are, for
// smooth responses, wider than need be.
package sample
