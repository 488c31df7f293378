package bench

import (
	"bytes"
	"context"
	goflag "flag"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"
	"time"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/history"
)

var makeTrials = goflag.Bool("trials.make", false, "write the loggers' files of the worked scenario's trials anew")

// behindTrials is what the scenario's trials were made with. It is written nowhere in the scenario: a match has to
// find it. The first five are what the scenario's match looks for; the others are the model's own mistakes, which a
// match cannot repair.
var behindTrials = struct {
	contact                       float64 // W/(m² K)
	board, capacity, inside, lamp float64 // times what the files state
	wool, cover, around, flow     float64 // times what the files state
}{contact: 318, board: 1.42, capacity: 0.965, inside: 0.88, lamp: 0.93, wool: 1.1, cover: 1.5, around: 1.15, flow: 1.003}

// madeTrial is one day of the scenario's trials.
type madeTrial struct {
	name    string
	lamp    float64 // kW while it is on, 0: the sun
	lampOff float64 // s
	wet     bool
	begins  string
}

var madeTrials = []madeTrial{
	{"lamp-slow", 6.05, 3000, true, "2026-03-16 09:12:00"},
	{"lamp-fast", 6.05, 3000, true, "2026-03-17 08:50:00"},
	{"lamp-hold", 6.05, 3300, false, "2026-03-18 13:05:00"},
	{"sun", 0, 3900, true, "2026-03-24 11:30:00"},
}

