package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strings"
	"unicode"

	"emberbank/bench"

	"github.com/danielgtaylor/huma/v2"
)

// largestLogger bounds a logger's file that is handed to the page.
const largestLogger = 1 << 30

// loggersFolder takes what is dropped on the page.
const loggersFolder = "trials"

func (d *Desk) loggersAPI(a huma.API) {
	huma.Post(a, "/api/logger", d.postLogger, named("take-logger", "Put a logger's file, as it is, into the bench; nothing is written over"), func(o *huma.Operation) {
		o.DefaultStatus = http.StatusCreated
		o.RequestBody = &huma.RequestBody{Required: true, Content: map[string]*huma.MediaType{
			"application/octet-stream": {Schema: &huma.Schema{Type: "string", Format: "binary"}},
		}}
	})
	huma.Post(a, "/api/trial/draft", d.postDraft, named("draft-trial", "Write a first description of loggers' files, guessed from headings, units and values"), func(o *huma.Operation) {
		o.DefaultStatus = http.StatusCreated
	})
}

// loggerPost is a file on its way in. Its bytes are not held: they go from the network to the disk.
type loggerPost struct {
	Name   string `query:"name" required:"true" minLength:"1" maxLength:"300" doc:"of the file, as it is called where it comes from"`
	Length int64  `header:"Content-Length"`
	from   io.Reader
}

// Resolve keeps where the bytes come from.
func (p *loggerPost) Resolve(ctx huma.Context) []error {
	p.from = patient{ctx.BodyReader(), ctx.SetReadDeadline, longestPause}
	return nil
}

type loggerBody struct {
	File string `json:"file" doc:"in the bench"`
	Size int64  `json:"size_B"`
}

func (d *Desk) postLogger(_ context.Context, p *loggerPost) (*body[loggerBody], error) {
	name, err := loggerName(p.Name)
	if err != nil {
		return nil, huma.Error422UnprocessableEntity(err.Error())
	}
	tooLarge := huma.Error413RequestEntityTooLarge(fmt.Sprintf("the file is larger than %d MB: copy it into the bench's folder instead, and draft its description there", largestLogger>>20))
	if p.Length > largestLogger {
		return nil, tooLarge
	}
	if err := d.root.MkdirAll(loggersFolder, 0o777); err != nil {
		return nil, refused(fmt.Errorf("making the folder %s: %w", loggersFolder, plainError(err)))
	}
	file, err := d.takeFree(loggersFolder, name)
	if err != nil {
		return nil, refused(err)
	}
	n, err := d.fill(file, p.from, largestLogger)
	switch {
	case errors.Is(err, errLarge):
		return nil, tooLarge
	case err != nil:
		return nil, refused(err)
	case n == 0:
		_ = d.root.Remove(file)
		return nil, huma.Error422UnprocessableEntity("the file is empty")
	}
	return &body[loggerBody]{loggerBody{file, n}}, nil
}

// loggerEndings are what text files of loggers end in.
var loggerEndings = []string{".csv", ".txt", ".tsv", ".dat", ".log", ".asc", ".prn"}

// loggerName cleans the name of a file that comes from elsewhere: its last part, of letters, digits and a few marks.
func loggerName(given string) (string, error) {
	base := given[strings.LastIndexAny(given, `/\`)+1:]
	ending := strings.ToLower(path.Ext(base))
	if !slices.Contains(loggerEndings, ending) {
		return "", fmt.Errorf("%q is no text file of a logger; its name ends in %s. Export the logger's data as text", shortName(base), strings.Join(loggerEndings, ", "))
	}
	stem := strings.Map(func(c rune) rune {
		if unicode.IsLetter(c) || unicode.IsDigit(c) || strings.ContainsRune("-_.", c) {
			return c
		}
		return '-'
	}, strings.TrimSuffix(base, path.Ext(base)))
	stem = strings.Trim(shortName(stem), "-.")
	switch strings.ToLower(stem) {
	case "":
		stem = "logger"
	case "con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "lpt1", "lpt2", "lpt3": // names that some systems keep
		stem += "-file"
	}
	return stem + ending, nil
}

// shortName cuts a name to what every file system takes.
func shortName(s string) string {
	const most = 60
	if c := []rune(s); len(c) > most {
		return string(c[:most])
	}
	return s
}

// takeFree takes a name for a file that is not there yet: the one that is wanted, or that with a number.
func (d *Desk) takeFree(folder, wanted string) (string, error) {
	ending := path.Ext(wanted)
	stem := strings.TrimSuffix(wanted, ending)
	for n := 1; n < 1000; n++ {
		name := path.Join(folder, stem+ending)
		if n > 1 {
			name = path.Join(folder, fmt.Sprintf("%s-%d%s", stem, n, ending))
		}
		if err := d.take(name); !errors.Is(err, fs.ErrExist) {
			return name, err
		}
	}
	return "", fmt.Errorf("there are a thousand files like %s already", wanted)
}

type draftPost struct {
	Files []string `json:"files" minItems:"1" maxItems:"20" doc:"loggers' files in one folder of the bench"`
}

type draftBody struct {
	Trial    string          `json:"trial" doc:"the description's file; empty where none could be made"`
	Problems []bench.Problem `json:"problems"`
}

func (d *Desk) postDraft(_ context.Context, q *body[draftPost]) (*body[draftBody], error) {
	folder := path.Dir(q.Body.Files[0])
	home, err := fs.Sub(d.root.FS(), folder)
	if err != nil {
		return nil, refused(errName)
	}
	var loggers []bench.Drafted
	var problems bench.Problems
	for _, f := range q.Body.Files {
		if !mayRead(f) || path.Dir(f) != folder {
			return nil, refused(errName)
		}
		look, err := d.look(f)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil, refused(errNoFile)
		case err != nil:
			return nil, refused(plainError(err))
		case look.guess == nil:
			problems = append(problems, look.problems...)
			continue
		}
		loggers = append(loggers, bench.Drafted{File: path.Base(f), Guess: look.guess})
	}
	if len(problems) > 0 {
		return &body[draftBody]{draftBody{"", problems}}, nil
	}
	title := strings.TrimSuffix(path.Base(q.Body.Files[0]), path.Ext(q.Body.Files[0]))
	text, problems := bench.DraftTrial(home, "a first description.yaml", title, loggers)
	if problems.Failed() {
		return &body[draftBody]{draftBody{"", problems}}, nil
	}
	name, err := d.takeFree(folder, title+".yaml")
	if err == nil {
		_, err = d.fill(name, strings.NewReader(text), largestText)
	}
	if err != nil {
		return nil, refused(err)
	}
	return &body[draftBody]{draftBody{name, []bench.Problem{}}}, nil
}

// mayRead tells whether a name is that of a logger's file in the bench.
func mayRead(name string) bool {
	return isOwn(name) && slices.Contains(loggerEndings, strings.ToLower(path.Ext(name)))
}
