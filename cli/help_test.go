package cli

import (
	"reflect"
	"strings"
	"testing"
)

func TestHelpFitsAScreenAndNamesEveryFlag(t *testing.T) {
	grammar := reflect.TypeFor[commands]()
	for i := range grammar.NumField() {
		field := grammar.Field(i)
		if _, ok := field.Tag.Lookup("cmd"); !ok {
			continue
		}
		name := strings.ToLower(field.Name)
		text, ok := helpTexts[name]
		if !ok {
			t.Errorf("%s has no help", name)
			continue
		}
		if !strings.Contains(helpTexts[""], "emberbank "+name) {
			t.Errorf("%s is missing in the program's help", name)
		}
		for j := range field.Type.NumField() {
			f := field.Type.Field(j)
			if _, ok := f.Tag.Lookup("arg"); ok || !f.IsExported() {
				continue
			}
			long := "--" + strings.ToLower(f.Name)
			if !strings.Contains(text, long) {
				t.Errorf("help of %s leaves out %s", name, long)
			}
			if short := f.Tag.Get("short"); short != "" && !strings.Contains(text, "-"+short+",") {
				t.Errorf("help of %s leaves out -%s", name, short)
			}
		}
	}
	for name, text := range helpTexts {
		lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
		if len(lines) > 24 {
			t.Errorf("help of %q has %d lines", name, len(lines))
		}
		for _, l := range lines {
			if n := len([]rune(l)); n > 80 {
				t.Errorf("help of %q has a line of %d columns: %s", name, n, l)
			}
			if strings.TrimRight(l, " ") != l || strings.Contains(l, "\t") {
				t.Errorf("help of %q has blanks at a line's end or tabs: %q", name, l)
			}
		}
		if !strings.Contains(text, "\nExample") || !strings.Contains(text, "\nExit: 0 ") {
			t.Errorf("help of %q lacks an example or the exit codes", name)
		}
	}
}
