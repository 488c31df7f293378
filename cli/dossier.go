package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/binder"
	"emberbank/dossier"
	"emberbank/kernel"
	"emberbank/verify"
)

type dossierCommand struct {
	Dir     string `arg:"" optional:"" default:"."`
	Output  string `short:"o"`
	Only    []string
	Against string
	Renew   bool
	Font    []string `sep:"none"`
	JSON    bool     `name:"json"`
	Quiet   bool

	root    string // the bench's folder
	renewed []renewedJSON
	checks  []byte // rows of the outside checks that this process has computed; nil: none
}

func (k *dossierCommand) wantsJSON() bool { return k.JSON }

func (k *dossierCommand) run(c *call) error {
	wanted, err := k.wanted()
	if err != nil {
		return err
	}
	root, err := filepath.Abs(k.Dir)
	if err != nil {
		return disk("looking for "+k.Dir, err)
	}
	if !isFolder(root) {
		return &failure{code: ExitInput, message: "there is no folder " + k.Dir, hint: "name the folder of a bench"}
	}
	if !isFile(filepath.Join(root, bench.BenchFile)) { // told before the checks are computed
		return &failure{
			code: ExitInput, message: k.Dir + " is a folder without a " + bench.BenchFile,
			hint: "name the folder of a bench, or make one with: emberbank new DIR",
		}
	}
	k.root = root
	target := k.Output
	if target == "" {
		target = filepath.Join(root, filepath.FromSlash(binder.Folder))
	}
	if target, err = filepath.Abs(target); err != nil {
		return disk("looking for "+k.Output, err)
	}
	if _, problems := bench.LoadDossier(os.DirFS(root), bench.DossierFile); problems.Failed() && isFile(filepath.Join(root, bench.DossierFile)) {
		return composing(place{root: root}, problems) // told before the checks are computed
	}
	faces, err := k.faces()
	if err != nil {
		return err
	}
	if k.Renew {
		if err := k.renew(c); err != nil {
			return err
		}
	}
	checked, err := k.checked(c, target)
	if err != nil {
		return err
	}
	g, err := dossier.Gather(os.DirFS(root), dossier.Options{Version: Version, Folder: slashed(root, target), Back: slashed(target, root), Verified: checked.Rows})
	if err != nil {
		return composing(place{root: root}, err)
	}
	bar := c.progress("dossier", k.JSON || k.Quiet)
	bound, err := binder.Bind(c.ctx, g, binder.Options{Only: wanted, Faces: faces, Checked: checked, Step: func(what string) { bar.at(0, what) }})
	bar.done()
	if err != nil {
		return composing(place{root: root}, err)
	}
	placed, same, err := k.place(c, target, bound)
	if err != nil {
		return err
	}
	var other *againstJSON
	if k.Against != "" {
		if other, err = against(target, k.Against); err != nil {
			return err
		}
	}
	k.tell(c, g, placed, bound, same, other)
	return nil
}

// slashed is the way from one folder to another, with forward slashes; "" where there is none.
func slashed(from, to string) string {
	rel, err := filepath.Rel(from, to)
	if err != nil {
		return ""
	}
	return filepath.ToSlash(rel)
}

// wanted are the papers that are asked for: all where none is named.
func (k *dossierCommand) wanted() (names []string, err error) {
	names = binder.Names()
	for _, only := range k.Only {
		if !slices.Contains(names, only) {
			return nil, &failure{code: ExitUsage, message: "--only is " + only, hint: "there are " + strings.Join(names, ", ")}
		}
	}
	if len(k.Only) > 0 {
		return k.Only, nil
	}
	return names, nil
}

// composing words what went wrong while papers were composed: mistakes in the bench's files with their places.
func composing(at place, err error) error {
	var problems bench.Problems
	if errors.As(err, &problems) {
		return &failure{code: ExitInput, problems: at.named(problems)}
	}
	if errors.Is(err, context.Canceled) {
		return &failure{code: ExitStopped, message: "stopped before the dossier was composed", hint: "what stood there before is untouched; start the same command again"}
	}
	return &failure{code: ExitInput, message: "composing the dossier", err: err}
}

// checksOfProcess are those that this process computed, for benches that keep none yet: one program's come out the same.
var checksOfProcess struct {
	sync.Mutex
	binder.Checked
}

// checked are the outside checks on this program: those that were kept, or, computed by another one, new ones.
func (k *dossierCommand) checked(c *call, target string) (binder.Checked, error) {
	program, err := programName(kernel.Best())
	if err != nil {
		return binder.Checked{}, err
	}
	if kept := binder.Read(os.DirFS(target), "."); kept != nil && kept.Checked.Program == program {
		return kept.Checked, nil
	}
	if k.checks != nil {
		return binder.Checked{Program: program, Rows: k.checks}, nil
	}
	checksOfProcess.Lock()
	defer checksOfProcess.Unlock()
	if checksOfProcess.Program == program {
		return checksOfProcess.Checked, nil
	}
	bar := c.progress("verify", k.JSON || k.Quiet)
	rows, err := c.outside(verify.Options{Progress: func(done, total int, name string) {
		bar.at(float64(done)/float64(max(total, 1)), fmt.Sprintf("%d of %d outside checks, %s", done, total, name))
	}})
	bar.done()
	if err != nil {
		return binder.Checked{}, &failure{code: ExitStopped, message: "stopped before all outside checks were computed", err: err}
	}
	raw, err := json.Marshal(rows)
	if err != nil {
		return binder.Checked{}, err
	}
	checksOfProcess.Checked = binder.Checked{Program: program, Rows: raw}
	return checksOfProcess.Checked, nil
}

