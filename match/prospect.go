package match

// What a plan needs of a match before anything is measured: the same noise, the same weighing, the same inputs.

// Allowance is the factor by which a match widens every standard deviation (see intervals).
const Allowance = allowance

// Row is the readings of one quantity at one time: which column, and where in the vector it stands.
type Row struct {
	Time     float64 // s
	Readings []Reading
	White    []float64 // SI, by column, in place of that of the Noise; nil: that
}

// Reading is one entry of a Row. Column counts within the Noise.
type Reading struct{ Column, At int }

// Weigh turns vectors over rows, which rise in time, into such whose entries are independent and of unit variance, in
// place and all by the same map.
func (n *Noise) Weigh(list []Row, vectors [][]float64) {
	r := rows{time: make([]float64, len(list)), entries: make([][]entry, len(list)), white: make([][]float64, len(list))}
	for k, row := range list {
		r.time[k], r.white[k] = row.Time, row.White
		for _, e := range row.Readings {
			r.entries[k] = append(r.entries[k], entry{e.Column, e.At, 0})
		}
	}
	n.weigh(&r, vectors)
}

// GuessedNoise is what a match takes the noise of columns of one quantity to be before it has seen a difference. stated is
// their white noise and span what each goes through, both in SI; length is that of the longest trial and step the distance
// of its rows, in s.
func GuessedNoise(stated, span []float64, length, step float64) Noise {
	g := &group{columns: make([]string, len(stated)), stated: stated, span: span, length: length, step: max(step, 1e-3*length, 1e-9)}
	g.begin()
	return g.noise
}

// SettingsOf are the inputs of a trial with the parameters at x.
func SettingsOf(parameters []Parameter, trial string, x []float64) Settings {
	return settings(parameters, &Trial{Name: trial}, x)
}

// Acts tells whether a parameter acts on a trial.
func (p *Parameter) Acts(trial string) bool { return p.applies(&Trial{Name: trial}) }

// CovarianceOf returns (JᵀJ)⁻¹ for the weighed columns of J, the rows of priors among them.
func CovarianceOf(weighed [][]float64) [][]float64 { return inverseOf(weighed) }
