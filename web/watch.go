package web

import (
	"context"
	"io/fs"
	"maps"
	"time"
)

// lookEvery is how often files are looked at.
const lookEvery = time.Second

// watch computes a run anew, and tells of a light, when a file has changed that it was read from, whoever has written it.
func (d *Desk) watch(ctx context.Context) {
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		case <-d.written:
		}
		d.runs.look()
		d.casts.look()
	}
}

// lookSoon has the files looked at now, since some may have been written to.
func (d *Desk) lookSoon() {
	select {
	case d.written <- struct{}{}:
	default: // they will be
	}
}

// look compares the files of all runs with what they were when they were read.
func (rs *runs) look() {
	rs.mu.Lock()
	defer rs.mu.Unlock()
	if rs.shut {
		return
	}
	for _, r := range rs.all {
		r.mu.Lock()
		was := r.stamps
		r.mu.Unlock()
		if was != nil && !maps.Equal(was, rs.desk.stamps(was)) {
			rs.begin(r)
		}
	}
}

// before is what the files are that a run will be read from, as far as they are known: one that is written to while it is read
// is then seen to have changed.
func (d *Desk) before(r *run) map[string]string {
	names := ownFile(r.name)
	r.mu.Lock()
	maps.Copy(names, r.files)
	r.mu.Unlock()
	return d.stamps(names)
}

// ownFile is the file that a run's name stands for. The files of a variant are kept; another start of its study may number
// another variant so.
func ownFile(name string) map[string]string {
	if study, _, variant := variantNamed(name); variant {
		name = studyResult(study)
	}
	return map[string]string{name: ""}
}

// stamp keeps what the files are that a run was just read from: those of the run, or those that hold its mistakes; of what is
// known from before the reading, what it was then.
func (d *Desk) stamp(r *run, turn int, before map[string]string) {
	names := ownFile(r.name)
	_, _, variant := variantNamed(r.name)
	r.mu.Lock()
	if r.loaded != nil && !variant {
		for _, in := range r.loaded.Inputs {
			names[in.Name] = ""
		}
	}
	for _, p := range r.problems {
		names[p.File] = ""
	}
	r.mu.Unlock()
	now := d.stampsSince(names, before)
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.turn == turn {
		r.stamps = now
	}
}

// stamps are the sizes and times of files; one that is not there has none.
func (d *Desk) stamps(names map[string]string) map[string]string {
	out := map[string]string{}
	for name := range names {
		out[name] = ""
		if st, err := fs.Stat(d.root.FS(), name); err == nil {
			out[name] = stampOf(st)
		}
	}
	return out
}

// stampsSince are the stamps of files, of those that are known from before the ones from then.
func (d *Desk) stampsSince(names, before map[string]string) map[string]string {
	out := d.stamps(names)
	for name, was := range before {
		if _, wanted := out[name]; wanted {
			out[name] = was
		}
	}
	return out
}
