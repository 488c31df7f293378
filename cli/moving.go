package cli

import (
	"fmt"
	"image"
	"path/filepath"
	"slices"
	"strings"

	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/heat"
	"emberbank/reel"
)

// leastMoments is from how many kept fields on a run is shown by those; with fewer it is computed again.
const leastMoments = 20

// fieldBytes bounds the fields that are held at once, bytes.
const fieldBytes = 1 << 30

// moving makes a picture that moves: the section of a run.
func (k *pictureCommand) moving(c *call, at place, s *dossier.Shown, target string, made *pictureJSON) (raw []byte, err error) {
	seconds, err := period("--over-time", k.OverTime)
	if err != nil {
		return nil, err
	}
	ending := strings.ToLower(filepath.Ext(target))
	switch {
	case !slices.Contains([]string{".svg", ".gif"}, ending):
		return nil, &failure{code: ExitUsage, message: "-o " + target + ": its ending says what it becomes", hint: "let it end in .svg or .gif"}
	case seconds > reel.MostFrames/reel.Rate:
		return nil, &failure{code: ExitUsage, message: "--over-time is " + k.OverTime, hint: fmt.Sprintf("it is at most %.0f s", reel.MostFrames/reel.Rate)}
	case !s.Moves:
		return nil, &failure{code: ExitInput, message: s.Name + " does not move", hint: "the section of a run does: name the run"}
	}
	frames, err := k.frames(c, at, s, reel.Frames(seconds), made)
	if err != nil {
		return nil, err
	}
	if ending == ".svg" {
		for i := range frames {
			if frames[i], err = k.paper.SVG(frames[i]); err != nil {
				return nil, k.noRoom(s, err)
			}
		}
		raw, err = reel.SVG(frames, seconds)
		return raw, k.noRoom(s, err)
	}
	dots := k.Dots
	if dots == 0 {
		dots = 96
	}
	images := make([]*image.RGBA, len(frames))
	bar := c.progress("drawing", k.JSON || k.Quiet)
	defer bar.done()
	for i, f := range frames {
		if c.ctx.Err() != nil {
			return nil, &failure{code: ExitStopped, message: "stopped before all pictures were drawn; nothing was written"}
		}
		bar.at(float64(i)/float64(len(frames)), fmt.Sprintf("%d of %d pictures", i, len(frames)))
		if images[i], err = k.paper.Dots(f, dots); err == nil && i == 0 {
			err = reel.Room(images[0].Bounds(), len(frames)) // all are held at once
		}
		if err != nil {
			return nil, k.noRoom(s, err)
		}
	}
	raw, err = reel.GIF(images, seconds)
	return raw, k.noRoom(s, err)
}

// frames draws a run's section from one end to the other.
func (k *pictureCommand) frames(c *call, at place, s *dossier.Shown, n int, made *pictureJSON) ([][]byte, error) {
	r := k.gathered.Find(s.Result)
	if r == nil {
		return nil, &failure{code: ExitInput, message: "there is no result " + s.Result}
	}
	if r.Stale() {
		return nil, &failure{code: ExitInput, message: s.Result + " is older than " + strings.Join(r.Changed, ", "), hint: "compute it again, in the bench's folder: " + r.Renew}
	}
	run, err := k.gathered.Computed(r)
	if err != nil {
		return nil, &failure{code: ExitInput, message: "reading the results of " + s.Result, err: err}
	}
	moments := r.Moments()
	matched := strings.Contains(r.Renew, "--match")
	if len(moments) >= leastMoments || matched && len(moments) > 1 {
		for _, m := range moments {
			f, err := k.gathered.Field(r, run, m)
			if err != nil {
				return nil, &failure{code: ExitInput, message: "reading a field", err: err}
			}
			run.Fields = append(run.Fields, f)
		}
		made.Why = fmt.Sprintf("from the %d fields that it keeps", len(moments))
	} else {
		if matched {
			return nil, &failure{code: ExitInput, message: s.Result + " was computed with a match and keeps less than two fields", hint: "give it more under fields:, then: " + r.Renew}
		}
		if err := k.again(c, at, r, run, n); err != nil {
			return nil, err
		}
		made.Why = fmt.Sprintf("computed again, since it keeps %d fields", len(moments))
	}
	made.Origin, made.Anew = r.Origin("fields"), true
	frames, err := k.gathered.Moving(r, run, k.paper.Pixels())
	if err != nil {
		return nil, &failure{code: ExitInput, message: "drawing " + s.Name, err: err}
	}
	return frames, nil
}

// again computes a run with so many fields, and takes them over.
func (k *pictureCommand) again(c *call, at place, r *dossier.Result, run *heat.Result, n int) error {
	loaded, problems := bench.LoadRun(at.fs(), r.File, bench.Options{})
	if problems.Failed() {
		return &failure{code: ExitInput, problems: at.named(problems)}
	}
	p := loaded.Problem
	if p.Steady || !(run.Ended > 0) {
		return &failure{code: ExitInput, message: r.Name() + " is steady: it does not move"}
	}
	if cells, _ := r.Number("/cells"); float64(n)*cells.Value*16 > fieldBytes {
		return &failure{code: ExitInput, message: fmt.Sprintf("%d fields of %.0f cells do not fit into memory", n, cells.Value), hint: "let it last shorter"}
	}
	p.FieldTimes, p.ProfileTimes = nil, nil
	for i := range n {
		p.FieldTimes = append(p.FieldTimes, run.Ended*float64(i)/float64(n-1))
	}
	bar := c.progress(r.Name(), k.JSON || k.Quiet)
	p.Progress = func(t float64) { bar.at(t/run.Ended, duration(t)+" of "+duration(run.Ended)) }
	result, err := heat.Run(c.ctx, p)
	bar.done()
	if c.ctx.Err() != nil {
		return &failure{code: ExitStopped, message: "stopped while the run was computed again; nothing was written"}
	}
	if err != nil {
		return &failure{code: ExitInput, message: "the run cannot be computed", err: err}
	}
	run.Grid, run.Part, run.Fields, run.Profiles = result.Grid, result.Part, result.Fields, result.Profiles
	return nil
}
