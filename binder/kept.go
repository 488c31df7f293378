package binder

import (
	"encoding/json"
	"io/fs"
	"path"
	"slices"

	"emberbank/dossier"
	"emberbank/shelf"
)

// Kept is a dossier as it stands in a folder.
type Kept struct {
	Folder   string
	Manifest *shelf.Manifest
	Checked  Checked // empty where they cannot be read
	Says     []dossier.Said
}

// Read reads the dossier that stands in a folder; nil: there is none, or one that cannot be read.
func Read(fsys fs.FS, folder string) *Kept {
	k := &Kept{Folder: folder, Manifest: shelf.Read(fsys, folder)}
	raw, err := fs.ReadFile(fsys, path.Join(folder, SaidName))
	if k.Manifest == nil || err != nil || json.Unmarshal(raw, &k.Says) != nil {
		return nil
	}
	if raw, err = fs.ReadFile(fsys, path.Join(folder, CheckedName)); err != nil || json.Unmarshal(raw, &k.Checked) != nil || string(k.Checked.Rows) == "null" {
		k.Checked = Checked{}
	}
	return k
}

// Stands tells whether a folder holds a dossier byte for byte, and nothing else: then there is nothing to write.
func Stands(fsys fs.FS, folder string, b *Bound) bool {
	m := shelf.Read(fsys, folder)
	if m == nil || m.Version != b.Version || !slices.Equal(m.Inputs, b.Read) || len(m.Files) != len(b.Files) {
		return false
	}
	return !slices.ContainsFunc(b.Files, func(f File) bool {
		sum := shelf.Sum(f.Raw)
		return !slices.Contains(m.Files, shelf.Entry{Name: f.Name, SHA256: sum}) || shelf.SumOf(fsys, path.Join(folder, f.Name)) != sum
	})
}

// Damaged are the files of the folder that are no longer as they were written, or are gone.
func (k *Kept) Damaged(sum func(name string) string) []string {
	return shelf.Changed(k.Manifest.Files, func(name string) string { return sum(path.Join(k.Folder, name)) })
}

// Apart is in what two dossiers differ.
type Apart struct {
	Inputs []dossier.Changed `json:"files_that_differ"` // by their hashes; "": one of the two did not read it
	Says   []dossier.Changed `json:"says_otherwise"`
}

// Against compares two dossiers.
func Against(first, second *Kept) Apart {
	files := func(k *Kept) (all []dossier.Said) {
		for _, f := range k.Manifest.Inputs {
			all = append(all, dossier.Said{From: f.Name, Says: f.SHA256})
		}
		return all
	}
	return Apart{
		Inputs: append([]dossier.Changed{}, dossier.Differences(files(first), files(second))...),
		Says:   append([]dossier.Changed{}, dossier.Differences(first.Says, second.Says)...),
	}
}
