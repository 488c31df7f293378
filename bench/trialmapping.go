package bench

import (
	"fmt"
	"io/fs"
	"path"
	"strings"

	"emberbank/trial"
)

// Mapping is how a trial's description reads its loggers, as it is typed, whether it can be used or not.
type Mapping struct {
	Title    string
	Loggers  []MappedLogger
	Circuits []string // of the receiver that it names; nil: none is named
	Heaters  []string
	Phases   []trial.Phase // given by hand
}

// MappedLogger is one logger.
type MappedLogger struct {
	Files    []string // in the fs.FS
	Channels []MappedChannel
}

// MappedChannel is one channel, with the texts as typed; "" where nothing is.
type MappedChannel struct {
	Path     string // of Rewrite, such as "loggers[1].channels[3]"
	Line     int
	Column   trial.Ref
	Place    string
	Quantity string
	Unit     string
	// Known says how well it is known: its uncertainty, or couple and class.
	Known string
	Hold  bool
}

// LoadMapping reads how a trial's description maps its loggers' columns. Problems are those of the description alone:
// LoadTrial knows more. The mapping is nil where the file cannot be read at all.
func LoadMapping(fsys fs.FS, name string) (*Mapping, Problems) {
	r := newReader(fsys, Options{})
	p, _ := r.describeTrial(name)
	if p == nil {
		return nil, r.sorted()
	}
	m := &Mapping{Title: p.setup.Name, Phases: p.setup.Phases}
	if p.rec != nil {
		for _, c := range p.rec.out.Circuits {
			m.Circuits = append(m.Circuits, c.Name)
		}
		for _, h := range p.rec.out.Heaters {
			m.Heaters = append(m.Heaters, h.Name)
		}
	}
	for i, l := range p.loggers {
		var one MappedLogger
		for _, f := range l.get("file").items() {
			one.Files = append(one.Files, path.Join(path.Dir(name), strings.ReplaceAll(f.text, "\\", "/")))
		}
		for _, c := range p.chans[i] {
			one.Channels = append(one.Channels, mappedChannel(c))
		}
		m.Loggers = append(m.Loggers, one)
	}
	return m, r.sorted()
}

func mappedChannel(c *value) MappedChannel {
	out := MappedChannel{
		Path: c.path, Line: c.node.Line, Column: ref(c.get("column")), Place: c.get("place").word(""), Quantity: c.get("quantity").word(""),
		Unit: c.get("unit").word(""), Hold: c.get("hold").yes(false),
	}
	var known []string
	if couple := c.get("couple"); couple != nil {
		known = append(known, "couple "+couple.text)
	}
	if class := c.get("class"); class != nil {
		known = append(known, "class "+fmt.Sprint(int(class.num)))
	}
	if cal := c.get("calibration"); cal != nil {
		known = append(known, "calibrated")
	}
	if u := c.get("uncertainty"); u != nil {
		known = append([]string{"± " + strings.Trim(u.typed(), "[]")}, known...)
	}
	out.Known = strings.Join(known, ", ")
	return out
}
