package figure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/heat"
)

// Now is the books of a run at a moment: what came and went over the short stretch that ends there, and since the start.
type Now struct {
	From, To    float64     // s, of the stretch
	Over, SoFar heat.Ledger // J
	Row         int         // of the history: its temperatures colour the streams
	Colours     Range
	Wide        float64 // px that the picture takes
}

// LedgerAt draws where the heat goes at a moment, for a place on a page: each stream is as wide as its watts, on a scale of
// round steps so that widths of two moments can be compared; beside it stands what it has carried since the start.
func LedgerAt(r *heat.Result, n *Now) []byte {
	f := ledgerOn(n.Wide)
	span := n.To - n.From
	if !(span > 0) {
		span = math.Inf(1) // of a stretch without length nothing is known: all beds are dry
	}
	books := func(l heat.Ledger) [2][]Entry {
		of := *r
		of.Ledger = l
		in, out := Books(&of)
		return [2][]Entry{in, out}
	}
	now, soFar := books(n.Over), books(n.SoFar)
	for s := range now {
		for i := range now[s] {
			e := &now[s][i]
			e.Amount /= span
			if e.Name == lightIn(false) && n.SoFar.Glass != 0 {
				e.Name = lightIn(true)
			}
		}
	}
	all := math.Max(total(now[0]), total(now[1]))
	for s := range now {
		now[s] = others(now[s], leastStored*all)
	}
	watts := powerScale(all)
	size := ScaleOf(math.Max(math.Max(total(soFar[0]), total(soFar[1])), 3.6e3), false)
	b := &booked{heads: [2]string{watts.Unit, size.Unit}, temp: warmthAt(r, n)}
	for s := range now {
		b.sides[s] = beside(now[s], soFar[s], watts, size)
	}
	b.perPixel = roundUp(all / f.full)
	b.caption = "Where the heat goes after " + Span(n.To)
	key := roundUp(8 * b.perPixel)
	if key > 0 {
		b.key, b.keyWide = powerScale(10*key).Text(key)+thin+powerScale(10*key).Unit+" is so wide", key/b.perPixel
	}
	b.says = momentSays(n, span, watts, size)
	b.desc = b.caption + ". " + strings.Join(b.says, " ")
	return f.draw(b, "Where the heat goes")
}

// powerScale is the unit in which heat flows read well beside one of so many watts.
func powerScale(watts float64) EnergyScale {
	switch {
	case watts >= 10e3:
		return EnergyScale{"kW", 1000, 2}
	case watts >= 100:
		return EnergyScale{"W", 1, 0}
	}
	return EnergyScale{"W", 1, 1}
}

// groupOrder is the order in which streams of a side stand.
var groupOrder = []string{"light", "heat", "store", "water", "loss"}

// beside lays what flows now beside what has flowed so far. Of what is stored only that stands there which flows: the other
// way it stands on the other side.
func beside(now, soFar []Entry, watts, size EnergyScale) (lines []bookedLine) {
	find := func(of []Entry, name string) int {
		return slices.IndexFunc(of, func(e Entry) bool { return e.Name == name })
	}
	for _, e := range now {
		if e.Group == "store" && e.Amount/watts.Size < 0.5*math.Pow(10, -float64(watts.Decimals)) {
			continue
		}
		l := bookedLine{Entry: e, first: watts.Short(e.Amount), beneath: watts.Short(e.Amount) + thin + watts.Unit}
		if i := find(soFar, e.Name); i >= 0 && soFar[i].Amount > 0 {
			l.second = size.Short(soFar[i].Amount)
			l.beneath += ", " + l.second + thin + size.Unit
		}
		lines = append(lines, l)
	}
	for _, e := range soFar {
		if e.Group != "store" && e.Amount > 0 && find(now, e.Name) < 0 {
			s := size.Short(e.Amount)
			lines = append(lines, bookedLine{Entry{e.Name, e.Group, 0}, "0", s, "0" + thin + watts.Unit + ", " + s + thin + size.Unit})
		}
	}
	slices.SortStableFunc(lines, func(a, b bookedLine) int {
		return slices.Index(groupOrder, a.Group) - slices.Index(groupOrder, b.Group)
	})
	return lines
}

// leastStored is the share of all that flows below which parts that cool or warm are not named.
const leastStored = 0.01

// others takes together the parts that cool or warm by less than a bound, where they are several.
func others(side []Entry, least float64) []Entry {
	few := func(e Entry) bool { return e.Group == "store" && e.Amount < least }
	var rest Entry
	n := 0
	for _, e := range side {
		if few(e) {
			n++
			word := e.Name[strings.LastIndexByte(e.Name, ' ')+1:]
			rest = Entry{"other parts " + word, e.Group, rest.Amount + e.Amount}
		}
	}
	if n < 2 {
		return side
	}
	return append(slices.DeleteFunc(side, few), rest)
}

// roundUp is the least of 1, 2 or 5 times a power of ten that does not fall short.
func roundUp(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	return niceStep(x, 1)
}

// momentSays is what stands below: over which stretch, what is kept, and how the books close.
func momentSays(n *Now, span float64, watts, size EnergyScale) []string {
	if math.IsInf(span, 1) {
		return []string{"The run begins here: nothing has flowed yet."}
	}
	l := &n.SoFar
	kept := fmt.Sprintf("So far %s"+thin+"%s came in; ", size.Text(l.Absorbed+l.Glass+l.Electric+l.Generated), size.Unit)
	switch {
	case l.Stored < 0:
		kept += fmt.Sprintf("the receiver holds %s"+thin+"%s less than at the start.", size.Text(-l.Stored), size.Unit)
	default:
		kept += fmt.Sprintf("the receiver holds %s"+thin+"%s more than at the start", size.Text(l.Stored), size.Unit)
		if l.Latent > 0.005*size.Size {
			kept += fmt.Sprintf(", %s"+thin+"%s of it by what is molten", size.Text(l.Latent), size.Unit)
		}
		kept += "."
	}
	left := n.Over.Residual / span
	return []string{
		fmt.Sprintf("%s: mean of the %s before; %s: since the start.", watts.Unit, Span(span), size.Unit),
		kept,
		fmt.Sprintf("Books close: %s"+thin+"%s left over. %s", watts.Text(left), watts.Unit, strings.Replace(widthSays, "carried", "carries", 1)),
	}
}

// warmthAt reads off a row how warm block and water are.
func warmthAt(r *heat.Result, n *Now) ends {
	e := warmth(r, n.Colours)
	if c := r.History.Column("block mean"); c != nil && n.Row < len(c.Values) {
		e.block = c.Values[n.Row] - zeroC
	}
	sum, count := 0.0, 0
	for _, c := range r.History.Columns {
		if _, leaves := outletOf(c.Name); leaves && n.Row < len(c.Values) && !math.IsNaN(c.Values[n.Row]) {
			sum += c.Values[n.Row] - zeroC
			count++
		}
	}
	if e.water = e.block; count > 0 {
		e.water = sum / float64(count)
	}
	return e
}
