package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/kernel"
	"emberbank/paper"
	"emberbank/press"
	"emberbank/shelf"
	"emberbank/verify"
)

type dossierCommand struct {
	Dir     string `arg:"" optional:"" default:"."`
	Output  string `short:"o"`
	Only    []string
	Against string
	JSON    bool `name:"json"`
	Quiet   bool

	root  string   // the bench's folder
	unset []string // letters that the PDF could not set, in sentences
}

func (k *dossierCommand) wantsJSON() bool { return k.JSON }

// papers are the documents of a dossier, by the names of their files.
var papers = []struct {
	name, what string
	compose    func(*dossier.Gathered) (*paper.Document, error)
}{
	{"report", "the report", dossier.Report},
	{"safety", "the safety officer's pages", dossier.Officer},
	{"trial-sheet", "the trial sheet", dossier.TrialSheet},
}

// checkedName is where the outside checks are kept with the program that computed them, so that they are computed once.
const checkedName = "checked-by.json"

// checkedBy is that file.
type checkedBy struct {
	Program string          `json:"program"`
	Rows    json.RawMessage `json:"rows"`
}

// dossierFile is one that a dossier holds.
type dossierFile struct {
	name string
	raw  []byte
}

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
	k.root = root
	target := k.Output
	if target == "" {
		target = filepath.Join(root, bench.ResultsFolder, "dossier")
	}
	if target, err = filepath.Abs(target); err != nil {
		return disk("looking for "+k.Output, err)
	}
	if _, problems := bench.LoadDossier(os.DirFS(root), bench.DossierFile); problems.Failed() && isFile(filepath.Join(root, bench.DossierFile)) {
		return composing(place{root: root}, problems) // told before the checks are computed
	}
	checked, err := k.checked(c, target)
	if err != nil {
		return err
	}
	g, err := dossier.Gather(os.DirFS(root), dossier.Options{Version: Version, Folder: slashed(root, target), Back: slashed(target, root), Verified: checked.Rows})
	if err != nil {
		return composing(place{root: root}, err)
	}
	files, err := k.compose(g, wanted)
	if err != nil {
		return composing(place{root: root}, err)
	}
	kept, err := json.MarshalIndent(checked, "", " ")
	if err != nil {
		return err
	}
	files = append(files, dossierFile{checkedName, append(kept, '\n')})
	placed, same, err := k.place(c, target, files, g.Read())
	if err != nil {
		return err
	}
	var other *againstJSON
	if k.Against != "" {
		if other, err = against(target, k.Against); err != nil {
			return err
		}
	}
	k.tell(c, g, placed, files, same, other)
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
	for _, p := range papers {
		names = append(names, p.name)
	}
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
	return &failure{code: ExitInput, message: "composing the dossier", err: err}
}

// checksOfProcess are those that this process computed, for benches that keep none yet: one program's come out the same.
var checksOfProcess struct {
	sync.Mutex
	checkedBy
}

// checked are the outside checks on this program: those that were kept, or, computed by another one, new ones.
func (k *dossierCommand) checked(c *call, target string) (checkedBy, error) {
	program, err := programName(kernel.Best())
	if err != nil {
		return checkedBy{}, err
	}
	var kept checkedBy
	if raw, err := os.ReadFile(filepath.Join(target, checkedName)); err == nil && json.Unmarshal(raw, &kept) == nil && kept.Program == program {
		return kept, nil
	}
	checksOfProcess.Lock()
	defer checksOfProcess.Unlock()
	if checksOfProcess.Program == program {
		return checksOfProcess.checkedBy, nil
	}
	bar := c.progress("verify", k.JSON || k.Quiet)
	rows, err := verify.Run(c.ctx, verify.Options{Progress: func(done, total int, name string) {
		bar.at(float64(done)/float64(max(total, 1)), fmt.Sprintf("%d of %d outside checks, %s", done, total, name))
	}})
	bar.done()
	if err != nil {
		return checkedBy{}, &failure{code: ExitStopped, message: "stopped before all outside checks were computed", err: err}
	}
	raw, err := json.Marshal(rows)
	if err != nil {
		return checkedBy{}, err
	}
	checksOfProcess.checkedBy = checkedBy{program, raw}
	return checksOfProcess.checkedBy, nil
}

