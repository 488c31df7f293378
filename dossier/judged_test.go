package dossier

import (
	"bytes"
	"path"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/hazard"
	"emberbank/shelf"
)

// put puts a document of results into a bench, with the manifest that makes its folder one of results.
func put(t *testing.T, root fstest.MapFS, folder, name, text string) {
	t.Helper()
	root[path.Join(folder, name)] = &fstest.MapFile{Data: []byte(text)}
	var b bytes.Buffer
	m := shelf.Manifest{Schema: shelf.ManifestSchema, Version: "0", Files: []shelf.Entry{{Name: name}}}
	if err := m.Write(&b); err != nil {
		t.Fatal(err)
	}
	root[path.Join(folder, shelf.ManifestName)] = &fstest.MapFile{Data: b.Bytes()}
}

// TestAReportSaysWhatResultsOfEachKindSay: what a match, a comparison, a study and a season state stands in the report, with the digits
// that what is not known leaves; every number of it is where it says.
func TestAReportSaysWhatResultsOfEachKindSay(t *testing.T) {
	root := fstest.MapFS{"bench.yaml": {Data: []byte("schema: emberbank/1\nkind: bench\nname: made\nquestion: How long?\n")}}
	for _, kind := range []string{"match", "study", "season", "trial"} {
		root[kind+".yaml"] = &fstest.MapFile{Data: []byte("schema: emberbank/1\nkind: " + kind + "\n")}
	}
	put(t, root, "results/match", "match.json", `{"name":"lamps","verdict":"It may be used.","converged":true,"parameters":[{"name":"contact","paths":["receiver.tube.contact"],"factor":false,"unit":"W/(m2 K)",
		"shown":322.26,"value":322.26,"lower_95":319.65,"upper_95":324.37,"lower_95_with_grid":301.84,"upper_95_with_grid":342.62,"on_a_finer_grid":319.3}],
		"trust":[{"trial":"sun","phase":"hold","column":"T core","unit":"degC","E":0.1967,"u_num":null,"u_input":0.196,"u_D":0.903,"u_val":0.924,"within_2_u_val":true}]}`)
	put(t, root, "results/a-and-b", "compare.json", `{"title":"little and much","agreements":[{"text":"The curves agree within 1.7 K."}]}`)
	put(t, root, "results/study/outcome", "study.json", `{"name":"wool","columns":[{"name":"thick","is":"axis","unit":"mm"},{"name":"kept","is":"response","unit":"J"}],
		"variants":[{"values":[20,10030000],"meets_the_constraints":true,"cautions":["molten metal"]},{"values":[40,null],"meets_the_constraints":true}],
		"answers":[{"question":"Is there a plateau?","verdict":"plateau","sentences":["From 232 mm on."],"table":[["thick","kept"],["20 mm","10.03 MJ"]]}]}`)
	put(t, root, "results/season", "season.json", `{"name":"a year","sentence":"81 % is met.","season":{"absorbed_J":3.6e9,"lost_J":7.2e8,"lost_by_path_J":{"window":3.6e8},"residual_J":0},
		"model":{"full_runs":5,"allowed":{"heat":0.05,"block_mean_K":5}},"apart":[{"day":"day 12","heat_J":3.6e7,"heat_off":0.021,"most_off":"lost","block_mean_over_an_hour_off_K":1.4,"held":"no melt","passes":true}]}`)
	put(t, root, "results/trial", "record.json", `{"name":"lamp","length_s":3600,"interval_s":10}`)
	root["results/trial/balance.json"] = &fstest.MapFile{Data: []byte(`{"phases":[{"kind":"hold","closure":{"unit":"1","value":0.02,"u":0.01,"half_width_95":0.02},"cautions":["The jacket burns the skin."]}]}`)}
	g := gathered(t, root)
	d, err := Report(g)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.ReplaceAll(textOf(t, d), thin, " ")
	holdsAll(t, text,
		"322 ± 20 W/(m² K)", "322.3 ± 2.6 W/(m² K)", "319 W/(m² K)", // the match: what finer cells would find counts
		"0.20 K", "0.92 K", "emberbank match match.yaml --accuracy",
		"The curves agree within 1.7 K.",
		"2.79", "plateau", "From 232 mm on.", "10.03 MJ", "Variants of this study warn of molten metal",
		"81 % is met.", "1 000.00", "of that by window", "day 12", "2.1", "5.0 K",
		"In short, from the chapters below")
	if n := strings.Count(text, "It may be used."); n != 3 {
		t.Errorf("what the match comes to stands %d times, not in its chapter, in short and among the conclusions", n)
	}
	if n := strings.Count(text, hazard.Practice); n != 2 || !strings.Contains(text, "The jacket burns the skin.") {
		t.Errorf("below the cautions of the study and of the trial it says %d times who decides", n)
	}
	for _, fault := range Audit(g, d) {
		t.Error(fault)
	}
	if d, err = Slides(g); err != nil {
		t.Fatal(err)
	}
	text = textOf(t, d)
	holdsAll(t, text, "The jacket burns the skin.", "Variants of this study warn of molten metal")
	if n := strings.Count(text, hazard.Practice); n != 2 {
		t.Errorf("on the slides of the trial and of the study it says %d times who decides", n)
	}
}
