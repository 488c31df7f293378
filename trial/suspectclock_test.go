package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"emberbank/history"
)

// apart reads a made-up trial of two loggers: block, air and lamp on one, water on the other, whose clock shows offset s more.
func apart(t *testing.T, p toyPlan, seed uint64, offset, every float64) []Finding {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 23))
	y := runToy(p, rng)
	roles := map[string]Role{"inlet": Inlet, "outlet": Outlet, "flow": Flow, "ambient": Ambient, "power": LampPower, "front": Body, "core": Body, "back": Body}
	var sources []Source
	var texts []string
	for n, name := range []string{"block.csv", "water.csv"} {
		f := &toyFile{sep: ",", decimal: ".", clock: "iso", every: 10, start: time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC)}
		if n == 1 {
			f.every, f.start = every, f.start.Add(time.Duration(offset*1e9))
		}
		src := Source{Name: name, Layout: open}
		for _, c := range usualColumns() {
			if strings.HasPrefix(c.place, "circuit") != (n == 1) {
				continue
			}
			f.columns = append(f.columns, c)
			src.Channels = append(src.Channels, channel(t, len(f.columns)+1, c.place, roles[c.place[strings.LastIndex(c.place, " ")+1:]], c.unit))
		}
		sources, texts = append(sources, src), append(texts, f.write(y, rng))
	}
	return Suspect(read(t, &Setup{Axis: -1, Zone: time.UTC, Sources: sources}, texts...), stored(p))
}

var saidOfClock = regexp.MustCompile(`the clock of (\w+)\.csv seems to run (\d+) s behind that of (\w+)\.csv \((\d+) to (\d+) s\)`)

// TestClocksThatDifferAreDoubtedAndSuchThatDoNotAreLeftAlone: minutes between the clocks of two loggers are told, with the
// right one behind and a range that holds the truth; some seconds are not.
func TestClocksThatDifferAreDoubtedAndSuchThatDoNotAreLeftAlone(t *testing.T) {
	told, tries := 0, 0
	for seed := range uint64(9) {
		p := somePlan(rand.New(rand.NewPCG(seed, 12)))
		p.sun, p.standing = false, 0.12
		every := []float64{10, 30, 60}[seed%3]
		for _, offset := range []float64{0, 10, -10, 180, -240} {
			found := apart(t, p, seed, offset, every)
			if math.Abs(offset) <= 10 {
				for _, f := range found {
					t.Errorf("seed %d, rows each %g s, clocks %g s apart: %s", seed, every, offset, f.Message)
				}
				continue
			}
			tries++
			for _, f := range found {
				m := saidOfClock.FindStringSubmatch(f.Message)
				if m == nil {
					t.Errorf("seed %d, rows each %g s, clocks %g s apart: %s", seed, every, offset, f.Message)
					continue
				}
				told++
				slow := "block"
				if offset < 0 {
					slow = "water"
				}
				low, _ := strconv.ParseFloat(m[4], 64)
				high, _ := strconv.ParseFloat(m[5], 64)
				if m[1] != slow || !f.Doubt || f.Key != "clock" || math.Abs(offset) < low-10 || math.Abs(offset) > high+10 || !strings.Contains(f.Fix, `"offset: `+m[2]+` s"`) {
					t.Errorf("seed %d, rows each %g s, clocks %g s apart: %s: %s", seed, every, offset, f.Message, f.Fix)
				}
			}
		}
	}
	if 10*told < 9*tries { // of 64 records with other seeds 61
		t.Errorf("told in %d of %d records only", told, tries)
	}
}

// TestHeatThatNeedsItsTimeIsNoClockThatDiffers: a slab of any diffusivity, cooled at one face from a moment on, answers at its
// sensors as late as conduction has it: within the smear of the bend and half a minute.
func TestHeatThatNeedsItsTimeIsNoClockThatDiffers(t *testing.T) {
	found := 0
	for seed := range uint64(3) {
		for _, fourier := range []float64{20, 100, 400, 1500} { // s, thickness² over diffusivity
			rng := rand.New(rand.NewPCG(seed, 31))
			r := slab(rng, fourier)
			for _, f := range Suspect(r, Known{}) {
				t.Errorf("seed %d, %g s: %s", seed, fourier, f.Message)
			}
			s := &suspicion{r: r, told: map[int]bool{}}
			all := s.switchings()
			for k := range all {
				for i := range r.Columns {
					if r.Columns[i].Role != Body {
						continue
					}
					if a, ok := s.answer(&all[k], i, all); ok {
						found++
						if a.low > 0 || a.high < 0 {
							t.Errorf("seed %d, %g s: %s allows %.0f to %.0f s", seed, fourier, a.text, a.low, a.high)
						}
					}
				}
			}
		}
	}
	if found < 20 {
		t.Errorf("only %d answers were found", found)
	}
}

// slab is a record of 20 nodes, insulated at the far face, with water along the near one, warm at the start. One logger has the
// flow, another three sensors, at the near face, the middle and the far face.
func slab(rng *rand.Rand, fourier float64) *Record {
	const n, step, begin, end, length = 20, 1.0, 1500, 3300, 4500
	at := []int{0, n / 2, n - 1}
	r := &Record{Interval: 10}
	T := make([]float64, n)
	for i := range T {
		T[i] = 500
	}
	d := n * n / fourier
	flow, temps := []float64{}, make([][]float64, len(at))
	for k := range length {
		x := float64(k)
		on := x >= begin && x < end
		if k%10 == 0 {
			r.History.Time = append(r.History.Time, x)
			v := 0.0
			if on {
				v = 0.05 * (1 + 0.005*rng.NormFloat64())
			}
			flow = append(flow, v)
			for m, i := range at {
				temps[m] = append(temps[m], T[i]+0.1*rng.NormFloat64())
			}
		}
		parts := int(math.Ceil(4 * d * step))
		h := step / float64(parts)
		for range parts {
			next := make([]float64, n)
			for i := range T {
				left, right := T[max(0, i-1)], T[min(n-1, i+1)]
				next[i] = T[i] + h*d*(left-2*T[i]+right)
			}
			if on {
				next[0] -= h * 20 * (T[0] - 290) / 900
			}
			for i := range next {
				next[i] -= h * (T[i] - 293) / 20000
			}
			T = next
		}
	}
	add := func(name string, q history.Quantity, role Role, source int, v []float64, noise float64) {
		r.History.Columns = append(r.History.Columns, history.Column{Name: name, Quantity: q, Values: v})
		r.Columns = append(r.Columns, Column{Name: name, Quantity: q, Role: role, File: fmt.Sprint("logger ", source), Step: 10, Noise: noise, source: source, factor: 1})
	}
	add("circuit main flow", history.MassFlow, Flow, 0, flow, 2e-4)
	r.Columns[0].Of = "main"
	for m := range at {
		add(fmt.Sprint("T", m), history.Temperature, Body, 1, temps[m], 0.1)
	}
	return r
}
