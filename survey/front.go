package survey

import (
	"context"
	"fmt"
	"math"
	"strings"

	"emberbank/account"
	"emberbank/answer"
)

// frontTwins is how many variants of a front are run on a finer grid as well: both ends and the middle.
const frontTwins = 3

// frontRows is how many variants of a front are listed.
const frontRows = 20

// front says what a search between two aims came to.
func (w *working) front(ctx context.Context, v *account.Varied, f *finding) error {
	aims := w.Asked.Search.Aims
	a, b := &v.Responses[aims[0].Response], &v.Responses[aims[1].Response]
	want := func(k int) string { return map[bool]string{true: "the most of ", false: "the least of "}[aims[k].Most] }
	out := account.VariedAnswer{Question: "Which variants stand between " + want(0) + a.Name + " and " + want(1) + b.Name + "?", Verdict: answer.Undecided.String()}
	defer func() { v.Answers = append(v.Answers, out) }()
	found := &account.VariedFront{Responses: [2]int{aims[0].Response, aims[1].Response}, Most: [2]bool{aims[0].Most, aims[1].Most}}
	var places []answer.Outcome
	for i := range v.Variants {
		if o := &v.Variants[i]; o.Meets && !math.IsNaN(o.Values[aims[0].Response]+o.Values[aims[1].Response]) {
			found.Of = append(found.Of, i)
			places = append(places, answer.Outcome{A: f.turned(0, o.Values[aims[0].Response]), B: f.turned(1, o.Values[aims[1].Response])})
		}
	}
	if len(places) == 0 {
		out.Sentences = []string{"No variant has values and meets all constraints."}
		w.progress.Total = w.progress.Done
		return nil
	}
	exact, err := answer.FrontOf(places, confidence)
	if err != nil {
		return fmt.Errorf("judging the front: %w", err)
	}
	u, err := w.frontErrors(ctx, f, found, exact)
	if err != nil {
		return err
	}
	found.U = u
	for i := range places {
		places[i].UA, places[i].UB = u[0], u[1]
	}
	if found.Found, err = answer.FrontOf(places, confidence); err != nil {
		return fmt.Errorf("judging the front: %w", err)
	}
	out.Front = found
	out.Verdict = fmt.Sprintf("%d on the front", len(found.Found.Order))
	out.Sentences = found.Found.Sentences(func(k int) string { return fmt.Sprintf("variant %d", found.Of[k]+1) })
	out.Sentences = append(out.Sentences, w.frontRest(v, f, found, u)...)
	out.Table, out.Below = frontTable(v, found)
	return nil
}

// frontErrors is the standard uncertainty of each aim, by variants of the front on a finer grid: the largest of them, and no less
// than what counts as equally good by the file; 0: not known.
func (w *working) frontErrors(ctx context.Context, f *finding, found *account.VariedFront, front answer.Front) (u [2]float64, err error) {
	var points []point
	own := f.outcomes[:0:0]
	n := len(front.Order)
	for _, k := range []int{0, (n - 1) / 2, n - 1} {
		i := found.Of[front.Order[k]]
		if p := (point{x: f.values(f.points[i])}); len(own) == 0 || own[len(own)-1].Key != f.outcomes[i].Key {
			points, own = append(points, p), append(own, f.outcomes[i])
		}
	}
	w.progress.Total = w.progress.Done + int64(len(points))
	errors, err := w.twins(ctx, points, own)
	if err != nil {
		return u, err
	}
	for k, aim := range w.Asked.Search.Aims {
		for _, e := range errors {
			if x := e[aim.Response]; !math.IsNaN(x) {
				u[k] = math.Max(u[k], x)
			}
		}
		u[k] = math.Max(u[k], aim.Flat/apart(1)) // values that differ by Flat are just told apart
	}
	return u, nil
}

// apart is by how much two values must differ to be told apart on one side at 95 %, z √2 u, each known to a standard uncertainty u.
func apart(u float64) float64 { return 1.645 * math.Sqrt2 * u }

// frontRest says what else is known of a front: its ends, its uncertainty, and the present design.
func (w *working) frontRest(v *account.Varied, f *finding, found *account.VariedFront, u [2]float64) (out []string) {
	order := found.Found.Order
	first, last := found.Of[order[0]], found.Of[order[len(order)-1]]
	if first != last {
		out = append(out, fmt.Sprintf("It goes from variant %d, %s, to variant %d, %s.", first+1, w.described(v, first), last+1, w.described(v, last)))
	}
	a, b := &v.Responses[found.Responses[0]], &v.Responses[found.Responses[1]]
	if u[0] > 0 || u[1] > 0 {
		out = append(out, fmt.Sprintf("Values are taken as known to %s of %s and %s of %s (standard uncertainty), by variants of the front on a finer grid and by what the file calls equally good.", rough(func(y float64) string { return a.Amount(y, true) })(u[0]), a.Name, rough(func(y float64) string { return b.Amount(y, true) })(u[1]), b.Name))
	}
	out = append(out, "The present design, the files as they are: "+responsesOf(v, v.Present)+".")
	pa, pb := value(&f.present, found.Responses[0]), value(&f.present, found.Responses[1])
	if !math.IsNaN(pa) && !math.IsNaN(pb) {
		var better []string
		for _, k := range order {
			i := found.Of[k]
			if y := v.Variants[i].Values; f.turned(0, y[found.Responses[0]]) < f.turned(0, pa)-apart(u[0]) && f.turned(1, y[found.Responses[1]]) < f.turned(1, pb)-apart(u[1]) {
				better = append(better, fmt.Sprint(i+1))
			}
		}
		switch {
		case len(better) == 0:
			out = append(out, "No variant on the front is shown to better it in both aims.")
		case len(better) == 1:
			out = append(out, "Variant "+better[0]+" betters it in both aims.")
		default:
			out = append(out, "Variants "+strings.Join(better[:min(len(better), 8)], ", ")+" better it in both aims.")
		}
	}
	return append(out, "A search finds a good front and does not prove that there is no better one.")
}

// frontTable lists the front, thinned evenly where it is long, and says what it leaves out.
func frontTable(v *account.Varied, found *account.VariedFront) (rows [][]string, below string) {
	head := []string{"variant"}
	for k := range v.Axes {
		head = append(head, v.Axes[k].Name)
	}
	for _, r := range found.Responses {
		head = append(head, v.Responses[r].Name)
	}
	rows = [][]string{head}
	order := found.Found.Order
	n := min(len(order), frontRows)
	for k := range n {
		at := k
		if n > 1 {
			at = k * (len(order) - 1) / (n - 1)
		}
		i := found.Of[order[at]]
		row := []string{fmt.Sprint(i + 1)}
		for a := range v.Axes {
			row = append(row, v.Axes[a].Show(v.Variants[i].At[a]))
		}
		for _, r := range found.Responses {
			row = append(row, v.Responses[r].Amount(v.Variants[i].Values[r], false))
		}
		rows = append(rows, row)
	}
	if more := len(order) - n; more > 0 {
		below = fmt.Sprintf("and %d more of the front between these, in study.json", more)
	}
	return rows, below
}