// TestTrialsOfTheScenarioAreMadeUp writes the loggers' files where it is asked to (go test ./bench -run
// TestTrialsOfTheScenarioAreMadeUp -args -trials.make); else it computes the shortest of them again, on coarse cells,
// and looks whether the files still are of that truth.
func TestTrialsOfTheScenarioAreMadeUp(t *testing.T) {
	if *makeTrials {
		r := rand.New(rand.NewPCG(20260316, 5))
		sensors := map[string]float64{} // lasting errors, the same on all days
		for _, m := range madeTrials {
			m.write(t, m.truth(t, "", 20, 0.05), sensors, r)
		}
		return
	}
	h := madeTrials[2].truth(t, "coarse", 60, 0.3)
	trial, problems := LoadTrial(WriteScenario(), "trials/lamp-hold.yaml", Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	for _, name := range []string{"T front", "T core", "T back"} {
		seen := trial.Record.History.Column(name)
		for i, at := range h.Time {
			k := sort.SearchFloat64s(trial.Record.History.Time, at-1)
			if k == len(seen.Values) || math.Abs(trial.Record.History.Time[k]-at) > 1 || seen.Values[k] != seen.Values[k] {
				continue // a row is missing there
			}
			if d := seen.Values[k] - h.Column(name).Values[i]; math.Abs(d) > 6 && at > 120 { // sensors are off by 1 K, coarse cells by some
				t.Errorf("%s is off by %.1f K after %.0f s: were the trials made of other files? Make them anew (-trials.make)", name, d, at)
				break
			}
		}
	}
}

// truth computes what really happened.
func (m *madeTrial) truth(t *testing.T, grid string, every, tolerance float64) *history.History {
	t.Helper()
	b := behindTrials
	o := Options{
		Override: map[string]float64{
			"receiver.tube.contact":                  b.contact,
			"medium[microporous-board].conductivity": b.board, "medium[mineral-wool].conductivity": b.wool,
			"medium[tin-in-aluminium].heat capacity": b.capacity, "medium[tin-in-aluminium].conductivity": b.inside,
		},
		Factor: map[string]float64{"receiver.surfaces.all.emissivity": b.around, "receiver.window.cover.conductance": b.cover},
	}
	if m.wet {
		o.Factor["duty.water.all.flow"] = b.flow
	}
	if m.lamp > 0 {
		o.Factor["duty.light.power"] = b.lamp
	}
	run, problems := LoadRun(WriteScenario(), "trials/"+m.name+"-run.yaml", o)
	if problems.Failed() {
		t.Fatal(problems)
	}
	p := run.Problem
	p.Tolerance = tolerance
	if grid == "" {
		p.Grid = heat.GridPlan{Size: 0.02, PerLayer: 3}
	}
	p.Output = nil
	for at := 0.0; at <= p.Until; at += every {
		p.Output = append(p.Output, at)
	}
	for i := range p.Probes { // thermocouples never sit quite where the drawing has them
		p.Probes[i].At[block.Depth] += 0.002 * float64(i-1)
		p.Probes[i].At[block.Height] += 0.0015
	}
	r, err := heat.Run(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%s: %d cells, %d steps", m.name, r.Cells, r.Steps)
	return &r.History
}

// noise is white and lasting noise with rounding, as a logger shows it.
type noise struct {
	r                    *rand.Rand
	white, lasting, time float64
	now                  float64
}

func (n *noise) next(dt float64) float64 {
	f := math.Exp(-dt / n.time)
	n.now = f*n.now + n.lasting*math.Sqrt(1-f*f)*n.r.NormFloat64()
	return n.now + n.white*n.r.NormFloat64()
}

// write lays errors over a day and writes its loggers' files.
func (m *madeTrial) write(t *testing.T, h *history.History, lasting map[string]float64, r *rand.Rand) {
	t.Helper()
	start, err := time.Parse("2006-01-02 15:04:05", m.begins)
	if err != nil {
		t.Fatal(err)
	}
	own := func(name string, sd float64) float64 {
		if _, ok := lasting[name]; !ok {
			lasting[name] = sd * r.NormFloat64()
		}
		return lasting[name]
	}
	rack := 0.25 * r.NormFloat64() // the logger's cold junction, this day
	type column struct {
		heading string
		digits  int
		value   func(i int) float64
		noise   *noise
	}
	temperature := func(name, heading string, digits int, off float64, n *noise) column {
		v := h.Column(name).Values
		return column{heading + " [°C]", digits, func(i int) float64 { return v[i] - 273.15 + off }, n}
	}
	fast := func(white, slow float64) *noise { return &noise{r: r, white: white, lasting: slow, time: 240} }
	var cols []column
	for _, c := range []string{"T front", "T core", "T back"} {
		cols = append(cols, temperature(c, c, 1, own(c, 0.7)+rack, fast(0.06, 0.12)))
	}
	if m.wet {
		for _, c := range []string{"near", "middle", "far"} {
			pair := own("pair "+c, 0.2)
			inlet := map[string]float64{"lamp-slow": 14.6, "lamp-fast": 14.2, "sun": 15.1}[m.name]
			out, flow := h.Column("circuit "+c+" outlet").Values, h.Column("circuit "+c+" flow").Values
			slack := 21 + r.NormFloat64()
			rest := func(v float64, i int) float64 { // what stands in a drained pipe: the air of the room
				if flow[i] > 0 {
					return v
				}
				return slack
			}
			meter := 1 + own("meter "+c, 0.006)
			cols = append(cols,
				column{"In " + c + " [°C]", 2, func(i int) float64 { return rest(inlet, i) + pair + rack }, fast(0.03, 0.03)},
				column{"Out " + c + " [°C]", 2, func(i int) float64 {
					return rest(out[i]-273.15, i) + pair + own("out "+c, 0.05) + rack
				}, fast(0.03, 0.03)},
				column{"Flow " + c + " [l/min]", 2, func(i int) float64 {
					if flow[i] > 0 {
						return flow[i] * 60 / 0.9991 * meter
					}
					return math.Max(0, 0.02*r.NormFloat64())
				}, fast(0.008, 0.004)})
		}
	}
	room := own("room", 0.3)
	if m.lamp > 0 {
		watt := 1 + own("wattmeter", 0.008)
		cols = append(cols, column{"Lamp [kW]", 3, func(i int) float64 {
			if h.Time[i] < m.lampOff {
				return m.lamp * watt
			}
			return 0
		}, fast(0.004, 0.01)})
		air := map[string]float64{"lamp-slow": 21, "lamp-fast": 20, "lamp-hold": 22}[m.name]
		cols = append(cols, column{"Room [°C]", 1, func(i int) float64 { return air + room + 0.5*math.Sin(h.Time[i]/1900) }, fast(0.05, 0.1)})
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "Bakery bench;logger 1\r\nAll numbers in this file are made up\r\nInterval;20 s;;\r\n\r\nTime")
	for _, c := range cols {
		fmt.Fprintf(&b, ";%s", c.heading)
	}
	b.WriteString("\r\n")
	gap := 40 + r.IntN(200)
	spike, wide := 60+r.IntN(200), r.IntN(3)
	twice := 20 + r.IntN(300)
	for i, at := range h.Time {
		if i >= gap && i < gap+3+r.IntN(2) && m.name == "lamp-hold" { // somebody pulled the plug for a minute
			for k := range cols {
				cols[k].noise.next(20)
			}
			continue
		}
		var line strings.Builder
		line.WriteString(start.Add(time.Duration(at) * time.Second).Format("02.01.2006 15:04:05"))
		for k, c := range cols {
			v := c.value(i) + c.noise.next(20)
			if strings.HasPrefix(c.heading, "Flow") || strings.HasPrefix(c.heading, "Lamp") {
				if c.value(i) == 0 {
					v = 0
				}
				v = math.Max(0, v)
			}
			switch {
			case i == spike && k == wide:
				v += 160
			case r.Float64() < 0.0015 && k < 3:
				line.WriteString(";OL")
				continue
			case r.Float64() < 0.0006:
				line.WriteString(";-7999")
				continue
			}
			line.WriteString(";" + strings.Replace(fmt.Sprintf("%.*f", c.digits, v), ".", ",", 1))
		}
		line.WriteString("\r\n")
		b.WriteString(line.String())
		if i == twice {
			b.WriteString(line.String())
		}
	}
	keep(t, m.name+".csv", b.Bytes())
	if m.lamp > 0 {
		return
	}
	// The weather station: universal time, a row a minute, a clock of its own.
	b.Reset()
	b.WriteString("# weather station in the bakery's yard; all numbers in this file are made up\nTIMESTAMP,Light [W],Air [degC],Wind [m/s],Battery [V]\n")
	run, _ := LoadRun(WriteScenario(), "trials/sun-run.yaml", Options{})
	light, air, wind := fast(12, 15), fast(0.05, 0.15), &noise{r: r, lasting: 0.5, time: 300}
	scale := 1 + own("calorimeter", 0.01)
	for at := -300.0; at <= 7500; at += 60 {
		power := 0.0
		if at >= 0 && at < m.lampOff {
			power = run.Problem.Duty.Light.Power.At(at)*scale + light.next(60)
		}
		wrote := fmt.Sprintf("%.0f", math.Max(0, power))
		if r.Float64() < 0.02 {
			wrote = "NAN"
		}
		fmt.Fprintf(&b, "%s,%s,%.2f,%.1f,%.2f\n", start.Add(-time.Hour).Add(time.Duration(at)*time.Second).Format("2006-01-02 15:04:05"),
			wrote, 19+4*math.Max(0, at)/7200+0.2+air.next(60), math.Abs(1.2+wind.next(60)), 12.7)
	}
	keep(t, "sun-weather.csv", b.Bytes())
}

func keep(t *testing.T, name string, text []byte) {
	t.Helper()
	if err := os.WriteFile(filepath.Join("scenario", "trials", name), text, 0o666); err != nil {
		t.Fatal(err)
	}
}

// TestLoggersOfTheScenarioStaySmall keeps what the program carries along small.
func TestLoggersOfTheScenarioStaySmall(t *testing.T) {
	sum := 0
	err := fs.WalkDir(WriteScenario(), ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || name == weatherFile { // that one has a bound of its own
			return err
		}
		raw, err := fs.ReadFile(WriteScenario(), name)
		sum += len(raw)
		return err
	})
	if err != nil || sum > 300_000 {
		t.Errorf("%d bytes (%v)", sum, err)
	}
}
