package shelf_test

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/shelf"
)

// small is a bench with a run that was computed, one that was not, a trial, a study, a comparison and things that are none of
// these.
func small(t *testing.T) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	put := func(name, text string) { files[name] = &fstest.MapFile{Data: []byte(text)} }
	put("bench.yaml", "schema: emberbank/1\nkind: bench\nruns: [b day.yaml, a.yaml]\n")
	put("a.yaml", "schema: emberbank/1\nkind: run\n")
	put("b day.yaml", "schema: emberbank/1\nkind: run\n")
	put("helper.yaml", "schema: emberbank/1\nkind: run\n")
	put("receiver.yaml", "schema: emberbank/1\nkind: receiver\n")
	put("trials/one.yaml", "schema: emberbank/1\nkind: trial\n")
	put("study.yaml", "schema: emberbank/1\nkind: study\n")
	put("broken.yaml", "schema: [")
	put("other/bench.yaml", "schema: emberbank/1\nkind: bench\n")
	put("other/run.yaml", "schema: emberbank/1\nkind: run\n")
	result := func(folder, main, text string, inputs ...string) {
		m := shelf.Manifest{Schema: shelf.ManifestSchema, Version: "9", Files: []shelf.Entry{{Name: main}}}
		for _, in := range inputs {
			m.Inputs = append(m.Inputs, shelf.Entry{Name: in, SHA256: shelf.SumOf(files, in)})
		}
		var b bytes.Buffer
		if err := m.Write(&b); err != nil {
			t.Fatal(err)
		}
		put(folder+"/"+main, text)
		put(folder+"/manifest.json", b.String())
	}
	result("results/a", "summary.json", `{"kind":"summary","title":"first","accuracy":{}}`, "a.yaml", "receiver.yaml")
	result("results/study/outcome", "study.json", `{"name":"thick or thin"}`, "study.yaml")
	put("results/a/history.csv", "x")
	put("results/c/history.csv", "y")
	result("results/c", "summary.json", `{"kind":"summary","title":"elsewhere"}`, "a.yaml")
	result("results/a-and-c", "beside.json", `{"kind":"side by side","title":"two","shared_sensors":true}`, "results/a/history.csv", "results/c/history.csv")
	result("results/others", "notes.json", `{}`)
	return files
}

func named(t *testing.T, all []shelf.Kept, name string) shelf.Kept {
	t.Helper()
	i := slices.IndexFunc(all, func(k shelf.Kept) bool { return k.Name() == name })
	if i < 0 {
		t.Fatalf("there is nothing named %s", name)
	}
	return all[i]
}

func TestResultsComeByKindAndInTheOrderOfTheBench(t *testing.T) {
	all, err := shelf.Of(small(t))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, k := range all {
		names = append(names, k.Kind+" "+k.Name())
	}
	want := []string{"run b day", "run a", "run c", "run helper", "study study", "trial trials/one", "compare a-and-c"}
	if !slices.Equal(sorted(names), sorted(want)) {
		t.Errorf("found %q", names)
	}
	if names[0] != "run b day" || names[1] != "run a" && names[1] != "run c" {
		t.Errorf("the runs of the bench come as %q", names)
	}
}

func sorted(s []string) []string { return slices.Sorted(slices.Values(s)) }

func TestWhatIsMissingIsWhatTheBenchAsksFor(t *testing.T) {
	all, err := shelf.Of(small(t))
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]bool{"b day": true, "a": false, "helper": false, "trials/one": true, "study": false} {
		if k := named(t, all, name); k.Missing() != want {
			t.Errorf("%s is missing: %v", name, !want)
		}
	}
}

func TestEachIsRenewedByItsCommand(t *testing.T) {
	all, err := shelf.Of(small(t))
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{
		"b day": `emberbank run "b day.yaml"`, "a": "emberbank run a.yaml --accuracy", "c": "emberbank run a.yaml -o results/c",
		"trials/one": "emberbank trial trials/one.yaml", "study": "emberbank study study.yaml", "a-and-c": "emberbank compare results/a results/c --shared",
	} {
		if k := named(t, all, name); k.Renew != want {
			t.Errorf("%s is renewed by %q, not by %q", name, k.Renew, want)
		}
	}
}

