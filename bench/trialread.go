package bench

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"path"
	"strings"

	"emberbank/trial"
)

// mostLogger bounds a logger's file.
const mostLogger = 4 << 30

// decode reads all loggers' files.
func (p *trialPlan) decode() []*trial.Log {
	var logs []*trial.Log
	for i := range p.setup.Sources {
		var whole *trial.Log
		for _, fv := range p.loggers[i].get("file").items() {
			src := p.setup.Sources[i]
			name := path.Join(path.Dir(p.v.file), strings.ReplaceAll(fv.text, "\\", "/"))
			src.Name = name
			l := p.decodeOne(name, fv, &src, i)
			if l == nil {
				continue
			}
			if whole == nil {
				whole = l
			} else if err := whole.Append(l); err != nil {
				p.r.wrong(fv, "it does not follow the file before: "+err.Error(), "files of one logger in the order of time", "make it a logger of its own")
			}
		}
		logs = append(logs, whole)
	}
	return logs
}

// columns looks for the channels' columns where mistakes keep the files from being read.
func (p *trialPlan) columns() {
	for i := range p.setup.Sources {
		for _, fv := range p.loggers[i].get("file").items() {
			name := path.Join(path.Dir(p.v.file), strings.ReplaceAll(fv.text, "\\", "/"))
			if !fs.ValidPath(name) {
				continue
			}
			if f, err := openFile(p.r.fsys, name); err == nil {
				src := p.setup.Sources[i]
				src.Name = name
				p.reportIn(trial.Columns(f, &src, i), name)
				_ = f.Close()
			}
		}
	}
}

// decodeOne streams one file to the decoder and takes its hash on the way.
func (p *trialPlan) decodeOne(name string, from *value, src *trial.Source, index int) *trial.Log {
	l, found := p.r.decodeLog(name, from, src, index, p.setup.Repairs)
	p.reportIn(found, name)
	return l
}

// decodeLog streams a file of rows to the decoder and notes it among what was read. What hinders that is told at from.
func (r *reader) decodeLog(name string, from *value, src *trial.Source, index int, repairs trial.Repairs) (*trial.Log, []trial.Finding) {
	if !fs.ValidPath(name) {
		r.wrong(from, "the path leaves the bench", "a file of the bench", r.stayInside(name))
		return nil, nil
	}
	f, err := openFile(r.fsys, name)
	if err != nil {
		what, fix := plainError(err), "make the file readable"
		if errors.Is(err, errNotRegular) {
			what, fix = errNotRegular.Error(), "name a file"
		}
		if errors.Is(err, fs.ErrNotExist) {
			what, fix = "there is no such file", "check the name; it is relative to the file that names it"
			if near := r.nearestFile(name); near != "" {
				fix = "did you mean \"" + near + "\"?"
			}
		}
		r.wrong(from, what, "a logger's file", fix)
		return nil, nil
	}
	defer f.Close()
	if st, err := f.Stat(); err == nil && st.IsDir() {
		r.wrong(from, "this is a folder", "a logger's file", "name a file")
		return nil, nil
	}
	sum := sha256.New()
	l, found := trial.Decode(io.TeeReader(io.LimitReader(f, mostLogger), sum), src, index, repairs)
	r.inputs = append(r.inputs, Input{Name: name, SHA256: hex.EncodeToString(sum.Sum(nil))})
	return l, found
}

// report tells findings of no certain file.
func (p *trialPlan) report(found []trial.Finding) { p.reportIn(found, "") }

// reportIn puts findings into the house form: at the line of the logger's file, or where the description speaks of it.
func (p *trialPlan) reportIn(found []trial.Finding, file string) {
	for _, f := range found {
		at := p.v
		if f.Source >= 0 && f.Source < len(p.loggers) {
			at = p.loggers[f.Source]
			if f.Channel >= 0 && f.Channel < len(p.chans[f.Source]) {
				at = p.chans[f.Source][f.Channel]
			}
			if c := at.get(f.Key); f.Key != "" && c != nil {
				at = c
			}
		}
		q := Problem{
			File: at.file, Line: at.node.Line, Column: at.node.Column, Field: at.path, Message: f.Message, Allowed: f.Allowed, Fix: f.Fix, Warning: f.Doubt,
		}
		if f.Line > 0 {
			q.File, q.Line, q.Column = file, f.Line, max(f.Column, 1)
			if file == "" && f.Source >= 0 {
				q.File = p.setup.Sources[f.Source].Name
			}
		}
		p.r.report(q)
	}
}
