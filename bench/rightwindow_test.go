package bench

import (
	"bytes"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/aperture"
)

const rightReceiver = `schema: emberbank/1
kind: receiver
block: {depth: 100 mm, width: 300 mm, height: 240 mm, medium: aluminium}
window: {width: 100 mm, height: 80 mm}
`

func rightLight(section string) fstest.MapFS {
	return fstest.MapFS{
		"receiver.yaml": {Data: []byte(rightReceiver)},
		"light.yaml": {Data: []byte(`schema: emberbank/1
kind: light
receiver: receiver.yaml
dish: {focal length: 1 m, diameter: 1.2 m, reflectance: 0.9, slope error: 3 mrad, petals: {count: 6}}
` + section)},
	}
}

func TestRightWindowIsAskedOfTheReceiversFace(t *testing.T) {
	l, ps := LoadLight(rightLight("right window: {at: 300 degC, ambient: 10 degC, tilt: 30 deg, day: {steps: [[6 h, 500 W/m2], [9 h, 800 W/m2], [15 h, 0 W/m2]]}}\n"), "light.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	q := l.Right
	near(t, "face", q.Face, 300+zero)
	near(t, "ratio", q.Ratio, 0.8)
	near(t, "largest", q.Most, 0.3) // 300 mm by 240 mm fills the face
	near(t, "sky", q.Out.Sky, 10+zero)
	near(t, "beam", q.Beam, 900)
	same(t, "day", q.Day, []aperture.Moment{{At: 21600, Beam: 500}, {At: 32400, Beam: 500}, {At: 32400, Beam: 800}, {At: 54000, Beam: 800}, {At: 54000, Beam: 0}})
}

// What windows catch and what they lose is asked of one shape, the light's window's, whatever the receiver's is.
func TestRightWindowHasTheShapeOfTheLightsWindow(t *testing.T) {
	l, ps := LoadLight(rightLight("window: {width: 120 mm, height: 60 mm}\nright window: {at: 300 degC}\n"), "light.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	near(t, "ratio", l.Right.Ratio, 0.5)
	near(t, "largest", l.Right.Most, 0.3) // 300 mm by 150 mm lies within the face of 300 mm by 240 mm
	same(t, "shape", l.RightShape(), "2 to 1")
}

// A ± on which no ray hangs is neither cast nor lost without a word.
func TestWhatOfALightIsNotCarriedIsTold(t *testing.T) {
	fsys := rightLight("beam: 900 ± 20 W/m2\nright window: {at: 300 ± 10 degC}\n")
	fsys["light.yaml"].Data = bytes.Replace(fsys["light.yaml"].Data, []byte("slope error: 3 mrad"), []byte("slope error: 3 ± 1 mrad"), 1)
	l, ps := LoadLight(fsys, "light.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	if s := l.Sides(fsys, "light.yaml"); len(s) != 1 || s[0].Name != "light.dish.slope error" {
		t.Errorf("cast at both ends: %v", s)
	}
	all := strings.Join(l.Warnings, "\n")
	for _, want := range []string{"light.yaml:5:7: beam: a ± there is not carried", "light.yaml:6:15: right window: a ± there is not carried"} {
		if !strings.Contains(all, want) {
			t.Errorf("nothing says %q: %s", want, all)
		}
	}
	fsys["run.yaml"] = &fstest.MapFile{Data: []byte("schema: emberbank/1\nkind: run\nuntil: 1 h\nreceiver: receiver.yaml\nduty: {light: {dish: light.yaml, beam: 800 W/m2}}\n")}
	run, ps := LoadRun(fsys, "run.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	for _, u := range run.Uncertain {
		if u.Path != "light.dish.slope error" {
			t.Errorf("a run carries %s, which does not count in it", u.Path)
		}
	}
}

func TestRightWindowsThatCannotBeAreTold(t *testing.T) {
	for section, want := range map[string]string{
		"right window: {at: 5 degC}\n":                                    "the face is no hotter than the air",
		"right window: {at: 300 degC, shape: square}\n":                   "neither square nor round",
		"right window: {at: 300 degC, day: {station: hill, column: 1}}\n": "a station stands in a duty, and this is none",
		"right window: {at: 300 degC, day: 800 W/m2}\n":                   "a day has a beginning and an end",
		"right window: {at: 300 degC, day: {table: [[6 h, 800 W/m2]]}}\n": "a day has a beginning and an end",
	} {
		_, ps := LoadLight(rightLight(section), "light.yaml", Options{})
		toldOf(t, section, ps, want)
	}
	fsys := rightLight("right window: {at: 300 degC}\n")
	fsys["light.yaml"].Data = []byte(`schema: emberbank/1
kind: light
dish: {focal length: 1 m, diameter: 1.2 m, reflectance: 0.9, petals: {count: 6}}
window: {diameter: 60 mm}
right window: {at: 300 degC}
`)
	_, ps := LoadLight(fsys, "light.yaml", Options{})
	toldOf(t, "no receiver", ps, "no receiver is named whose window it could be")
}

// toldOf wants a mistake with these words and how it is mended.
func toldOf(t *testing.T, what string, ps Problems, words string) {
	t.Helper()
	if !ps.Failed() || !strings.Contains(ps.Error(), words) || ps[0].Fix == "" {
		t.Errorf("%s: told is %v, want %q", what, ps, words)
	}
}
