package web

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// floats reads what is sent as numbers of four bytes.
func floats(t *testing.T, raw string) []float64 {
	t.Helper()
	if len(raw)%4 != 0 {
		t.Fatalf("%d bytes are no numbers of four", len(raw))
	}
	out := make([]float64, len(raw)/4)
	for i := range out {
		out[i] = float64(math.Float32frombits(binary.LittleEndian.Uint32([]byte(raw[4*i:]))))
	}
	return out
}

func TestCellsAreThoseThatTheRunIsComputedOn(t *testing.T) {
	_, ask := opened(t)
	r := settled(t, ask, "trial-1.yaml")
	code, raw := ask("GET", "run/cells", of("trial-1.yaml"), "")
	var c cellsBody
	if err := json.Unmarshal([]byte(raw), &c); code != 200 || err != nil {
		t.Fatalf("%d %v: %.300s", code, err, raw)
	}
	cells := 1
	for a := range c.Lines {
		cells *= len(c.Lines[a]) - 1
		if got := c.Lines[a][len(c.Lines[a])-1] - c.Lines[a][0]; math.Abs(got-r.Size[a]) > 1e-9 || math.Abs(c.Lines[a][0]-r.Origin[a]) > 1e-9 {
			t.Errorf("along axis %d the lines reach over %g m from %g m, the receiver over %g from %g", a, got, c.Lines[a][0], r.Size[a], r.Origin[a])
		}
	}
	sum, solid := 0, 0
	for i := 0; i < len(c.Filled); i += 2 {
		sum += c.Filled[i]
		if p := c.Filled[i+1]; p >= len(c.Parts) || p < -1 {
			t.Fatalf("a cell is filled by part %d of %d", p, len(c.Parts))
		} else if p >= 0 {
			solid += c.Filled[i]
		}
	}
	if c.Answer != r.Answer || sum != cells || solid < r.Cells/2 || solid > cells {
		t.Errorf("answer %d of %d: %d cells on the lines, %d filled, %d solid of %d", c.Answer, r.Answer, cells, sum, solid, r.Cells)
	}
	for a, size := range r.Block { // the part of that name is the block
		if p := c.Parts[0]; p.Role != "block" || math.Abs(p.Max[a]-p.Min[a]-size) > 1e-9 {
			t.Errorf("along axis %d the first part is %+v", a, p)
		}
	}
	passes := 0
	for _, tube := range c.Tubes {
		if tube.Kind == "pass" {
			passes++
		}
		if tube.Outer <= 0 || tube.Inner <= 0 || tube.Inner >= tube.Outer {
			t.Errorf("a tube is %+v", tube)
		}
	}
	if passes != len(r.Passes) {
		t.Errorf("%d stretches are passes, want %d", passes, len(r.Passes))
	}
	if len(c.Moments) < 10 || c.Moments[0] != 0 {
		t.Errorf("fields are kept at %v", c.Moments)
	}
}

