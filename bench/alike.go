package bench

import "maps"

// What a match found as one parameter for several paths is one input: it is carried, drawn and moved as one, under a name of its
// own, and an override of that name is put at each of its paths.

// puts returns what a change puts in place of the number at a path: by that path, or by the name of what the path moves with.
func (r *reader) puts(i int, key string) (x float64, found bool) {
	if x, found = r.changes[i].override[key]; found {
		return x, true
	}
	for _, under := range r.changes[:i] {
		if name, is := under.alike[key]; is {
			if x, found = r.changes[i].override[name]; found {
				r.used[name] = true
			}
		}
	}
	return x, found
}

// oneInput lists a number that moves with others by their name, once; limits are those of the first that is read.
func (r *reader) oneInput(u Uncertain, name string, half float64) {
	for i := range r.uncertain {
		if have := &r.uncertain[i]; have.Path == name {
			have.moves = append(have.moves, u.Path)
			return
		}
	}
	if half > 0 {
		u.moves, u.Path, u.Half = []string{u.Path}, name, half
		r.uncertain = append(r.uncertain, u)
	}
}

// joint returns with what the number at a path moves, and how well that is known; "" where it stands alone.
func (r *reader) joint(key string) (name string, half float64) {
	for i, l := range r.changes {
		if _, put := r.puts(i, key); put {
			name, half = "", 0
		}
		if with, is := l.alike[key]; is {
			name, half = with, l.half[with]
		}
	}
	return name, half
}

// together says that the number at a path moves with others by a name.
func (o *Options) together(path, name string) {
	if o.Alike == nil {
		o.Alike = map[string]string{}
	}
	o.Alike[path] = name
}

// Joins makes one input of several paths that were found as one, by a name, known with a half-width at 95 %; 0: not said. Of
// factors the paths are their FactorPath.
func (o *Options) Joins(name string, half float64, paths ...string) {
	if o.Half == nil {
		o.Half = map[string]float64{}
	}
	o.Alike, o.Half = maps.Clone(o.Alike), maps.Clone(o.Half)
	for _, p := range paths {
		o.together(p, name)
	}
	if half > 0 {
		o.Half[name] = half
	}
}

// settled tells whether axes set an input, all that it moves.
func (c *choices) settled(u *Uncertain, by func(path string) bool) bool {
	if len(u.moves) == 0 {
		return by(u.Path)
	}
	for _, p := range u.moves {
		if !by(p) {
			return false
		}
	}
	return true
}