// mostLetters is how many letters that cannot be set are named.
const mostLetters = 12

// letters names letters.
func letters(missing []rune) string {
	text := string(missing[:min(len(missing), mostLetters)])
	if n := len(missing) - mostLetters; n > 0 {
		text += fmt.Sprintf(" and %d more", n)
	}
	return text
}

// place puts the files into their folder, unless the same stand there already.
func (k *dossierCommand) place(c *call, target string, b *binder.Bound) (placed string, same bool, err error) {
	if there := os.DirFS(target); binder.Stands(there, ".", b) {
		return fromHere(target), true, nil
	}
	f, err := openToPlace(target, c.disk)
	if err != nil {
		return "", false, err
	}
	defer f.close()
	for _, one := range b.Files {
		if err := f.write(one.Name, false, func(w io.Writer) error { _, err := w.Write(one.Raw); return err }); err != nil {
			return "", false, err
		}
	}
	placed, err = f.place(b.Read, false)
	return placed, false, err
}

// dossierJSON is what `dossier --json` prints.
type dossierJSON struct {
	Results string         `json:"results"` // the folder
	Files   []string       `json:"files"`
	Same    bool           `json:"unchanged"`         // nothing was written: the same stood there
	Renewed []renewedJSON  `json:"renewed,omitempty"` // in the order in which they were computed
	Unset   []string       `json:"letters_not_set"`
	Stale   []staleJSON    `json:"stale"`
	Missing []staleJSON    `json:"missing"`
	Unread  bench.Problems `json:"mistakes"` // in files of runs, for which the documents lack what hangs on them
	Against *againstJSON   `json:"against,omitempty"`
}

// staleJSON is a result that is not as it should be.
type staleJSON struct {
	Kind    string   `json:"kind"`
	File    string   `json:"file"`
	Changed []string `json:"changed"`
	Renew   string   `json:"renew"`
}

// tell says what stands where, and what is stale or missing, with the command that renews it.
func (k *dossierCommand) tell(c *call, g *dossier.Gathered, placed string, b *binder.Bound, same bool, other *againstJSON) {
	d := dossierJSON{Against: other, Renewed: k.renewed, Results: placed, Same: same, Unset: []string{}, Files: []string{}, Stale: []staleJSON{}, Missing: []staleJSON{}, Unread: bench.Problems{}}
	d.Unread = append(d.Unread, place{root: k.root}.named(g.Unread())...)
	for _, f := range b.Files {
		d.Files = append(d.Files, f.Name)
	}
	for _, u := range b.Unset {
		d.Unset = append(d.Unset, fmt.Sprintf("%s: no face of the program holds %s; a frame with the letter's number stands there, and the HTML file has them; --font FILE takes a TrueType face that has them", u.File, letters(u.Letters)))
	}
	for _, r := range g.Kept {
		if r.Stale() {
			d.Stale = append(d.Stale, staleJSON{r.Kind, r.File, r.Changed, r.Renew})
		}
	}
	for _, m := range g.Missing {
		d.Missing = append(d.Missing, staleJSON{m.Kind, m.File, []string{}, m.Renew})
	}
	switch {
	case k.JSON:
		c.printJSON(d)
		return
	case k.Quiet:
		return
	case same:
		fmt.Fprintf(c.out, "Nothing has changed: the dossier stands in %s\n", placed)
	default:
		fmt.Fprintf(c.out, "The dossier stands in %s\n", placed)
	}
	for _, name := range d.Files {
		fmt.Fprintf(c.out, "  %s\n", name)
	}
	d.say(c.out)
	if other != nil {
		other.tell(c)
	}
}

// say prints what could not be read, what is stale and what is missing.
func (d *dossierJSON) say(w io.Writer) {
	if len(d.Unread) > 0 {
		fmt.Fprintln(w, "Left out, since files of runs hold mistakes:")
	}
	for _, p := range d.Unread {
		fmt.Fprintln(w, p)
	}
	for _, s := range d.Unset {
		account.Paragraph(w, "", s+".")
	}
	if len(d.Stale) > 0 {
		fmt.Fprintln(w, "Older than what they were computed from:")
	}
	for _, s := range d.Stale {
		account.Paragraph(w, "  ", fmt.Sprintf("%s %s: %s changed since. In the bench's folder:", s.Kind, s.File, strings.Join(s.Changed, ", ")))
		fmt.Fprintf(w, "    %s\n", s.Renew)
	}
	if len(d.Missing) > 0 {
		fmt.Fprintln(w, "Missing. In the bench's folder:")
	}
	for _, s := range d.Missing {
		fmt.Fprintf(w, "    %s\n", s.Renew)
	}
}
