// Package cli is the command line: it reads arguments, finds files on the disk, lets bench read them, heat
// compute and account prints, and puts results in their place. It computes nothing. It is the only room (with a
// later web) that touches paths, the clock, the environment and the terminal, so that everything below can be
// tested without them.
//
// What a command prints is its result, on the standard output; what went wrong and how far it has got stand on
// the standard error. With --json the standard output holds exactly one JSON document, whatever happens; "trial --follow
// --json" alone holds a line for each report and each call, each a document, and last the line of the ordinary report or of
// what went wrong. A results folder appears whole or not at all (see folder.go).
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"reflect"
	"strings"

	"emberbank/verify"
	"emberbank/web"

	"github.com/alecthomas/kong"
)

// Version is the program's version; it stands in every result.
const Version = "0.1.0"

// build is more about this build, such as a revision; the linker sets it (-X emberbank/cli.build=…).
var build string

// Exit codes. Scripts depend on them: they do not change their meaning.
const (
	ExitDone    = 0 // done
	ExitInput   = 1 // a mistake in the input
	ExitUsage   = 2 // a command or flag that does not exist or lacks something
	ExitDisk    = 3 // could not read or write
	ExitStopped = 4 // stopped early, by Ctrl-C or because the run could not go on
	ExitFailed  = 5 // verify found a failure
)

// Streams are what a command writes to.
type Streams struct {
	Out, Err io.Writer
}

// commands is the grammar: one field a command.
type commands struct {
	New       newCommand       `cmd:"" help:"Write a bench with a worked example."`
	Check     checkCommand     `cmd:"" help:"Say what is wrong in files and how to mend it."`
	Run       runCommand       `cmd:"" help:"Compute a run and write its results."`
	Open      openCommand      `cmd:"" help:"Show a bench in the browser."`
	Trial     trialCommand     `cmd:"" help:"Read a trial's loggers and write its record."`
	Compare   compareCommand   `cmd:"" help:"Set runs and trials side by side."`
	Match     matchCommand     `cmd:"" help:"Estimate parameters from trials and say how far to trust them."`
	Plan      planCommand      `cmd:"" help:"Say what a trial will teach before it is done."`
	Study     studyCommand     `cmd:"" help:"Compute a run over choices and say what follows."`
	Light     lightCommand     `cmd:"" help:"Say what a dish throws on a window."`
	Dossier   dossierCommand   `cmd:"" help:"Write the documents in which a bench is handed over."`
	Picture   pictureCommand   `cmd:"" help:"Put one picture onto paper of a size, or let a section move."`
	Crate     crateCommand     `cmd:"" help:"Put a bench and its results into a folder for archives, or prove one."`
	Tidy      tidyCommand      `cmd:"" help:"Show what on the disk can be computed again, and free it."`
	Work      workCommand      `cmd:"" help:"Run variants of studies that others offer."`
	Verify    verifyCommand    `cmd:"" help:"Compare the program with outside references."`
	Schema    schemaCommand    `cmd:"" help:"Print the JSON Schema of a kind of file."`
	Materials materialsCommand `cmd:"" help:"Show the catalogue of materials."`
	Version   versionCommand   `cmd:"" help:"Print the version."`
	Help      bool             `short:"h" help:"Show help."`
}

// call is what every command gets.
type call struct {
	ctx      context.Context
	out      io.Writer // results
	err      io.Writer // mistakes and progress
	disk     disks
	terminal bool      // err is a terminal
	lines    bool      // each JSON document is one line
	in       io.Reader // answers to questions; nil: nobody is there
	patience float64   // s, after which a study asks; 0: an hour
	tell     web.Listener
	checks   func(context.Context, verify.Options) ([]verify.Row, error) // the outside checks; nil: verify.Run
}

// jsonWanted is met by commands that have a --json flag.
type jsonWanted interface{ wantsJSON() bool }

// Main runs the command that args name and returns the exit code. Cancelling ctx stops long work, which then
// keeps what is done so far.
func Main(ctx context.Context, args []string, s Streams) int {
	c := &call{ctx: ctx, out: s.Out, err: s.Err, disk: realDisk(), terminal: isTerminal(s.Err)}
	if isTerminal(os.Stdin) {
		c.in = os.Stdin
	}
	return c.main(args)
}

func (c *call) main(args []string) int {
	out := &watched{w: c.out}
	c.out = out
	command, err := parse(args)
	var code int
	switch {
	case errors.Is(err, errHelp):
		_, _ = io.WriteString(out, helpFor(args))
		code = ExitDone
	case err != nil:
		code = c.report(err, asksJSON(args))
	default:
		j, ok := command.(jsonWanted)
		code = c.report(command.run(c), ok && j.wantsJSON())
	}
	if out.failed != nil && (code == ExitDone || code == ExitInput) {
		fmt.Fprintf(c.err, "error: writing to the standard output: %v\n", plain(out.failed))
		return ExitDisk
	}
	return code
}

// command is one of the commands with its arguments read.
type command interface{ run(*call) error }

// errHelp asks for help instead of a command.
var errHelp = errors.New("help")

