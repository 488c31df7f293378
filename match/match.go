// Package match estimates parameters of a receiver or duty from trials, with their uncertainty, and says how far
// the matched model may be trusted.
//
// A match makes the sum of squares of weighted differences between what was measured and what heat.Run computes as
// small as it gets (Fit). Measured residuals are not independent: sensors share offsets, noise lasts from row to row
// and the model is wrong by amounts that drift. So the differences are weighed by a covariance that holds white
// noise, a slowly changing departure of each column and one that the columns of a trial share (Noise), whose sizes
// are found from the residuals by restricted likelihood; the intervals of the parameters rest on that covariance
// (Estimate), and a profile of the likelihood shows where a straight-line picture of a parameter does not hold
// (Profile). Trials set aside are predicted, never fitted, and compared with their measurement after ASME V&V 20
// (Trust); the range of conditions in which that was shown is the Envelope.
//
// Left out: sampling of the posterior, and discrepancy that depends on the state instead of on time. The package
// opens nothing and computes no heat itself: every number comes from a Runner that it is given. The answers are the
// same for any number of workers.
package match
