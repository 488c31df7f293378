package bench

import (
	"fmt"
	"maps"
	"slices"
)

// Setting is one change of a run's inputs. All settings of a variant, with the run's files, are what it is built from,
// on this machine or another.
type Setting struct {
	Path   string
	Factor bool    // Value multiplies what stands at the path and below it, in place of replacing it
	First  bool    // Value is how many of what the path lists are kept: the first as they are numbered
	Value  float64 // SI
	Text   string  // stands at the path in place of Value; "": Value does
	Under  bool    // it is made before those that are not, such as by a match: see Options.Under
	Half   float64 // SI, half-width at 95 % of Value; 0: not said
	With   string  // name of what the path moves with: see Options.Alike; "": it stands alone
}

// OptionsOf gathers settings as LoadRun takes them.
func OptionsOf(settings []Setting) Options {
	opt := Options{Override: map[string]float64{}, Factor: map[string]float64{}, Instead: map[string]string{}, First: map[string]int{}}
	for _, s := range settings {
		opt := &opt
		if s.Under {
			if opt.Under == nil {
				opt.Under = &Options{Override: map[string]float64{}, Factor: map[string]float64{}}
			}
			opt = opt.Under
		}
		switch {
		case s.Text != "":
			opt.Instead[s.Path] = s.Text
		case s.First:
			opt.First[s.Path] = int(s.Value)
		case s.Factor:
			opt.Factor[s.Path] = s.Value
			opt.known(FactorPath(s.Path), s.With, s.Half)
		default:
			opt.Override[s.Path] = s.Value
			opt.known(s.Path, s.With, s.Half)
		}
	}
	return opt
}

// known says how well a change is known, where that is said, and with what it moves.
func (o *Options) known(path, with string, half float64) {
	if with != "" {
		o.together(path, with)
		path = with
	}
	if half > 0 {
		if o.Half == nil {
			o.Half = map[string]float64{}
		}
		o.Half[path] = half
	}
}

// Settings are the changes of a variant: those that lie under all of them, then in the order of the axes. x holds a value for
// each axis, in SI.
func (s *Study) Settings(x []float64) []Setting {
	out := s.Base()
	for i := range s.Axes {
		a := &s.Axes[i]
		for _, p := range a.Paths {
			one := Setting{Path: p, Factor: a.Factor, Value: x[i]}
			switch a.Kind {
			case AxisWhole:
				one.Text, one.Value = fmt.Sprintf("%.0f", x[i]), 0
			case AxisWords:
				one.Text, one.Value = a.Words[int(x[i])], 0
			case AxisFirst:
				one.First = true
			}
			out = append(out, one)
		}
	}
	return out
}

// Base are the changes that lie under those of every variant.
func (s *Study) Base() (out []Setting) {
	if s.Under == nil {
		return nil
	}
	for _, path := range slices.Sorted(maps.Keys(s.Under.Override)) {
		out = append(out, s.Under.setting(Setting{Path: path, Value: s.Under.Override[path]}, path))
	}
	for _, path := range slices.Sorted(maps.Keys(s.Under.Factor)) {
		out = append(out, s.Under.setting(Setting{Path: path, Factor: true, Value: s.Under.Factor[path]}, FactorPath(path)))
	}
	return out
}

// setting adds to a setting that lies under others how well it is known.
func (o *Options) setting(s Setting, known string) Setting {
	s.Under, s.With, s.Half = true, o.Alike[known], o.Half[known]
	if s.With != "" {
		s.Half = o.Half[s.With]
	}
	return s
}
