package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"emberbank/account"
	"emberbank/shelf"
)

// errNoCommand keeps a result from being computed again.
var errNoCommand = errors.New("its folder does not say by which command it was made")

// again computes every result of a crate anew, its dossier last, from its inputs alone and in a folder of its own, and compares the
// bytes.
func (k *crateCommand) again(c *call, root string) error {
	kept, err := withDossier(os.DirFS(root))
	if err != nil {
		return disk("reading "+k.Dir, err)
	}
	names, _, err := crated(os.DirFS(root), nil)
	if err != nil {
		return disk("reading "+k.Dir, err)
	}
	work, err := os.MkdirTemp("", "emberbank-again-")
	if err != nil {
		return disk("making a folder to compute in", err)
	}
	defer func() { _ = os.RemoveAll(work) }()
	for _, name := range names {
		if err := copyInto(work, root, name); err != nil {
			return err
		}
	}
	d := againJSON{Results: []againResult{}, Same: true}
	made := slices.DeleteFunc(kept, func(k shelf.Kept) bool { return k.Folder == "" })
	for _, one := range shelf.InTurn(made) {
		r := againResult{Folder: one.Folder, Command: one.Renew}
		if r.Apart, err = anew(c, root, work, &one); err != nil {
			if c.ctx.Err() != nil {
				return &failure{code: ExitStopped, message: "stopped before all results were computed again", err: err}
			}
			r.Failed = err.Error()
		}
		d.Same = d.Same && r.Failed == "" && len(r.Apart) == 0
		d.Results = append(d.Results, r)
		if !k.JSON && !k.Quiet {
			r.say(c.out)
		}
	}
	switch {
	case k.JSON:
		c.printJSON(d)
	case !k.Quiet && d.Same:
		fmt.Fprintln(c.out, "Every file is as it was, byte for byte.")
	}
	if !d.Same {
		return &failure{code: ExitFailed, message: "not every result came out as it stands in the crate", hint: "the same bytes are promised for one version, platform and kernel; see what each result's manifest says"}
	}
	return nil
}

// againJSON is what `crate --again --json` prints.
type againJSON struct {
	Same    bool          `json:"same"`
	Results []againResult `json:"results"`
}

type againResult struct {
	Folder  string   `json:"folder"`
	Command string   `json:"command"`
	Apart   []string `json:"apart"`            // files that came out otherwise
	Failed  string   `json:"failed,omitempty"` // why it could not be computed
}

func (r *againResult) say(w io.Writer) {
	switch {
	case r.Failed != "":
		account.Paragraph(w, "", r.Command+": "+r.Failed)
	case len(r.Apart) > 0:
		account.Paragraph(w, "", r.Command+": otherwise are "+strings.Join(r.Apart, ", "))
	default:
		account.Paragraph(w, "", r.Command+": the same")
	}
}

// anew computes one result in the folder work and names the files that came out otherwise than those in root.
func anew(c *call, root, work string, one *shelf.Kept) (apart []string, err error) {
	if !one.Renewable() {
		return nil, errNoCommand
	}
	if stopped, err := c.commanded(work, one.Args); err != nil && (!stopped || !one.Stopped) {
		return nil, err
	}
	was, is := shelf.Read(os.DirFS(root), one.Folder), shelf.Read(os.DirFS(work), one.Folder)
	if was == nil || is == nil {
		return nil, errors.New("it left no results in " + one.Folder)
	}
	for _, f := range was.Files {
		if !slices.Contains(is.Files, f) {
			apart = append(apart, f.Name)
		}
	}
	return apart, nil
}

// copyInto copies a file of one folder to the same place in another.
func copyInto(to, from, name string) error {
	raw, err := os.ReadFile(filepath.Join(from, filepath.FromSlash(name)))
	if err != nil {
		return disk("reading "+name, err)
	}
	at := filepath.Join(to, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(at), 0o777); err != nil {
		return disk("making "+filepath.Dir(at), err)
	}
	if err := os.WriteFile(at, raw, 0o666); err != nil {
		return disk("writing "+at, err)
	}
	return nil
}
