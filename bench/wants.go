package bench

import (
	"io/fs"
	"path"
	"strings"
)

// Wants is what a run's duty says is wanted of the water, without anything built of it: neither tables nor shapes are read.
type Wants struct {
	Title string  // of the run
	Steam bool    // steam; else heat
	Until float64 // s; 0: not said
}

// RunWants looks into a run file and the duty that it names. False: the duty states no load, or the files cannot be read so far.
func RunWants(fsys fs.FS, name string) (w Wants, ok bool) {
	r := newReader(fsys, Options{})
	f := r.open(name)
	if f == nil || f.kind != "run" {
		return w, false
	}
	v := r.readFile(f, runForm.laid(), "")
	d := v.get("duty")
	if d == nil {
		return w, false
	}
	load := r.part(d, dutyForm.laid(), "duty.").get("load")
	if load == nil || v.get("until").is("steady") {
		return w, false
	}
	return Wants{Title: titled(v, name), Steam: load.has("steam"), Until: v.get("until").number(0)}, true
}

// SeasonNames reads what a season file is called and which run it names, and no more of it. False: it is none, or holds mistakes
// there.
func SeasonNames(fsys fs.FS, name string) (title, run string, ok bool) {
	r := newReader(fsys, Options{})
	f := r.open(name)
	if f == nil || f.kind != "season" {
		return "", "", false
	}
	v := r.readFile(f, seasonForm.laid(), "")
	rv := v.get("run")
	if rv == nil {
		return "", "", false
	}
	return titled(v, name), path.Join(path.Dir(name), rv.text), true
}

// titled is the name that a file gives itself, or that of the file.
func titled(v *value, name string) string {
	return v.get("name").word(strings.TrimSuffix(path.Base(name), path.Ext(name)))
}
