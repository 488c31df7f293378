package cli

import "strings"

// flagsOf returns the long flags of a command, as they are typed.
func flagsOf(command string) []string {
	var out []string
	field, ok := fieldOf(command)
	if !ok {
		return nil
	}
	for i := range field.Type.NumField() {
		f := field.Type.Field(i)
		if _, positional := f.Tag.Lookup("arg"); !positional && f.IsExported() {
			out = append(out, "--"+strings.ToLower(f.Name))
		}
	}
	return out
}

// suggestion returns the one flag of a command that begins with the letter of a short flag that it has not; "" where
// none or several do.
func suggestion(command, short string) string {
	found := ""
	for _, f := range flagsOf(command) {
		if len(short) > 1 && f[2] == short[1] {
			if found != "" {
				return ""
			}
			found = f
		}
	}
	return found
}