// TestACommandGivesAShellNothingButItsWords takes names of files that a shell would do something else with.
func TestACommandGivesAShellNothingButItsWords(t *testing.T) {
	files := fstest.MapFS{}
	wanted := map[string]string{
		"a;b.yaml": `emberbank run "a;b.yaml"`, "it's.yaml": `emberbank run "it's.yaml"`, "$(b).yaml": `emberbank run '$(b).yaml'`,
		"`c`.yaml": "emberbank run '`c`.yaml'", `d"'e.yaml`: `emberbank run 'd"'\''e.yaml'`, "größe-1_2.yaml": "emberbank run größe-1_2.yaml",
		"--output=f.yaml": "emberbank run ./--output=f.yaml", "a\t-o\tb.yaml": `emberbank run "a\t-o\tb.yaml"`, "g\n-o\x1b[2J.yaml": `emberbank run "g\n-o\x1b[2J.yaml"`,
	}
	for name := range wanted {
		files[name] = &fstest.MapFile{Data: []byte("schema: emberbank/1\nkind: run\n")}
	}
	all, err := shelf.Of(files)
	if err != nil {
		t.Fatal(err)
	}
	if len(all) != len(wanted) {
		t.Errorf("%d of %d runs found", len(all), len(wanted))
	}
	for _, k := range all {
		if k.Renew != wanted[k.File] {
			t.Errorf("%s is renewed by %s, not by %s", k.File, k.Renew, wanted[k.File])
		}
		if len(k.Args) != 2 || k.Args[0] != "run" || strings.TrimPrefix(k.Args[1], "./") != k.File || strings.HasPrefix(k.Args[1], "-") {
			t.Errorf("%s is given to the command as %q", k.File, k.Args)
		}
	}
}

func TestAChangedInputIsNamedAtEveryResultThatReadIt(t *testing.T) {
	files := small(t)
	files["receiver.yaml"] = &fstest.MapFile{Data: []byte("another")}
	delete(files, "results/c/history.csv")
	all, err := shelf.Of(files)
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string][]string{"a": {"receiver.yaml"}, "c": nil, "study": nil, "a-and-c": {"results/c/history.csv"}} {
		if k := named(t, all, name); !slices.Equal(k.Changed, want) {
			t.Errorf("of %s %q have changed", name, k.Changed)
		}
	}
}

func TestStoppedResultsAreTakenWhereThereAreNoWholeOnes(t *testing.T) {
	files := small(t)
	files["results/b day-stopped/summary.json"] = files["results/a/summary.json"]
	files["results/b day-stopped/manifest.json"] = &fstest.MapFile{Data: []byte(`{"schema":"emberbank/1","stopped":true}`)}
	all, err := shelf.Of(files)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(all, func(k shelf.Kept) bool { return k.File == "b day.yaml" })
	if k := all[i]; !k.Stopped || k.Folder != "results/b day-stopped" {
		t.Errorf("found %+v", k)
	}
}

func TestWhatHangsOnAnotherResultComesBehindIt(t *testing.T) {
	beside := shelf.Kept{Kind: "compare", Folder: "results/a-and-c", Inputs: []shelf.Entry{{Name: "results/a/history.csv"}, {Name: "results/c/history.csv"}}}
	a := shelf.Kept{Kind: "run", File: "a.yaml", Folder: "results/a", Inputs: []shelf.Entry{{Name: "results/match/match.json"}}}
	missing := shelf.Kept{Kind: "match", File: "match.yaml", Asked: true} // it would stand in results/match
	ring := []shelf.Kept{
		{Kind: "run", Folder: "results/x", Inputs: []shelf.Entry{{Name: "results/y/z"}}},
		{Kind: "run", Folder: "results/y", Inputs: []shelf.Entry{{Name: "results/x/z"}}},
	}
	var names []string
	for _, k := range shelf.InTurn(append(ring, beside, a, missing)) {
		names = append(names, k.Name())
	}
	if want := []string{"match", "a", "a-and-c", "x", "y"}; !slices.Equal(names, want) {
		t.Errorf("they come as %q", names)
	}
}

func TestRenewingGoesOnUntilNothingIsDueAndTriesEachOnce(t *testing.T) {
	state := map[string]*shelf.Kept{
		"a":     {Kind: "run", File: "a.yaml", Folder: "results/a", Changed: []string{"a.yaml"}, Args: []string{"run", "a.yaml"}},
		"sides": {Kind: "compare", Folder: "results/sides", Inputs: []shelf.Entry{{Name: "results/a/history.csv"}}, Args: []string{"compare", "results/a", "results/b"}},
		"bad":   {Kind: "study", File: "bad.yaml", Asked: true, Args: []string{"study", "bad.yaml"}},
		"lost":  {Kind: "compare", Folder: "results/lost", Changed: []string{"x"}, Args: []string{"compare"}}, // nobody knows of what
	}
	look := func() (all []shelf.Kept, err error) {
		for _, name := range []string{"bad", "sides", "lost", "a"} {
			all = append(all, *state[name])
		}
		return all, nil
	}
	var done []string
	err := shelf.Renew(look, func(k *shelf.Kept) error {
		done = append(done, k.Name())
		if k.Name() == "a" {
			state["a"].Changed, state["sides"].Changed = nil, []string{"results/a/history.csv"}
		}
		if k.Name() == "sides" {
			state["sides"].Changed = nil
		}
		return nil
	})
	if want := []string{"bad", "a", "sides"}; err != nil || !slices.Equal(done, want) {
		t.Errorf("renewed are %q, %v", done, err)
	}
	stop := errors.New("stop")
	if err := shelf.Renew(look, func(*shelf.Kept) error { return stop }); !errors.Is(err, stop) {
		t.Errorf("it ends with %v", err)
	}
}
