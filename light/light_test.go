package light

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/bench"
)

// made is an invented dish with its receiver.
func made() fstest.MapFS {
	return fstest.MapFS{
		"receiver.yaml": {Data: []byte(`schema: emberbank/1
kind: receiver
block: {depth: 100 mm, width: 200 mm, height: 200 mm, medium: aluminium}
window: {width: 60 mm, height: 60 mm, glass: {thickness: 4 mm, gap: 15 mm}}
`)},
		"light.yaml": {Data: []byte(`schema: emberbank/1
kind: light
name: made up
receiver: receiver.yaml
dish: {focal length: 1 m, diameter: 1.2 m, reflectance: 0.9 ± 0.02, slope error: 6 ± 1 mrad, petals: {count: 6}}
right window: {at: 300 degC}
error: 0.5 %
`)},
	}
}

func loaded(t *testing.T, files fstest.MapFS) *bench.Light {
	t.Helper()
	l, problems := bench.LoadLight(files, "light.yaml", bench.Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	return l
}

// TestACoarseAnswerIsNearTheWholeOne: both tell the same window from the same dish, within what the coarse one leaves open.
func TestACoarseAnswerIsNearTheWholeOne(t *testing.T) {
	files := made()
	l := loaded(t, files)
	inputs := 0
	whole, err := Answer(context.Background(), files, "light.yaml", l, How{Step: func(s Step) { inputs = max(inputs, s.Input) }})
	if err != nil {
		t.Fatal(err)
	}
	coarse, err := Answer(context.Background(), files, "light.yaml", l, How{Coarse: true})
	if err != nil {
		t.Fatal(err)
	}
	a, b := whole.Result, coarse.Result
	if d := math.Abs(a.Window.Value - b.Window.Value); d > 4*(a.Window.Error+b.Window.Error) {
		t.Errorf("powers of %g and %g m²", a.Window.Value, b.Window.Value)
	}
	if len(b.Map.Flux) >= len(a.Map.Flux) || !coarse.Coarse || whole.Coarse || whole.Wanted != 0.005 {
		t.Errorf("maps of %d and %d bins, coarse %v and %v", len(a.Map.Flux), len(b.Map.Flux), whole.Coarse, coarse.Coarse)
	}
	if inputs != 2 || len(whole.Carried.Parts) != 2 || len(coarse.Carried.Parts) != 2 {
		t.Errorf("%d of two uncertain inputs were told", inputs)
	}
	x, y := whole.Right.Answer.Variants[0].Now.Best, coarse.Right.Answer.Variants[0].Now.Best
	if math.Abs(x.Size-y.Size) > 0.1*x.Size || !strings.Contains(whole.Right.Sentence(), "keeps the most") {
		t.Errorf("the best windows are %g and %g m", x.Size, y.Size)
	}
}

// TestTheWindowsLengthsAreWhereTheyAreWritten: in the receiver's file, unless the light's own says otherwise.
func TestTheWindowsLengthsAreWhereTheyAreWritten(t *testing.T) {
	files := made()
	l := loaded(t, files)
	if len(l.Dimensions) != 2 || l.Dimensions[0].File != "receiver.yaml" || l.Dimensions[0].Path != "window.width" || l.Dimensions[1].Text != "60 mm" || l.Dimensions[0].From != -0.03 {
		t.Errorf("%+v", l.Dimensions)
	}
	text := strings.Replace(string(files["light.yaml"].Data), "error: 0.5 %", "window: {diameter: 50 mm, centre: {width: 5 mm, height: 0 mm}}", 1)
	files["light.yaml"] = &fstest.MapFile{Data: []byte(text)}
	l = loaded(t, files)
	if len(l.Dimensions) != 1 || l.Dimensions[0].File != "light.yaml" || l.Dimensions[0].Path != "window.diameter" || math.Abs(l.Dimensions[0].From+0.02) > 1e-12 || math.Abs(l.Dimensions[0].To-0.03) > 1e-12 {
		t.Errorf("%+v", l.Dimensions)
	}
}

func TestWhatIsStoppedHasNoAnswer(t *testing.T) {
	files := made()
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if a, err := Answer(ctx, files, "light.yaml", loaded(t, files), How{}); a != nil || !errors.Is(err, context.Canceled) {
		t.Errorf("%v, %v", a, err)
	}
}
