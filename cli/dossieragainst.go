package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/shelf"
)

// saidName is the file of a dossier that lists what its papers say, each with its place.
const saidName = "said.json"

// againstJSON is in what a dossier differs from another.
type againstJSON struct {
	First  string            `json:"first"`
	Second string            `json:"second"`
	Inputs []dossier.Changed `json:"files_that_differ"` // by their hashes; "": one of the two did not read it
	Says   []dossier.Changed `json:"says_otherwise"`
}

// keptDossier is a dossier as it stands in a folder.
type keptDossier struct {
	folder string
	read   []dossier.Said // files with their hashes
	says   []dossier.Said
}

// against compares the dossier in a folder with another one.
func against(target, other string) (*againstJSON, error) {
	a, err := readDossier(target)
	if err != nil {
		return nil, err
	}
	b, err := readDossier(other)
	if err != nil {
		return nil, err
	}
	return &againstJSON{
		First: a.folder, Second: b.folder,
		Inputs: append([]dossier.Changed{}, dossier.Differences(a.read, b.read)...), Says: append([]dossier.Changed{}, dossier.Differences(a.says, b.says)...),
	}, nil
}

// readDossier reads what a dossier says and was made from; folder is its own or that of its bench.
func readDossier(folder string) (*keptDossier, error) {
	if inner := filepath.Join(folder, bench.ResultsFolder, "dossier"); !isFile(filepath.Join(folder, saidName)) && isFolder(inner) {
		folder = inner
	}
	k := &keptDossier{folder: fromHere(folder)}
	raw, err := os.ReadFile(filepath.Join(folder, saidName))
	m := readManifest(folder)
	if err != nil || m == nil || json.Unmarshal(raw, &k.says) != nil {
		return nil, &failure{code: ExitInput, message: "there is no dossier in " + k.folder, hint: "write one: emberbank dossier DIR"}
	}
	k.read = asSaid(m.Inputs)
	return k, nil
}

func asSaid(files []shelf.Entry) (out []dossier.Said) {
	for _, f := range files {
		out = append(out, dossier.Said{From: f.Name, Says: f.SHA256})
	}
	return out
}

// mostDiffer is how many differences are printed; all are in the JSON document.
const mostDiffer = 40

// tell prints the differences.
func (d *againstJSON) tell(c *call) {
	if len(d.Inputs)+len(d.Says) == 0 {
		account.Paragraph(c.out, "", fmt.Sprintf("%s and %s were made from the same and say the same.", d.First, d.Second))
		return
	}
	account.Paragraph(c.out, "", fmt.Sprintf("First: %s. Second: %s.", d.First, d.Second))
	if len(d.Inputs) > 0 {
		fmt.Fprintln(c.out, "Files that differ:")
	}
	for _, i := range d.Inputs {
		what := "of both, with other content"
		switch {
		case i.First == "":
			what = "of the second alone"
		case i.Second == "":
			what = "of the first alone"
		}
		account.Paragraph(c.out, "  ", i.From+": "+what)
	}
	if len(d.Says) > 0 {
		fmt.Fprintln(c.out, "They say otherwise:")
	}
	for i, s := range d.Says {
		if i == mostDiffer {
			fmt.Fprintf(c.out, "  … and %d more: --json lists all\n", len(d.Says)-mostDiffer)
			break
		}
		account.Paragraph(c.out, "  ", fmt.Sprintf("%s: %s, %s", s.From, orNothing(s.First), orNothing(s.Second)))
	}
}

func orNothing(s string) string {
	if s == "" {
		return "nothing"
	}
	return s
}
