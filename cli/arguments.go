package cli

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
)

// parse reads the arguments: a command's name, then its flags and what it is about, in any order. Commands and their
// flags are the fields of commands and of each command's struct; tags say what differs from the field's name in small
// letters:
//
//	arg       not a flag but what the command is about, in the order of the fields; a list takes all that is left
//	optional  may be left out
//	name      other name
//	short     letter of a short form
//
// Its errors are usage errors. (A general library would take longer to start than a short run takes to compute.)
func parse(args []string) (command, error) {
	if len(args) == 0 || asksHelp(args) {
		return nil, errHelp
	}
	var grammar commands
	name := args[0]
	field, ok := fieldOf(reflect.ValueOf(&grammar).Elem(), func(f reflect.StructField) bool {
		return strings.ToLower(f.Name) == name
	})
	if !ok {
		if strings.HasPrefix(name, "-") {
			return nil, misuse("", name+" is not a flag", "")
		}
		var known []string
		for i := range field.NumField() {
			known = append(known, strings.ToLower(field.Type().Field(i).Name))
		}
		return nil, misuse("", name+" is not a command", meant(name, known))
	}
	if err := (&arguments{name: name, into: field, left: args[1:]}).read(); err != nil {
		return nil, err
	}
	return field.Addr().Interface().(command), nil
}

// misuse is a usage error; without a hint of its own it points to the help of the command.
func misuse(command, message, hint string) error {
	if hint == "" {
		hint = strings.ReplaceAll("emberbank "+command+" --help shows what there is", "  ", " ")
	}
	return &failure{code: ExitUsage, message: message, hint: hint}
}

// fieldOf returns the first field for which is holds, or the whole struct and false.
func fieldOf(of reflect.Value, is func(reflect.StructField) bool) (reflect.Value, bool) {
	for i := range of.NumField() {
		if is(of.Type().Field(i)) {
			return of.Field(i), true
		}
	}
	return of, false
}

// arguments reads what follows a command's name into the command's struct.
type arguments struct {
	name string
	into reflect.Value
	left []string
	told int  // arguments that are not flags, so far
	only bool // after "--" nothing is a flag
}

func (a *arguments) read() error {
	for len(a.left) > 0 {
		next := a.left[0]
		a.left = a.left[1:]
		var err error
		switch {
		case a.only || next == "-" || !strings.HasPrefix(next, "-"):
			err = a.take(next)
		case next == "--":
			a.only = true
		default:
			err = a.flag(next)
		}
		if err != nil {
			return err
		}
	}
	for i, f := range a.about() {
		if _, optional := f.Tag.Lookup("optional"); i >= a.told && !optional {
			return misuse(a.name, strings.ToUpper(longName(f))+" is missing", "")
		}
	}
	return nil
}

func longName(f reflect.StructField) string {
	if n := f.Tag.Get("name"); n != "" {
		return n
	}
	return strings.ToLower(f.Name)
}

// about lists the fields that are no flags.
func (a *arguments) about() []reflect.StructField {
	var fields []reflect.StructField
	for i := range a.into.NumField() {
		if f := a.into.Type().Field(i); isAbout(f) {
			fields = append(fields, f)
		}
	}
	return fields
}

func isAbout(f reflect.StructField) bool {
	_, ok := f.Tag.Lookup("arg")
	return ok
}

// take gives an argument to the next field that is no flag.
func (a *arguments) take(s string) error {
	fields := a.about()
	if n := len(fields); n > 0 && fields[n-1].Type.Kind() == reflect.Slice {
		f := a.into.FieldByIndex(fields[n-1].Index)
		f.Set(reflect.Append(f, reflect.ValueOf(s)))
		a.told = n
		return nil
	}
	if a.told == len(fields) {
		return misuse(a.name, s+" is one argument too many", "")
	}
	a.into.FieldByIndex(fields[a.told].Index).SetString(s)
	a.told++
	return nil
}

// flag reads a flag and its value: --threads 2, --threads=2, -o DIR, -oDIR, -o=DIR.
func (a *arguments) flag(s string) error {
	shown, value, given := strings.Cut(s, "=")
	if !strings.HasPrefix(s, "--") && len(s) > 2 && s[2] != '=' {
		shown, value, given = s[:2], s[2:], true
	}
	f, ok := fieldOf(a.into, func(f reflect.StructField) bool {
		if isAbout(f) {
			return false
		}
		return shown == "--"+longName(f) || shown == "-"+f.Tag.Get("short") && len(shown) == 2
	})
	if !ok {
		var known []string
		for i := range a.into.NumField() {
			if f := a.into.Type().Field(i); !isAbout(f) {
				known = append(known, "--"+longName(f))
			}
		}
		return misuse(a.name, shown+" is not a flag of "+a.name, meant(shown, known))
	}
	if f.Kind() == reflect.Bool {
		yes := true
		if given {
			var err error
			if yes, err = strconv.ParseBool(value); err != nil {
				return misuse(a.name, fmt.Sprintf("%s is %q", shown, value), shown+" takes no value")
			}
		}
		f.SetBool(yes)
		return nil
	}
	if !given {
		if len(a.left) == 0 || looksLikeFlag(a.left[0]) {
			return misuse(a.name, shown+" lacks its value", "")
		}
		value = a.left[0]
		a.left = a.left[1:]
	}
	if f.Kind() == reflect.String {
		f.SetString(value)
		return nil
	}
	n, err := strconv.Atoi(value)
	if err != nil {
		return misuse(a.name, fmt.Sprintf("%s is %q", shown, value), "give a whole number, such as "+shown+" 2")
	}
	f.SetInt(int64(n))
	return nil
}

// looksLikeFlag tells flags from values; a negative number is a value.
func looksLikeFlag(s string) bool {
	if len(s) < 2 || s[0] != '-' {
		return false
	}
	_, err := strconv.ParseFloat(s, 64)
	return err != nil
}

// meant offers the nearest of the words that are known, "" where none is near.
func meant(typed string, known []string) string {
	best, least := "", 3
	for _, k := range known {
		if d := edits(typed, k); d < least && d < len(typed) {
			best, least = k, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf("did you mean %q?", best)
}

// edits counts the letters to change, add or leave out that turn one word into another: Levenshtein's distance.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		corner := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := corner
			if a[i] != b[j] {
				change++
			}
			corner = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
