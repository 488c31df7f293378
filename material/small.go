package material

import (
	"math"
	"sort"
)

var inf = math.Inf(1)

func sortFloats(x []float64) { sort.Float64s(x) }
