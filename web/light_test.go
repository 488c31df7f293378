package web

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// lit writes a dish and its light's file into a served bench; the window is that of the bench's receiver.
func lit(t *testing.T, extra string) (folder string, ask func(method, path string, query url.Values, body string) (int, string)) {
	t.Helper()
	folder, ask = opened(t)
	writeLight(t, folder, extra)
	return folder, ask
}

// writeLight writes them into a folder.
func writeLight(t *testing.T, folder, extra string) {
	t.Helper()
	text := `schema: emberbank/1
kind: light
name: made up
receiver: lit.yaml
dish: {focal length: 1 m, diameter: 1.2 m, reflectance: 0.9 ± 0.02, slope error: 6 mrad, petals: {count: 6, missing: [2]}}
right window: {at: 300 degC, day: {table: [[0 h, 0 W/m2], [6 h, 900 W/m2], [12 h, 0 W/m2]]}}
` + extra
	receiver := `schema: emberbank/1
kind: receiver
block: {depth: 100 mm, width: 200 mm, height: 200 mm, medium: aluminium}
window: {width: 60 mm, height: 60 mm, glass: {thickness: 4 mm, gap: 15 mm}, cover: {conductance: 1 W/(m2 K)}}
`
	for name, raw := range map[string]string{"lit.yaml": receiver, "light.yaml": text} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(raw), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// cast waits until a light is as wanted.
func castUntil(t *testing.T, ask func(string, string, url.Values, string) (int, string), what string, wanted func(lightBody) bool) lightBody {
	t.Helper()
	var b lightBody
	for range 1200 {
		code, raw := ask("GET", "light", of("light.yaml"), "")
		b = lightBody{}
		if err := json.Unmarshal([]byte(raw), &b); code != 200 || err != nil {
			t.Fatalf("%d %v: %.300s", code, err, raw)
		}
		if wanted(b) {
			return b
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Fatalf("%s: it comes to stand at %+v", what, b.Cast)
	return b
}

func isWhole(b lightBody) bool { return b.State == done && !b.Coarse && !b.Old }

// TestALightIsCastWhenItIsLookedAt: coarsely first, then as its file wants it, with its pictures, and never twice.
func TestALightIsCastWhenItIsLookedAt(t *testing.T) {
	_, ask := lit(t, "")
	first := castUntil(t, ask, "a first answer", func(b lightBody) bool { return b.Answer > 0 })
	if !first.Coarse || first.Sentence == "" {
		t.Errorf("the first answer is %+v", first.Cast)
	}
	b := castUntil(t, ask, "whole", isWhole)
	if !strings.HasPrefix(b.Sentence, "The window of 60 mm catches ") || !strings.HasPrefix(b.Right, "A window of ") || !strings.Contains(b.Caution, "burns and blinds") || b.Title != "made up" || !b.Asks {
		t.Errorf("it says %q, %q", b.Sentence, b.Right)
	}
	if len(b.Numbers) != 4 || !(b.Numbers[0].Half > 0) || len(b.Uncertain) != 1 || b.Uncertain[0].Input != "light.dish.reflectance" || len(b.Best) != 6 || b.Day != 12*3600 {
		t.Errorf("%d numbers, %d inputs, %d best windows over %g s", len(b.Numbers), len(b.Uncertain), len(b.Best), b.Day)
	}
	sum := 0.0
	for _, p := range b.Parts {
		sum += p.Share
	}
	if sum < 0.999999 || sum > 1.000001 {
		t.Errorf("the parts of the beam add up to %g of it", sum)
	}
	for _, p := range []string{"flux", "catch", "beam", "kept", "kept-day"} {
		q := of("light.yaml")
		q.Set("wide", "400")
		code, raw := ask("GET", "light/"+p, q, "")
		if code != 200 || !strings.HasPrefix(raw, "<svg") || strings.Contains(raw, "NaN") {
			t.Errorf("%s: %d %.200s", p, code, raw)
		}
		if p == "flux" && (!strings.Contains(raw, `data-file="lit.yaml"`) || !strings.Contains(raw, `data-path="window.width"`)) {
			t.Error("the window's lengths cannot be touched")
		}
	}
	if code, _ := ask("GET", "light", of("trial-1.yaml"), ""); code != 404 {
		t.Errorf("a run is looked at as a light: %d", code)
	}
}

// TestAChangedWindowIsCastAnew: the old answer stays until there is another, and what was known before is known again at once.
func TestAChangedWindowIsCastAnew(t *testing.T) {
	folder, ask := lit(t, "error: 0.5 %\n")
	was := castUntil(t, ask, "whole", isWhole)
	write := func(from, to string) {
		t.Helper()
		at := filepath.Join(folder, "lit.yaml")
		raw, err := os.ReadFile(at)
		if err != nil {
			t.Fatal(err)
		}
		text := strings.Replace(string(raw), from, to, 1)
		mark, err := json.Marshal(map[string]string{"text": text, "mark": markOf(raw)})
		if err != nil {
			t.Fatal(err)
		}
		if code, raw := ask("PUT", "file", of("lit.yaml"), string(mark)); code != 200 {
			t.Fatalf("%d %s", code, raw)
		}
	}
	write("width: 60 mm", "width: 80 mm")
	now := castUntil(t, ask, "the wider window", func(b lightBody) bool { return isWhole(b) && b.Answer > was.Answer })
	if !strings.HasPrefix(now.Sentence, "The window of 80 by 60 mm") || !(now.Numbers[0].Value > was.Numbers[0].Value) {
		t.Errorf("%q", now.Sentence)
	}
	write("width: 80 mm", "width: 80")
	wrong := castUntil(t, ask, "the mistake", func(b lightBody) bool { return b.State == mistaken })
	if len(wrong.Problems) == 0 || !wrong.Old || wrong.Sentence != now.Sentence {
		t.Errorf("%+v, %q", wrong.Problems, wrong.Sentence)
	}
	write("width: 80,", "width: 60 mm,")
	again := castUntil(t, ask, "the first window again", isWhole)
	if again.Sentence != was.Sentence || again.Answer != now.Answer+1 {
		t.Errorf("%q is answer %d, after %d: it was cast again", again.Sentence, again.Answer, now.Answer)
	}
}

// TestAStoppedCastKeepsItsCoarseAnswer: an error that asks for very many rays is not waited for.
func TestAStoppedCastKeepsItsCoarseAnswer(t *testing.T) {
	_, ask := lit(t, "error: 0.0005 %\n")
	castUntil(t, ask, "the whole answer is under way", func(b lightBody) bool { return b.Answer > 0 && b.State == computing })
	if code, raw := ask("POST", "light/stop", of("light.yaml"), ""); code != 200 {
		t.Fatalf("%d %s", code, raw)
	}
	b := castUntil(t, ask, "stopped", func(b lightBody) bool { return b.State == stopped })
	if !b.Coarse || b.Sentence == "" || b.Failure != "" {
		t.Errorf("%+v", b)
	}
	if code, raw := ask("POST", "light/again", of("light.yaml"), ""); code != 200 {
		t.Fatalf("%d %s", code, raw)
	}
	castUntil(t, ask, "it goes on", func(b lightBody) bool { return b.State == computing })
}

// TestALightThatNobodyLooksAtIsNotCastAnew when its files change, but when somebody looks again.
func TestALightThatNobodyLooksAtIsNotCastAnew(t *testing.T) {
	folder, root := copied(t)
	writeLight(t, folder, "error: 2 %\n")
	d := Open(root, Options{Version: "under test"})
	t.Cleanup(d.Close)
	look := func() *cast {
		t.Helper()
		c, err := d.casts.of("light.yaml")
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	c := look()
	until := func(what string, so func() bool) {
		t.Helper()
		for range 3000 {
			c.mu.Lock()
			is := so()
			c.mu.Unlock()
			if is {
				return
			}
			time.Sleep(20 * time.Millisecond)
		}
		t.Fatalf("not so: %s", what)
	}
	until("it is cast", func() bool { return c.state == done && c.stamps != nil })
	turn := c.turn
	at := filepath.Join(folder, "lit.yaml")
	raw, err := os.ReadFile(at)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(at, []byte(strings.Replace(string(raw), "width: 60 mm", "width: 70 mm", 1)), 0o666); err != nil {
		t.Fatal(err)
	}
	d.lookSoon()
	until("the change is seen", func() bool { return c.changed && c.standing().Old })
	d.casts.look() // what has changed is seen once
	c.mu.Lock()
	if c.state != done || c.turn != turn+1 {
		t.Errorf("it is cast again, %s, in turn %d after %d", c.state, c.turn, turn)
	}
	c.mu.Unlock()
	look()
	until("it is cast anew for who looks", func() bool { return c.turn == turn+2 && c.state == done && !c.standing().Old })
	if s := c.hand.Sentence(); !strings.HasPrefix(s, "The window of 70 by 60 mm") {
		t.Errorf("it says %q", s)
	}
}
