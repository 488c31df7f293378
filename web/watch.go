package web

import (
	"context"
	"fmt"
	"io/fs"
	"maps"
	"time"
)

// lookEvery is how often files are looked at.
const lookEvery = time.Second

// watch computes a run anew when a file has changed that it was read from, whoever has written it.
func (d *Desk) watch(ctx context.Context) {
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			d.runs.look()
		}
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

// stamp keeps what the files are that a run was just read from: those of the run, or those that hold its mistakes.
func (d *Desk) stamp(r *run, turn int) {
	names := map[string]string{r.name: ""}
	study, _, variant := variantNamed(r.name)
	if variant { // its files are kept; another start of the study may number another variant so
		names = map[string]string{studyResult(study): ""}
	}
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
	now := d.stamps(names)
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
			out[name] = fmt.Sprint(st.Size(), " ", st.ModTime().UnixNano())
		}
	}
	return out
}
