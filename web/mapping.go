package web

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/bench"
	"emberbank/logbook"
	"emberbank/trial"
)

// lookedAt is what a logger's file seems to hold, with its columns thinned.
type lookedAt struct {
	file, stamp string
	guess       *trial.Guess // without its record; nil: problems say why
	problems    bench.Problems
	columns     []heldBody // one for each of the guess
	length      float64    // s
}

// lookedFiles is how many loggers' files are kept as they were guessed.
const lookedFiles = 12

// curvePoints is about how many rows of a column the mapping shows.
const curvePoints = 260

// look guesses what a file holds, once for as long as it stays as it is.
func (d *Desk) look(file string) (*lookedAt, error) {
	d.tolds.mu.Lock()
	defer d.tolds.mu.Unlock()
	stamp := d.stamps(map[string]string{file: ""})[file]
	for i, l := range d.tolds.looks {
		if l.file == file {
			if l.stamp == stamp {
				return l, nil
			}
			d.tolds.looks = slices.Delete(d.tolds.looks, i, i+1)
			break
		}
	}
	l := &lookedAt{file: file, stamp: stamp}
	var err error
	if l.guess, l.problems, err = logbook.Look(d.root.FS(), file); err != nil {
		return nil, err
	}
	if l.guess != nil {
		l.columns, l.length = held(l.guess), l.guess.Seen.Length()
		l.guess.Seen = nil // all rows of a large file
	}
	d.tolds.looks = append([]*lookedAt{l}, d.tolds.looks...)
	if len(d.tolds.looks) > lookedFiles {
		d.tolds.looks = d.tolds.looks[:lookedFiles]
	}
	return l, nil
}

type mappingBody struct {
	Trial    string          `json:"trial"`
	Title    string          `json:"title"`
	Mark     string          `json:"mark" doc:"of the description's text; show it when changing it"`
	Circuits []string        `json:"circuits" doc:"of the receiver that is named"`
	Heaters  []string        `json:"heaters"`
	Loggers  []loggerMapping `json:"loggers"`
	Problems []bench.Problem `json:"problems" doc:"those that no channel is at"`
}

type loggerMapping struct {
	File     string          `json:"file"`
	Rows     int             `json:"rows"`
	Interval float64         `json:"interval_s"`
	Length   float64         `json:"length_s"`
	Clock    string          `json:"clock" doc:"what was found of it, in words"`
	Sure     string          `json:"clock_sure" enum:"sure,likely,guess,"`
	Notes    []string        `json:"notes"`
	Columns  []columnMapping `json:"columns"`
	Problems []bench.Problem `json:"problems" doc:"why nothing is guessed of the file"`
}

type columnMapping struct {
	heldBody
	Guess    guessBody        `json:"guess"`
	Channels []channelMapping `json:"channels" doc:"how the description reads the column; none: it is left out"`
	Wrong    []bench.Problem  `json:"problems" doc:"in the words of check"`
}

// heldBody is what a column holds.
type heldBody struct {
	Number  int               `json:"number" doc:"from 1"`
	Heading string            `json:"heading"`
	Unit    string            `json:"unit" doc:"of the numbers here; empty: as they stand in the file"`
	Time    []float64         `json:"time_s"`
	Values  []json.RawMessage `json:"values"`
}

type guessBody struct {
	Place string   `json:"place" doc:"empty: better left out"`
	Also  []string `json:"also"`
	Unit  string   `json:"unit,omitempty"`
	Sure  string   `json:"sure" enum:"sure,likely,guess"`
	Why   string   `json:"why"`
	Hint  string   `json:"hint,omitempty"`
}

type channelMapping struct {
	Path     string `json:"path" doc:"in the description, such as loggers[1].channels[3]"`
	Line     int    `json:"line"`
	Place    string `json:"place"`
	Quantity string `json:"quantity"`
	Unit     string `json:"unit"`
	Known    string `json:"known" doc:"how well, as typed"`
	As       string `json:"as" doc:"what it is then, in words; empty where the trial cannot be read"`
}

// held thins the columns of a guess, in the numbers of the file.
func held(g *trial.Guess) []heldBody {
	var out []heldBody
	h := &g.Seen.History
	for i := range g.Columns {
		c, known := &h.Columns[i], &g.Seen.Columns[i]
		one := heldBody{Number: g.Columns[i].Number, Heading: g.Columns[i].Heading, Unit: known.Unit, Time: []float64{}, Values: []json.RawMessage{}}
		for _, row := range thinned(h.Time, [][]float64{c.Values}, 0, math.Inf(1), curvePoints) {
			one.Time, one.Values = append(one.Time, h.Time[row]), append(one.Values, number(known.InFile(c.Values[row])))
		}
		out = append(out, one)
	}
	return out
}