func TestAFieldIsThatOfItsMoment(t *testing.T) {
	_, ask := opened(t)
	settled(t, ask, "trial-1.yaml")
	_, raw := ask("GET", "run/cells", of("trial-1.yaml"), "")
	var c cellsBody
	if err := json.Unmarshal([]byte(raw), &c); err != nil {
		t.Fatal(err)
	}
	n := 0
	for i := 0; i < len(c.Filled); i += 2 {
		n += c.Filled[i]
	}
	at := func(time string) []float64 {
		t.Helper()
		code, raw := ask("GET", "run/cells/field", url.Values{"name": {"trial-1.yaml"}, "time": {time}}, "")
		if code != 200 {
			t.Fatalf("%d %s", code, raw)
		}
		return floats(t, raw)
	}
	first, later := at("0"), at("3600")
	if len(first) != 2*n || len(later) != 2*n {
		t.Fatalf("%d and %d numbers for %d cells", len(first), len(later), n)
	}
	hotter := 0
	for i := range n {
		if !math.IsNaN(first[i]) && math.Abs(first[i]-20) > 1e-3 {
			t.Fatalf("cell %d begins at %g °C, not at 20", i, first[i])
		}
		if later[i] > first[i]+1 {
			hotter++
		}
		if x := later[n+i]; !(x >= 0 && x <= 1) {
			t.Fatalf("cell %d has melted by %g", i, x)
		}
	}
	if hotter < n/4 {
		t.Errorf("after an hour of heat only %d of %d cells are hotter", hotter, n)
	}
	if code, raw := ask("GET", "run/cells/field", url.Values{"name": {"trial-1.yaml"}, "answer": {"99"}}, ""); code != 409 || !strings.Contains(raw, "another answer has come") {
		t.Errorf("of an answer that is not at hand: %d %s", code, raw)
	}
	code, raw := ask("GET", "run/cells/water", url.Values{"name": {"trial-1.yaml"}, "time": {"3600"}}, "")
	var w waterBody
	if err := json.Unmarshal([]byte(raw), &w); code != 200 || err != nil || len(w.Circuits) == 0 || len(w.Circuits[0].Stretches) == 0 {
		t.Fatalf("the water: %d %v %s", code, err, raw)
	}
	length := 0.0
	for _, tube := range c.Tubes {
		for a := range tube.From {
			length += math.Abs(tube.To[a] - tube.From[a])
		}
	}
	reached := 0.0
	for _, circuit := range w.Circuits {
		reached += circuit.Stretches[len(circuit.Stretches)-1].To
	}
	if math.Abs(reached-length) > 1e-6 {
		t.Errorf("the water stands along %g m, the tubes are %g m long", reached, length)
	}
}

// What a script has shown the tag of is not sent to it again, until another answer has come.
func TestAFieldIsNotSentTwice(t *testing.T) {
	_, root := copied(t)
	d := Open(root, Options{Version: "under test"})
	t.Cleanup(d.Close)
	mux := http.NewServeMux()
	d.api(mux)
	get := func(path, tag string) (int, http.Header, string) {
		r := httptest.NewRequest(http.MethodGet, "/api/"+path, nil)
		if tag != "" {
			r.Header.Set("If-None-Match", tag)
		}
		w := httptest.NewRecorder()
		mux.ServeHTTP(w, r)
		return w.Code, w.Header(), w.Body.String()
	}
	settled(t, func(_, path string, q url.Values, _ string) (int, string) {
		code, _, raw := get(path+"?"+q.Encode(), "")
		return code, raw
	}, "trial-1.yaml")
	for _, path := range []string{"run/cells?name=trial-1.yaml", "run/cells/field?name=trial-1.yaml&time=3600"} {
		code, h, raw := get(path, "")
		tag := h.Get("ETag")
		if code != 200 || tag == "" || len(raw) < 1000 {
			t.Fatalf("%s: %d, tag %q, %d bytes", path, code, tag, len(raw))
		}
		if code, _, raw := get(path, tag); code != 304 || raw != "" {
			t.Errorf("%s once more: %d, %d bytes", path, code, len(raw))
		}
		if code, _, _ := get(path, `"0"`); code != 200 {
			t.Errorf("%s under another tag: %d", path, code)
		}
	}
	if _, h, _ := get("run/cells/field?name=trial-1.yaml&time=3630", ""); h.Get("Content-Type") != octets || h.Get("Field-Time") != "3600" || h.Get("Answer") == "" || !ruled(h.Get("Rule")) {
		t.Errorf("a field between two that are kept comes as %v", h)
	}
}

// ruled tells whether a rule of temperature spans this run.
func ruled(s string) bool {
	var low, high, tint, isotherm float64
	n, err := fmt.Sscan(s, &low, &high, &tint, &isotherm)
	return err == nil && n == 4 && low <= 20 && high > 40 && tint > 0 && isotherm > tint
}
