// Package uncertainty says how well a number is known. A quantity has a value and named components, each with its
// standard uncertainty; a model is a function of quantities. The uncertainty of the model's value follows twice: to
// first order (JCGM 100:2008, the "GUM", eq. 13) with a budget that shows where it comes from, and by drawing from
// the distributions (JCGM 101:2008). Where the two differ, the comparison says so.
//
// Components that come from one source (one logger, one calibration, one pair) carry the same Group and move
// together. Correlations that are known as numbers, such as those of readings taken at the same moment, are given as
// a matrix between the quantities.
//
// The package knows numbers and names only: units are words that it repeats. Left out: models given implicitly, and
// non-normal components with a correlation matrix.
package uncertainty