// parse reads the arguments. Its errors are usage errors.
func parse(args []string) (command, error) {
	if len(args) == 0 || asksHelp(args) {
		return nil, errHelp
	}
	parser, err := kong.New(grammarFor(args), kong.Name("emberbank"), kong.NoDefaultHelp(),
		kong.Writers(io.Discard, io.Discard), kong.Exit(func(int) {}))
	if err != nil {
		panic(err) // the grammar above is wrong: found by any test
	}
	k, err := parser.Parse(args)
	if err != nil {
		return nil, usageError(args, err)
	}
	c, ok := k.Selected().Target.Addr().Interface().(command)
	if !ok {
		panic("cli: " + k.Command() + " has no run method")
	}
	return c, nil
}

// grammarFor returns the grammar to read the arguments by: of commands, if the first argument is one, that alone: to lay
// all of them took 2 ms more in one slow minute, 0.5 in another.
func grammarFor(args []string) any {
	command, ok := fieldOf(args[0])
	if !ok {
		return new(commands)
	}
	help, _ := reflect.TypeFor[commands]().FieldByName("Help")
	return reflect.New(reflect.StructOf([]reflect.StructField{command, help})).Interface()
}

// fieldOf returns the field of commands that is the command of a name, as it is typed.
func fieldOf(command string) (field reflect.StructField, ok bool) {
	all := reflect.TypeFor[commands]()
	for i := range all.NumField() {
		field = all.Field(i)
		if _, ok = field.Tag.Lookup("cmd"); ok && strings.ToLower(field.Name) == command {
			return field, true
		}
	}
	return field, false
}

func usageError(args []string, err error) error {
	name := commandName(args)
	f := &failure{code: ExitUsage, message: plainUsage(name, err.Error()), hint: "emberbank --help shows what there is"}
	if name != "" {
		f.hint = "emberbank " + name + " --help shows what there is"
	}
	if _, meant, ok := strings.Cut(err.Error(), "did you mean "); ok {
		f.hint = "did you mean " + meant
	}
	if typed, ok := strings.CutPrefix(err.Error(), "unknown flag -"); ok && typed != "" && typed[0] != '-' {
		short, _, _ := strings.Cut("-"+typed, ",")
		f.hint = "emberbank --help shows what there is"
		if name != "" {
			f.hint = "emberbank " + name + " --help shows what there is"
		}
		if near := suggestion(name, short); near != "" {
			f.hint = fmt.Sprintf("did you mean %q?", near)
		}
	}
	if flag, what, ok := strings.Cut(err.Error(), ": expected "); ok && strings.HasPrefix(flag, "-") {
		if _, typed, ok := strings.Cut(what, "perhaps try "); ok && strings.Contains(what, "(short flag)") {
			f.message, f.hint = flag+" lacks its value", "write "+strings.TrimSuffix(typed, "?")+" if that was meant"
		} else if strings.Contains(what, "EOL") || strings.Contains(what, " flag)") {
			f.message = flag + " lacks its value"
		} else if _, typed, ok := strings.Cut(what, " but got "); ok {
			f.message, f.hint = flag+" is "+typed, "give a whole number"
		}
	}
	if flag, typed, ok := strings.Cut(err.Error(), ": bool value must be true, 1, yes, false, 0 or no but got "); ok {
		f.message, f.hint = flag+" is "+typed, flag+" takes no value"
	}
	return f
}

// plainUsage words kong's messages as ours.
func plainUsage(command, s string) string {
	s, _, _ = strings.Cut(s, ", did you mean ")
	if what, ok := strings.CutPrefix(s, "unexpected argument "); ok {
		if command == "" {
			return what + " is not a command"
		}
		return what + " is one argument too many"
	}
	if what, ok := strings.CutPrefix(s, "unknown flag "); ok {
		if command == "" {
			return what + " is not a flag"
		}
		return what + " is not a flag of " + command
	}
	if what, ok := strings.CutPrefix(s, "expected \"<"); ok {
		what, _, _ = strings.Cut(what, ">")
		return strings.ToUpper(what) + " is missing"
	}
	if strings.HasPrefix(s, "expected one of ") {
		return "a command is missing"
	}
	return s
}

func asksHelp(args []string) bool {
	for _, a := range args {
		switch a {
		case "--":
			return false
		case "--help", "-h":
			return true
		}
	}
	return args[0] == "help"
}

func asksJSON(args []string) bool {
	for _, a := range args {
		if a == "--" {
			return false
		}
		if a == "--json" {
			return true
		}
	}
	return false
}

// commandName returns the command that args begin with, "" where they do not: no flag stands before a command.
func commandName(args []string) string {
	if _, ok := helpTexts[args[0]]; ok {
		return args[0]
	}
	return ""
}

// watched remembers the first error of a writer, so that a full disk behind the standard output is not missed.
type watched struct {
	w      io.Writer
	failed error
}

func (w *watched) Write(p []byte) (int, error) {
	n, err := w.w.Write(p)
	if err != nil && w.failed == nil {
		w.failed = err
	}
	return n, err
}

// isTerminal tells whether a stream is a character device, which a pipe and a file are not.
func isTerminal(w io.Writer) bool {
	f, ok := w.(interface{ Stat() (os.FileInfo, error) })
	if !ok || os.Getenv("TERM") == "dumb" {
		return false
	}
	st, err := f.Stat()
	return err == nil && st.Mode()&os.ModeCharDevice != 0
}
