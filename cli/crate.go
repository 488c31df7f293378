package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/binder"
	"emberbank/crate"
	"emberbank/shelf"
)

type crateCommand struct {
	Dir    string `arg:"" optional:"" default:"."`
	Output string `short:"o"`
	Again  bool
	JSON   bool `name:"json"`
	Quiet  bool
}

func (k *crateCommand) wantsJSON() bool { return k.JSON }

// crateJSON is what `crate --json` prints.
type crateJSON struct {
	Crate string   `json:"crate"` // the folder
	Files int      `json:"files"`
	Bytes int64    `json:"bytes"`
	Stale []string `json:"stale"` // results older than what they were made from, by the command that renews them
	Left  []string `json:"left"`  // files of the bench that are in no crate, as pipes
}

func (k *crateCommand) run(c *call) error {
	root, err := filepath.Abs(k.Dir)
	if err != nil {
		return disk("looking for "+k.Dir, err)
	}
	if !isFolder(root) {
		return &failure{code: ExitInput, message: "there is no folder " + k.Dir, hint: "name the folder of a bench"}
	}
	if k.Again {
		return k.again(c, root)
	}
	target := k.Output
	if target == "" {
		target = root + "-crate"
	}
	if target, err = filepath.Abs(target); err != nil {
		return disk("looking for "+k.Output, err)
	}
	if within := slashed(root, target); fs.ValidPath(within) {
		return &failure{code: ExitInput, message: "a crate does not stand within the bench that it holds", hint: "name a folder beside the bench with -o"}
	}
	about, err := aboutOf(root)
	if err != nil {
		return err
	}
	kept, err := withDossier(os.DirFS(root))
	if err != nil {
		return disk("reading "+k.Dir, err)
	}
	d := crateJSON{Stale: []string{}, Left: []string{}}
	for _, one := range kept {
		if len(one.Changed) > 0 {
			d.Stale = append(d.Stale, one.Renew)
		}
	}
	names, left, err := crated(os.DirFS(root), kept)
	if err != nil {
		return disk("reading "+k.Dir, err)
	}
	d.Left = append(d.Left, left...)
	f, err := openToPlace(target, c.disk)
	if err != nil {
		return err
	}
	defer f.close()
	var files []crate.File
	for _, name := range names {
		one, err := copied(f, root, name)
		if err != nil {
			return err
		}
		files, d.Bytes = append(files, one), d.Bytes+one.Size
	}
	if d.Crate, err = k.finish(f, about, files, kept); err != nil {
		return err
	}
	d.Files = len(files)
	k.tell(c, &d)
	return nil
}

// finish writes what describes the crate and puts all in its place.
func (k *crateCommand) finish(f *folder, about crate.About, files []crate.File, kept []shelf.Kept) (placed string, err error) {
	citation := crate.Citation(about, Version)
	files = append(files, crate.File{Path: crate.CitationName, Size: int64(len(citation)), SHA256: shelf.Sum(citation)})
	described, err := crate.Metadata(about, files, kept, Version)
	if err != nil {
		return "", err
	}
	for _, one := range []struct {
		name string
		raw  []byte
	}{{crate.CitationName, citation}, {crate.MetadataName, described}} {
		if err := f.write(one.name, false, func(w io.Writer) error { _, err := w.Write(one.raw); return err }); err != nil {
			return "", err
		}
	}
	return f.place(nil, false)
}

func (k *crateCommand) tell(c *call, d *crateJSON) {
	switch {
	case k.JSON:
		c.printJSON(d)
		return
	case k.Quiet:
		return
	}
	account.Paragraph(c.out, "", fmt.Sprintf("%d files, %s, stand in %s, described in %s.", d.Files, bytesText(d.Bytes), d.Crate, crate.MetadataName))
	for _, name := range d.Left {
		account.Paragraph(c.out, "  ", name+" is no regular file and is left out")
	}
	if len(d.Stale) > 0 {
		fmt.Fprintln(c.out, "Older than what they were made from; in the bench's folder:")
	}
	for _, s := range d.Stale {
		fmt.Fprintf(c.out, "    %s\n", s)
	}
}

