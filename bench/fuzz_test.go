package bench

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
)

// seeds gives every file that the tests hold.
func seeds(f *testing.F, pattern ...string) {
	n := 0
	for _, p := range pattern {
		files, _ := filepath.Glob(p)
		for _, name := range files {
			data, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(data)
			n++
		}
	}
	if n == 0 {
		f.Fatal("no files to start from")
	}
}

// FuzzFilesGiveProblemsOrValues feeds any text as a file of any kind, beside good neighbours: it is read without
// a panic, and gives either a usable problem or a mistake with a place and a fix.
func FuzzFilesGiveProblemsOrValues(f *testing.F) {
	seeds(f, "scenario/*.yaml", "testdata/abilities/*.yaml", "testdata/mistakes/*.yaml", "testdata/upgrade/*.yaml", "testdata/studies/*.yaml", "../examples/benchmark-b1/*.yaml",
		"../examples/benchmark-b2/*.yaml")
	receiver, err := os.ReadFile("testdata/mistakes/parts/receiver.yaml")
	if err != nil {
		f.Fatal(err)
	}
	table, err := os.ReadFile("scenario/bakehouse.csv")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		fsys := fstest.MapFS{
			"file.yaml": {Data: data}, "run.yaml": {Data: []byte(tubesRun)},
			"receiver.yaml": {Data: receiver}, "parts/receiver.yaml": {Data: receiver},
			"bakehouse.csv": {Data: table}, "parts/map.csv": {Data: []byte("height [mm],50,150\n100,0,1\n")},
		}
		ps := Check(fsys, "file.yaml")
		run, failed := LoadRun(fsys, "file.yaml", Options{})
		if (run == nil) != failed.Failed() {
			t.Fatalf("a run and mistakes at once, or neither: %v", failed)
		}
		if ps.Failed() && run != nil {
			t.Fatalf("check finds mistakes that loading does not:\n%s", ps)
		}
		for _, p := range append(ps, failed...) {
			if p.Message == "" || p.File == "" {
				t.Fatalf("a mistake without words or place: %+v", p)
			}
			if strings.Contains(p.Message, "\n") {
				t.Fatalf("a message breaks its line: %q", p.Message)
			}
		}
		if run == nil {
			return
		}
		sound(t, run)
	})
}

// sound checks what the core relies on.
func sound(t *testing.T, run *Run) {
	p := &run.Problem
	rec := &p.Receiver
	if len(rec.Surfaces) < 6 {
		t.Fatalf("%d surfaces", len(rec.Surfaces))
	}
	for _, part := range rec.Parts {
		for a := range 3 {
			if !(part.Box.Min[a] < part.Box.Max[a]) {
				t.Fatalf("part %q is empty: %+v", part.Name, part.Box)
			}
		}
		if part.Medium >= len(rec.Media) || part.Medium < 0 && (part.Surface < 0 || part.Surface >= len(rec.Surfaces)) {
			t.Fatalf("part %q has neither medium nor surface", part.Name)
		}
	}
	for i, s := range rec.Passes {
		if s.Line == 0 && !(s.Inner > 0 && s.Inner <= s.Outer) {
			t.Fatalf("pass %d has diameters %g and %g", i, s.Inner, s.Outer)
		}
	}
	if len(p.Duty.Water) != len(rec.Circuits) || len(p.Duty.Switches.Water) != len(rec.Circuits) ||
		len(p.Duty.Switches.FlowShare) != len(rec.Circuits) || len(p.Duty.Heaters) != len(rec.Heaters) {
		t.Fatal("the duty does not fit the receiver")
	}
	for i, at := range p.Output {
		if i == 0 && at != 0 || i > 0 && at <= p.Output[i-1] {
			t.Fatalf("output times do not rise: %v", p.Output)
		}
	}
	if !(p.Initial > 0) || !p.Steady && !(p.Until > 0) {
		t.Fatalf("starts at %g K and lasts %g s", p.Initial, p.Until)
	}
	for _, m := range rec.Media {
		if !(m.Density > 0) || !(m.HeatCapacity.At(300) > 0) || !(m.Conductivity[1].At(300) > 0) {
			t.Fatalf("medium %q has density %g", m.Name, m.Density)
		}
	}
}

// FuzzTablesGiveProblemsOrValues feeds any text as a CSV table.
func FuzzTablesGiveProblemsOrValues(f *testing.F) {
	seeds(f, "scenario/*.csv", "testdata/mistakes/parts/*.csv", "testdata/abilities/parts/*.csv")
	text := "schema: emberbank/1\nkind: duty\nambient: {file: t.csv, column: \"ambient [degC]\"}\nlight: {power: 1 W, map: {table: t.csv}}\n"
	f.Fuzz(func(t *testing.T, data []byte) {
		ps := Check(fstest.MapFS{"duty.yaml": {Data: []byte(text)}, "t.csv": {Data: data}}, "duty.yaml")
		for _, p := range ps {
			if p.Message == "" || p.Fix == "" || strings.Contains(p.Message, "\n") {
				t.Fatalf("a mistake without words or fix: %+v", p)
			}
		}
	})
}
