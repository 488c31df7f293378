package answer

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// Outcome is one variant in two aims, both the smaller the better, with their standard uncertainties.
type Outcome struct{ A, B, UA, UB float64 }

// Standing is how a variant stands against the others.
type Standing int

const (
	Beaten    Standing = iota // another one is better in both aims, shown with the confidence asked for
	Uncertain                 // another one seems better, but the uncertainty leaves it open
	OnFront                   // none is better in one aim and as good in the other
	NoValue                   // the variant has no value
)

func (s Standing) String() string {
	return [...]string{"beaten", "cannot be told from the front", "on the front", "no value"}[s]
}

// Front is the set of variants that are not beaten.
type Front struct {
	Standing []Standing // of each variant
	Order    []int      // those on the front, by rising A
	// Alike holds groups of variants on the front, each a stretch of Order of two or more, of which each differs from the
	// next by no more than its uncertainty in both aims: which of them is better is not known.
	Alike [][]int
}

// FrontOf compares every variant with every other. One beats another for certain when it is better in both aims by more
// than z √(u₁² + u₂²), z the normal quantile of the confidence, one-sided; errors of different variants are taken as
// independent, which where neighbours share theirs says less than could be said. Equal variants stand together.
// Which values are on the front follows the usual definition, without uncertainties.
func FrontOf(variants []Outcome, confidence float64) (Front, error) {
	if !(confidence > 0.5 && confidence < 1) {
		return Front{}, fmt.Errorf("the confidence of a front is between 0.5 and 1, not %g", confidence)
	}
	z := distuv.UnitNormal.Quantile(confidence)
	f := Front{Standing: make([]Standing, len(variants))}
	for i, p := range variants {
		if !finite(p.A, p.B, p.UA, p.UB) {
			f.Standing[i] = NoValue
			continue
		}
		f.Standing[i] = OnFront
		for j, q := range variants {
			if i == j || !finite(q.A, q.B, q.UA, q.UB) || !(q.A <= p.A && q.B <= p.B && (q.A < p.A || q.B < p.B)) {
				continue
			}
			f.Standing[i] = Uncertain
			if p.A-q.A >= z*math.Hypot(p.UA, q.UA) && p.B-q.B >= z*math.Hypot(p.UB, q.UB) {
				f.Standing[i] = Beaten
				break
			}
		}
		if f.Standing[i] == OnFront {
			f.Order = append(f.Order, i)
		}
	}
	sort.SliceStable(f.Order, func(a, b int) bool {
		p, q := variants[f.Order[a]], variants[f.Order[b]]
		return p.A < q.A || p.A == q.A && p.B < q.B
	})
	for i := 0; i < len(f.Order); {
		j := i + 1
		for j < len(f.Order) {
			p, q := variants[f.Order[j-1]], variants[f.Order[j]]
			if math.Abs(p.A-q.A) > z*math.Hypot(p.UA, q.UA) || math.Abs(p.B-q.B) > z*math.Hypot(p.UB, q.UB) {
				break
			}
			j++
		}
		if j-i > 1 {
			f.Alike = append(f.Alike, f.Order[i:j:j])
		}
		i = j
	}
	return f, nil
}

// Sentences say how many variants stand where; name gives a variant's name.
func (f Front) Sentences(name func(i int) string) []string {
	var count [4]int
	for _, s := range f.Standing {
		count[s]++
	}
	out := []string{fmt.Sprintf("%d of %d variants are not beaten in both aims; %d more cannot be told from them within the uncertainty.",
		count[OnFront], len(f.Standing)-count[NoValue], count[Uncertain])}
	for _, g := range f.Alike {
		out = append(out, fmt.Sprintf("From %s to %s (%d variants on the front) neither aim differs from one to the next by more than its uncertainty: their order is not known.",
			name(g[0]), name(g[len(g)-1]), len(g)))
	}
	if count[NoValue] > 0 {
		have := "variants have"
		if count[NoValue] == 1 {
			have = "variant has"
		}
		out = append(out, fmt.Sprintf("%d %s no value.", count[NoValue], have))
	}
	return out
}
