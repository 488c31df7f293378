package bench

import (
	"io/fs"
	"strings"

	"emberbank/material"
	yaml "go.yaml.in/yaml/v4"
)

// OwnMedium is a material or a composite that the files of a bench describe.
type OwnMedium struct {
	Medium material.Medium
	Entry  *material.Entry // nil: a composite
	File   string
	Path   string // in the file, such as composites[1]
}

// OwnMedia lists the materials and composites of the receiver of a run and of the bench's material files, those that hold no
// mistake, nearest first.
func OwnMedia(fsys fs.FS, run string) []OwnMedium {
	r := newReader(fsys, Options{})
	var out []OwnMedium
	for lib := r.libraryOf(run); lib != nil; lib = lib.parent {
		for _, name := range lib.names {
			if v := lib.materials[name]; v == nil {
				v = lib.composites[name]
				if m, ok := r.composite(lib, v); ok {
					out = append(out, OwnMedium{m, nil, v.file, v.path})
				}
			} else if e, ok := r.ownEntry(v); ok {
				out = append(out, OwnMedium{e.Medium(), &e, v.file, v.path})
			}
		}
	}
	return out
}

// libraryOf holds what a name may mean in the receiver of a run.
func (r *reader) libraryOf(run string) *library {
	r.loadBenchMaterials()
	lib := newLibrary(r.library)
	f := r.open(run)
	if f == nil || f.kind != "run" {
		return lib
	}
	if rec := r.part(r.readFile(f, runForm.laid(), "").get("receiver"), receiverForm.laid(), "receiver."); rec != nil {
		r.add(lib, rec)
	}
	return lib
}

// CompositeKeys are a composite as it is typed, key by key.
type CompositeKeys struct {
	Name, Matrix, Filler, FillerFraction, VoidFraction, Mixing string // "" where a key is left out
}

// Text is the entry of a file that describes the composite.
func (k CompositeKeys) Text() string {
	var parts []string
	for _, one := range [][2]string{
		{"name", k.Name},
		{"matrix", k.Matrix},
		{"filler", k.Filler},
		{"filler fraction", k.FillerFraction},
		{"void fraction", k.VoidFraction},
		{"mixing", k.Mixing},
	} {
		text := strings.TrimSpace(one[1])
		if text == "" {
			continue
		}
		if strings.ContainsAny(text, "[]{},:#&*!|>'\"%@`\n\\") && !plainShare(text) {
			text = escaped(text)
		}
		parts = append(parts, one[0]+": "+text)
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// plainShare tells whether a text is a share in percent, which needs no quotes.
func plainShare(text string) bool {
	return strings.Trim(text, "0123456789.± %") == "" && text[0] != '%'
}

// Composed is a composite before it is written down, with what it is mixed of.
type Composed struct{ Mixed, Matrix, Filler material.Medium }

// Compose mixes a composite as the receiver of a run would, from the bench's materials and the catalogue. Its mistakes have the
// words of Check; their fields are the composite's keys.
func Compose(fsys fs.FS, run string, k CompositeKeys) (Composed, Problems) {
	lib := newReader(fsys, Options{}).libraryOf(run)
	r := newReader(fsys, Options{}) // mistakes elsewhere are not the composite's
	var doc yaml.Node
	if err := yaml.NewDecoder(strings.NewReader(k.Text())).Decode(&doc); err != nil {
		return Composed{}, Problems{{Message: "the composite cannot be read: " + err.Error(), Fix: "write names and shares plainly"}}
	}
	v := r.mapping(&value{node: doc.Content[0]}, mapping(compositeForm()))
	if r.problems.Failed() {
		return Composed{}, r.sorted()
	}
	m, _ := r.composite(lib, v)
	matrix, _ := r.entry(lib, v.get("matrix"))
	filler, _ := r.entry(lib, v.get("filler"))
	if r.problems.Failed() {
		return Composed{}, r.sorted()
	}
	return Composed{m, matrix.Medium(), filler.Medium()}, nil
}