// compose sets the papers that are wanted, and lists what they were made of that stands nowhere else.
func (k *dossierCommand) compose(g *dossier.Gathered, wanted []string) (files []dossierFile, err error) {
	all := []dossier.Said{}
	for _, p := range papers {
		if !slices.Contains(wanted, p.name) {
			continue
		}
		d, err := p.compose(g)
		if err != nil {
			return nil, err
		}
		all = append(all, dossier.SaidBy(d)...)
		var page bytes.Buffer
		if err := paper.Set(&page, d); err != nil {
			return nil, fmt.Errorf("setting %s: %w", p.what, err)
		}
		var sheets bytes.Buffer
		missing, err := press.Set(&sheets, d, press.Options{})
		if err != nil {
			return nil, fmt.Errorf("setting %s on pages: %w", p.what, err)
		}
		if len(missing) > 0 {
			k.unset = append(k.unset, fmt.Sprintf("%s.pdf: no face of the program holds %s; a frame with the letter's number stands there, and the HTML file has them", p.name, letters(missing)))
		}
		files = append(files, dossierFile{p.name + ".html", page.Bytes()}, dossierFile{p.name + ".pdf", sheets.Bytes()})
	}
	said, err := json.MarshalIndent(all, "", " ")
	if err != nil {
		return nil, err
	}
	files = append(files, dossierFile{saidName, append(said, '\n')})
	facts := g.Facts()
	for _, name := range slices.Sorted(maps.Keys(facts)) {
		files = append(files, dossierFile{name, facts[name]})
	}
	return files, nil
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
func (k *dossierCommand) place(c *call, target string, files []dossierFile, read []shelf.Entry) (placed string, same bool, err error) {
	if m := readManifest(target); m != nil && slices.Equal(m.Inputs, read) && m.Version == Version && stands(target, m, files) {
		return fromHere(target), true, nil
	}
	f, err := openToPlace(target, c.disk)
	if err != nil {
		return "", false, err
	}
	defer f.close()
	for _, one := range files {
		if err := f.write(one.name, false, func(w io.Writer) error { _, err := w.Write(one.raw); return err }); err != nil {
			return "", false, err
		}
	}
	placed, err = f.place(read, false)
	return placed, false, err
}

// stands tells whether a folder holds these files and no others.
func stands(target string, m *shelf.Manifest, files []dossierFile) bool {
	if len(m.Files) != len(files) {
		return false
	}
	for _, one := range files {
		if sum := shelf.Sum(one.raw); !slices.Contains(m.Files, shelf.Entry{Name: one.name, SHA256: sum}) || hashOfFile(filepath.Join(target, one.name)) != sum {
			return false
		}
	}
	return true
}

// dossierJSON is what `dossier --json` prints.
type dossierJSON struct {
	Results string         `json:"results"` // the folder
	Files   []string       `json:"files"`
	Same    bool           `json:"unchanged"` // nothing was written: the same stood there
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
func (k *dossierCommand) tell(c *call, g *dossier.Gathered, placed string, files []dossierFile, same bool, other *againstJSON) {
	d := dossierJSON{Against: other, Results: placed, Same: same, Unset: append([]string{}, k.unset...), Files: []string{}, Stale: []staleJSON{}, Missing: []staleJSON{}, Unread: bench.Problems{}}
	d.Unread = append(d.Unread, place{root: k.root}.named(g.Unread())...)
	for _, f := range files {
		d.Files = append(d.Files, f.name)
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
	for _, f := range files {
		if f.name != checkedName {
			fmt.Fprintf(c.out, "  %s\n", f.name)
		}
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
