package cli

import (
	"fmt"
	"os"
	"path/filepath"

	"emberbank/account"
	"emberbank/binder"
)

// againstJSON is in what a dossier differs from another.
type againstJSON struct {
	First  string `json:"first"`
	Second string `json:"second"`
	binder.Apart
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
	return &againstJSON{a.Folder, b.Folder, binder.Against(a, b)}, nil
}

// readDossier reads what a dossier says and was made from; folder is its own or that of its bench.
func readDossier(folder string) (*binder.Kept, error) {
	if inner := filepath.Join(folder, filepath.FromSlash(binder.Folder)); !isFile(filepath.Join(folder, binder.SaidName)) && isFolder(inner) {
		folder = inner
	}
	k := binder.Read(os.DirFS(folder), ".")
	if k == nil {
		return nil, &failure{code: ExitInput, message: "there is no dossier in " + fromHere(folder), hint: "write one: emberbank dossier DIR"}
	}
	k.Folder = fromHere(folder)
	return k, nil
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
