package account

import (
	"math"
	"strings"
	"testing"

	"emberbank/aperture"
	"emberbank/figure"
	"emberbank/heat"
	"emberbank/receiver"
)

// madeWindow is a right window of a made-up spot.
func madeWindow(t *testing.T, face float64) *RightWindow {
	t.Helper()
	q := aperture.Question{
		Receiver: &receiver.Receiver{Window: &receiver.Window{Absorptance: 0.9, Film: receiver.Film{Kind: receiver.FilmFixed, Value: 25}, Cover: 1}},
		Ratio:    1, Most: 0.3, Face: face, Beam: 900, Out: heat.Weather{Air: 300, Sky: 300, Ground: 300},
		Day: []aperture.Moment{{At: 0, Beam: 0}, {At: 6 * 3600, Beam: 900}, {At: 12 * 3600, Beam: 0}},
	}
	for i := range 101 {
		d := 0.4 * float64(i) / 100
		q.Catch.Size, q.Catch.Power = append(q.Catch.Size, d), append(q.Catch.Power, 3*-math.Expm1(-d*d/0.02))
	}
	more := aperture.Catch{Size: q.Catch.Size}
	for _, p := range q.Catch.Power {
		more.Power = append(more.Power, 1.05*p)
	}
	q.Sides = []aperture.Side{{Name: "reflectance", Above: &more}}
	a, err := aperture.Find(&q)
	if err != nil {
		t.Fatal(err)
	}
	return &RightWindow{Shape: "square", Size: 0.18, Answer: a}
}

func TestRightWindowSaysWhichAndHowFlat(t *testing.T) {
	w := madeWindow(t, 573.15)
	if s := w.Sentence(); !strings.HasPrefix(s, "A window of ") || !strings.Contains(s, " kW at 300 °C; from ") {
		t.Errorf("%q", s)
	}
	p := &page{}
	w.text(p)
	for _, want := range []string{"without glass, open", "over 12 h", "and cover", "±", "kWh"} {
		if !strings.Contains(p.b.String(), want) {
			t.Errorf("the report lacks %q:\n%s", want, p.b.String())
		}
	}
	l := &Light{Name: "made up", Right: w}
	for day, want := range map[bool]string{false: "best: ", true: "kWh"} {
		if svg := string(l.KeptPicture(day, figure.Place{})); !strings.Contains(svg, "<svg") || strings.Contains(svg, "NaN") || !strings.Contains(svg, want) {
			t.Errorf("the picture is %.200s", svg)
		}
	}
	// What the window as it is keeps less is read off the same curve.
	for _, r := range w.Rows() {
		if !(r.Less >= 0 && r.Less < 1) || !(r.From < r.Best.Size && r.Best.Size < r.To) {
			t.Errorf("%+v", r)
		}
	}
	if d := w.document(); len(d.Curves) != 3 || d.Curves[0].Unit != "W" || d.Curves[1].Unit != "J" || d.Curves[0].SizeHalf == nil {
		t.Errorf("%+v", d)
	}
}

func TestNoWindowThatKeepsHeatIsSaid(t *testing.T) {
	w := madeWindow(t, 30000)
	if s := w.Sentence(); !strings.HasPrefix(s, "No window keeps heat") {
		t.Errorf("%q", s)
	}
	p := &page{}
	w.text(p)
	if !strings.Contains(p.b.String(), "none keeps heat") || strings.Contains(p.b.String(), "NaN") {
		t.Errorf("%s", p.b.String())
	}
}
