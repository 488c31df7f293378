package cli

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestArgumentsReachTheirFields(t *testing.T) {
	for line, want := range map[string]command{
		"run a.yaml":                          &runCommand{File: "a.yaml"},
		"run -o dir a.yaml":                   &runCommand{File: "a.yaml", Output: "dir"},
		"run a.yaml -odir --json":             &runCommand{File: "a.yaml", Output: "dir", JSON: true},
		"run a.yaml --output=a=b --threads=2": &runCommand{File: "a.yaml", Output: "a=b", Threads: 2},
		"run --threads=-1 --quiet a.yaml":     &runCommand{File: "a.yaml", Threads: -1, Quiet: true},
		"run --accuracy --uncertainty -- --a": &runCommand{File: "--a", Accuracy: true, Uncertainty: true},
		"check --upgrade a b c":               &checkCommand{Files: []string{"a", "b", "c"}, Upgrade: true},
		"check a b c --upgrade":               &checkCommand{Files: []string{"a", "b", "c"}, Upgrade: true},
		"materials":                           &materialsCommand{},
		"materials tin --json":                &materialsCommand{Name: "tin", JSON: true},
		"verify --only tubes":                 &verifyCommand{Only: "tubes"},
		"new -":                               &newCommand{Dir: "-"},
		"version":                             &versionCommand{},
	} {
		got, err := parse(strings.Fields(line))
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s gives %+v (%v), want %+v", line, got, err, want)
		}
	}
}

func TestMisusedArgumentsSayWhatIsWrong(t *testing.T) {
	for line, want := range map[string]string{
		"roast":                  "roast is not a command|emberbank --help shows",
		"rn a.yaml":              `rn is not a command|did you mean "run"?`,
		"roast run":              "roast is not a command|emberbank --help shows",
		"--json run":             "--json is not a flag|emberbank --help shows",
		"run":                    "FILE is missing|emberbank run --help",
		"check --json":           "FILE is missing|emberbank check --help",
		"run a --qiet":           `--qiet is not a flag of run|did you mean "--quiet"?`,
		"run a -q":               `-q is not a flag of run|did you mean "--quiet"?`,
		"run a -z":               "-z is not a flag of run|emberbank run --help",
		"verify -o a":            `-o is not a flag of verify|did you mean "--only"?`,
		"match a -a":             "-a is not a flag of match|emberbank match --help",
		"run a -":                "- is one argument too many|emberbank run --help",
		"version a":              "a is one argument too many|emberbank version --help",
		"run a -o":               "--output lacks its value|emberbank run --help",
		"run a --output --quiet": "--output lacks its value|emberbank run --help",
		"run a --threads many":   `--threads is "many"|give a whole number`,
		"run a --quiet=often":    `--quiet is "often"|--quiet takes no value`,
	} {
		_, err := parse(strings.Fields(line))
		var f *failure
		if !errors.As(err, &f) {
			t.Errorf("%s gives %v", line, err)
			continue
		}
		message, hint, _ := strings.Cut(want, "|")
		if f.code != ExitUsage || f.message != message || !strings.HasPrefix(f.hint, hint) {
			t.Errorf("%s says %q, %q with exit code %d, want %q, %q", line, f.message, f.hint, f.code, message, hint)
		}
	}
}

func TestAnyArgumentsGiveACommandOrAnError(t *testing.T) {
	words := append([]string{"--", "-", "-o", "--threads", "2", "--json", "--json=x", "x", "-ofoo", "--=", "=", ""}, "run", "check", "new", "schema")
	rapid.Check(t, func(q *rapid.T) {
		args := rapid.SliceOfN(rapid.OneOf(rapid.SampledFrom(words), rapid.StringN(0, 4, 8)), 0, 6).Draw(q, "args")
		if c, err := parse(args); (c == nil) == (err == nil) {
			q.Fatalf("%q gives %v and %v", args, c, err)
		}
	})
}
