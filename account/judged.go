package account

import "emberbank/answer"

// Judged is what stands behind the sentences of an answer, in SI: at most one of its parts. Indices of responses, axes
// and variants are those of Varied.
type Judged struct {
	Plateau     *VariedPlateau
	Spread      *VariedSpread
	Sensitivity *VariedSensitivity
	Optimum     *VariedOptimum
	Front       *VariedFront
	Pays        *VariedPays
}

// VariedPlateau is a response judged over an axis, the other axes held.
type VariedPlateau struct {
	Response, Axis int
	Group          []int // the variants with values, by rising axis
	Missing        int   // variants of the group without one
	// Points are what was judged: places, values, what is known of their errors. The uncertainty from computing (U) is
	// nil where nothing is known of it.
	Points answer.Response
	Half   []float64 // half-width of each value at 95 %, from computing and carried inputs; nil: nothing is known
	Inputs []string  // the carried inputs, in the order of Points.Inputs
	Found  answer.Plateau
}

// VariedSpread is the distribution of a response over a sample.
type VariedSpread struct {
	Response  int
	Of        []int // the variants that are independent draws, those without a value included
	Spread    answer.Spread
	MeanLow   float64 // interval of the mean at 95 %
	MeanHigh  float64
	Quantiles []answer.Quantile // by rising share
	Tolerance answer.Tolerance
}

// VariedSensitivity is how far each input is behind the spread of a response.
type VariedSensitivity struct {
	Response int
	Inputs   []int // axes, in the order of First and Total
	Found    answer.Sensitivity
}

// VariedOptimum is what a search for one aim came to.
type VariedOptimum struct {
	Response int
	Most     bool // the aim is to be large
	Met      bool // a variant meets the constraints; false: Best comes nearest
	Best     int  // variant; below 0: none has values
	// Tolerance is by how much a variant may be worse and count as good as the best, in the aim's unit. Rooms are how far each
	// axis may move from the best within it, the others held; nil: not known.
	Tolerance float64
	Rooms     []answer.Room
	// Prices are what the constraints that hold the best cost: by how much the aim would better for each unit by which the
	// limit of Varied's constraint is let out, in the aim's unit over the constraint's. Left is what remains of the slope.
	Prices []answer.Price
	Left   float64
	// Over is what the best is worth over the present design, in the aim's unit, above 0 where it is better; nil: the
	// present design has no value or misses a constraint.
	Over *answer.Advantage
	// Course is the best value that meets the constraints after each variant, in the order in which they were asked for;
	// NaN before there is one.
	Course []float64
}

// VariedFront is what a search between two aims came to.
type VariedFront struct {
	Responses [2]int
	Most      [2]bool
	Of        []int        // the variants that are compared: those that meet the constraints and have values
	U         [2]float64   // standard uncertainty of every value in each aim
	Found     answer.Front // its indices are places in Of
}

// VariedPays is where more of what is counted stops paying.
type VariedPays struct {
	Axis, Response int
	Worth          float64 // what one more must bring
	Group          []int   // the variants with values, by rising axis
	Points         answer.Response
	Found          answer.Paying
	Control        []VariedControl // by rising axis; nil: not asked
}

// VariedControl is the range in which a response can be controlled with one number of what is counted.
type VariedControl struct {
	At        float64 // how many
	Low, High float64 // of the response, between the ends of the control axis
}

// VariedShare is the share of a sample that meets the constraints, with its interval at 95 %.
type VariedShare struct {
	Share, Low, High float64
	Meet, Of         int // independent draws with values
	Words            string
}
