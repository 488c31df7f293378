package binder_test

import (
	"bytes"
	"slices"
	"testing"
	"testing/fstest"

	"emberbank/binder"
	"emberbank/dossier"
	"emberbank/shelf"
)

// placed puts a bound dossier into a folder with its manifest.
func placed(t *testing.T, files fstest.MapFS, folder string, b *binder.Bound) {
	t.Helper()
	m := shelf.Manifest{Schema: shelf.ManifestSchema, Version: b.Version, Inputs: b.Read}
	for _, f := range b.Files {
		m.Files = append(m.Files, shelf.Entry{Name: f.Name, SHA256: shelf.Sum(f.Raw)})
		files[folder+"/"+f.Name] = &fstest.MapFile{Data: f.Raw}
	}
	var raw bytes.Buffer
	if err := m.Write(&raw); err != nil {
		t.Fatal(err)
	}
	files[folder+"/"+shelf.ManifestName] = &fstest.MapFile{Data: raw.Bytes()}
}

func bound(said string, read ...shelf.Entry) *binder.Bound {
	return &binder.Bound{Version: "9", Read: read, Files: []binder.File{{Name: "report.html", Raw: []byte(said)}, {Name: binder.SaidName, Raw: []byte(`[{"from": "a /x", "says": "` + said + `"}]`)}}}
}

func TestADossierStandsWhileNothingOfItHasChanged(t *testing.T) {
	files := fstest.MapFS{}
	b := bound("1 kWh", shelf.Entry{Name: "a", SHA256: "00"})
	placed(t, files, binder.Folder, b)
	if !binder.Stands(files, binder.Folder, b) {
		t.Error("it does not stand where it was put")
	}
	for what, other := range map[string]*binder.Bound{
		"another text": bound("2 kWh", b.Read...), "another input": bound("1 kWh", shelf.Entry{Name: "a", SHA256: "01"}),
		"another version": {Version: "10", Read: b.Read, Files: b.Files}, "fewer files": {Version: "9", Read: b.Read, Files: b.Files[:1]},
	} {
		if binder.Stands(files, binder.Folder, other) {
			t.Errorf("with %s it is said to stand", what)
		}
	}
	if binder.Stands(files, "elsewhere", b) || binder.Read(files, "elsewhere") != nil {
		t.Error("a dossier is found where there is none")
	}
	files[binder.Folder+"/report.html"] = &fstest.MapFile{Data: []byte("scribbled")}
	sum := func(name string) string { return shelf.SumOf(files, name) }
	if k := binder.Read(files, binder.Folder); k == nil || !slices.Equal(k.Damaged(sum), []string{"report.html"}) || binder.Stands(files, binder.Folder, b) {
		t.Errorf("scribbled on, it is %+v", k)
	}
}

func TestTwoDossiersDifferInWhatTheyReadAndSay(t *testing.T) {
	files := fstest.MapFS{}
	placed(t, files, "one", bound("1 kWh", shelf.Entry{Name: "a", SHA256: "00"}, shelf.Entry{Name: "b", SHA256: "00"}))
	placed(t, files, "two", bound("2 kWh", shelf.Entry{Name: "a", SHA256: "01"}, shelf.Entry{Name: "b", SHA256: "00"}))
	apart := binder.Against(binder.Read(files, "one"), binder.Read(files, "two"))
	if !slices.Equal(apart.Inputs, []dossier.Changed{{From: "a", First: "00", Second: "01"}}) || !slices.Equal(apart.Says, []dossier.Changed{{From: "a /x", First: "1 kWh", Second: "2 kWh"}}) {
		t.Errorf("they differ in %+v", apart)
	}
	if same := binder.Against(binder.Read(files, "one"), binder.Read(files, "one")); len(same.Inputs)+len(same.Says) != 0 || same.Says == nil {
		t.Errorf("one differs from itself in %+v", same)
	}
}