// aboutOf is what bench.yaml says for archives; an error names what it does not say.
func aboutOf(root string) (crate.About, error) {
	b, problems := bench.LoadBench(os.DirFS(root))
	if problems.Failed() {
		return crate.About{}, &failure{code: ExitInput, problems: place{root: root}.named(problems)}
	}
	about := crate.About{Name: b.Name, Says: b.Question, Licence: b.Licence, Date: b.Date}
	for _, a := range b.Authors {
		about.Authors = append(about.Authors, crate.Author(a))
	}
	if lacks := about.Lacks(); len(lacks) > 0 {
		return about, &failure{
			code: ExitInput, message: bench.BenchFile + " does not say " + strings.Join(lacks, ", ") + ", which an archive asks for",
			hint: `write there, as far as it lacks: licence: CC-BY-4.0, date: 2026-11-28, authors: [{name: "…", given: "…"}]`,
		}
	}
	return about, nil
}

// withDossier lists the results of a bench, its dossier behind those that it was composed of.
func withDossier(root fs.FS) ([]shelf.Kept, error) {
	kept, err := shelf.Of(root)
	m := shelf.Read(root, binder.Folder)
	if err != nil || m == nil {
		return kept, err
	}
	one := shelf.Kept{Kind: "dossier", Folder: binder.Folder, Title: "the dossier", Version: m.Version, Inputs: m.Inputs, Args: []string{"dossier", "."}}
	for _, f := range m.Files {
		one.Files = append(one.Files, f.Name)
	}
	one.Changed = shelf.Changed(shelf.Inside(m.Inputs), func(name string) string { return shelf.SumOf(root, name) })
	papers := binder.Papers()
	there := slices.DeleteFunc(papers, func(p binder.Paper) bool { return !slices.Contains(one.Files, p.HTML()) })
	if len(there) < len(binder.Papers()) {
		for _, p := range there {
			one.Args = append(one.Args, "--only", p.Name)
		}
	}
	one.Renew = "emberbank " + strings.Join(one.Args, " ")
	return append(kept, one), nil
}

// crated lists the files of a crate: those of the bench, and of its results those that their manifests list. Hidden files stay
// where they are, as does what describes a crate, which is written anew; left are files that cannot be copied.
func crated(root fs.FS, kept []shelf.Kept) (names, left []string, err error) {
	err = fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case name == ".":
			return nil
		case strings.HasPrefix(d.Name(), "."), d.IsDir() && d.Name() == bench.ResultsFolder:
			if d.IsDir() {
				return fs.SkipDir
			}
			return nil
		case d.IsDir(), slices.Contains([]string{crate.CitationName, crate.MetadataName, shelf.ManifestName}, name):
			return nil
		case !d.Type().IsRegular():
			left = append(left, name)
			return nil
		}
		names = append(names, name)
		return nil
	})
	if err != nil {
		return nil, nil, err
	}
	for _, k := range kept {
		if k.Folder == "" {
			continue
		}
		for _, f := range append(slices.Clone(k.Files), shelf.ManifestName) {
			if name := path.Join(k.Folder, f); fs.ValidPath(name) && shelf.SumOf(root, name) != "" {
				names = append(names, name)
			}
		}
	}
	slices.Sort(names)
	return slices.Compact(names), left, nil
}

// copied puts a file of the bench into the crate.
func copied(f *folder, root, name string) (crate.File, error) {
	from, err := os.Open(filepath.Join(root, filepath.FromSlash(name)))
	if err != nil {
		return crate.File{}, disk("reading "+name, err)
	}
	defer func() { _ = from.Close() }()
	one, sum := crate.File{Path: name}, sha256.New()
	err = f.write(name, false, func(w io.Writer) error {
		n, err := io.Copy(io.MultiWriter(w, sum), from)
		one.Size = n
		return err
	})
	one.SHA256 = hex.EncodeToString(sum.Sum(nil))
	return one, err
}