type mappingQuery struct {
	FileQuery
	Described bool `query:"described" doc:"by the description alone, sooner: what speaks against it in the loggers' files is left out"`
}

func (d *Desk) getMapping(_ context.Context, q *mappingQuery) (*body[mappingBody], error) {
	if err := d.mayRead(q.Name); err != nil {
		return nil, refused(err)
	}
	text, err := d.read(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	out := mappingBody{Trial: q.Name, Mark: text.mark, Circuits: []string{}, Heaters: []string{}, Loggers: []loggerMapping{}, Problems: []bench.Problem{}}
	m, problems := bench.LoadMapping(d.root.FS(), q.Name)
	if m == nil {
		out.Problems = append(out.Problems, problems...)
		return &body[mappingBody]{out}, nil
	}
	out.Title = m.Title
	out.Circuits, out.Heaters = append(out.Circuits, m.Circuits...), append(out.Heaters, m.Heaters...)
	said := append(bench.Problems{}, problems...)
	var loaded *bench.Trial
	if !q.Described {
		loaded, said = d.trials.of(d, q.Name)
		said = append(bench.Problems{}, said...)
	}
	if loaded != nil {
		said = append(said, loaded.Doubts...)
	}
	for i := range m.Loggers {
		one, err := d.mapped(loaded, &m.Loggers[i], &said)
		if err != nil {
			return nil, refused(err)
		}
		out.Loggers = append(out.Loggers, one)
	}
	out.Problems = append(out.Problems, said...)
	return &body[mappingBody]{out}, nil
}

// mapped lays what the description says of a logger beside what its first file seems to hold. Problems at its channels
// are taken out of said.
func (d *Desk) mapped(t *bench.Trial, l *bench.MappedLogger, said *bench.Problems) (loggerMapping, error) {
	out := loggerMapping{Notes: []string{}, Columns: []columnMapping{}, Problems: []bench.Problem{}}
	if len(l.Files) == 0 {
		return out, nil
	}
	out.File = l.Files[0]
	if !mayRead(out.File) {
		out.Problems = append(out.Problems, bench.Problem{File: out.File, Message: "this is shown of loggers' text files in the bench only"})
		return out, nil
	}
	look, err := d.look(out.File)
	if err != nil {
		out.Problems = append(out.Problems, bench.Problem{File: out.File, Message: "it cannot be read: " + plainError(err).Error()})
		return out, nil
	}
	if look.guess == nil {
		out.Problems = append(out.Problems, look.problems...)
		return out, nil
	}
	g := look.guess
	out.Rows, out.Interval, out.Length, out.Clock, out.Sure = g.Rows, g.Interval, look.length, g.ClockHow, g.ClockOK.String()
	out.Notes = append(out.Notes, g.Notes...)
	for i := range g.Columns {
		c := &g.Columns[i]
		out.Columns = append(out.Columns, columnMapping{
			heldBody: look.columns[i], Channels: []channelMapping{}, Wrong: []bench.Problem{},
			Guess: guessBody{c.Place, append([]string{}, c.Also...), c.Unit, c.Sure.String(), c.Why, c.Hint},
		})
	}
	for _, c := range l.Channels {
		at := g.Find(c.Column)
		if at < 0 {
			continue // check says so where the description is told
		}
		to := &out.Columns[at]
		to.Channels = append(to.Channels, channelMapping{c.Path, c.Line, c.Place, c.Quantity, c.Unit, c.Known, readAs(t, c.Place)})
		*said = slices.DeleteFunc(*said, func(p bench.Problem) bool {
			if p.Field != c.Path && !strings.HasPrefix(p.Field, c.Path+".") {
				return false
			}
			to.Wrong = append(to.Wrong, p)
			return true
		})
	}
	return out, nil
}

// readAs says what a channel is, where the trial could be read.
func readAs(t *bench.Trial, place string) string {
	if t == nil {
		return ""
	}
	i := t.Record.Index(place)
	if i < 0 {
		return ""
	}
	c := &t.Record.Columns[i]
	if c.Of != "" {
		return fmt.Sprintf("%s of %s", c.Role, c.Of)
	}
	return c.Role.String()
}
