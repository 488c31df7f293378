package bench

import (
	"bytes"
	"fmt"
	"sort"
	"strings"

	yaml "go.yaml.in/yaml/v4"
)

// olderVersion is the form before the present one, used while the program was being drawn up. It differs in a
// few words only; Upgrade knows them all.
const olderVersion = "emberbank/0"

// renames are the keys that the older form called differently, by the keys that lead to them ("*" stands for
// any one step, list entries count as none).
var renames = []struct{ under, old, new string }{
	{"", "insulate", "insulation"},
	{"", "tubes", "passes"},
	{"", "aperture", "window"},
	{"", "duration", "until"},
	{"circuits", "tubes", "passes"},
	{"block", "material", "medium"},
	{"surfaces/*", "conductance", "film"},
	{"insulate/*", "thick", "thickness"},
	{"light", "shape", "map"},
	{"rules/when", "sensor", "place"},
}

// byteOrderMark begins files of some editors.
var byteOrderMark = []byte("\xef\xbb\xbf")

// Upgrade brings the text of a file of an older schema up to Version. Only the words that changed are replaced,
// so comments and layout stay as they are. The changes are told one a line. A text of this version comes back
// as it is, with no changes; any other version is an error, and so is a text that is not YAML (then it wraps
// Problems, whose file is named "").
func Upgrade(text []byte) (upgraded []byte, changes []string, err error) {
	body, marked := bytes.CutPrefix(text, byteOrderMark)
	upgraded, changes, err = upgrade(body)
	if err != nil || !marked {
		return upgraded, changes, err
	}
	return append(append([]byte(nil), byteOrderMark...), upgraded...), changes, nil
}

// upgrade is Upgrade for a text without a byte order mark.
func upgrade(text []byte) (upgraded []byte, changes []string, err error) {
	r := newReader(nil, Options{})
	if len(text) > mostYAML {
		return nil, nil, fmt.Errorf("upgrading: the file has %d MiB, more than the %d MiB that are read", len(text)>>20, mostYAML>>20)
	}
	if i := firstBadByte(text); i >= 0 {
		line, col := placeOf(text, i)
		return nil, nil, fmt.Errorf("upgrading: line %d, column %d: the file is not UTF-8 text", line, col)
	}
	root := r.parse("", text)
	if root == nil {
		return nil, nil, fmt.Errorf("upgrading: %w", r.sorted())
	}
	var schema *yaml.Node
	for i := 0; i+1 < len(root.Content); i += 2 {
		if root.Content[i].Value == "schema" {
			schema = root.Content[i+1]
		}
	}
	switch {
	case schema == nil:
		return nil, nil, fmt.Errorf("upgrading: the file does not say which schema it follows; let its first line be \"schema: %s\"", Version)
	case schema.Value == Version:
		return text, nil, nil
	case schema.Value != olderVersion:
		return nil, nil, fmt.Errorf("upgrading: schema is %q; only %s can be brought up to %s", schema.Value, olderVersion, Version)
	}
	u := &upgrader{lined: inLines(text)}
	u.replace(schema, Version, "schema")
	if len(u.edits) == 0 {
		return nil, nil, fmt.Errorf("upgrading: line %d: the schema is written with escapes; write it plainly as %s", schema.Line, olderVersion)
	}
	u.walk(root, "")
	// A receiver or duty in place within a run has the same words as a file of its own.
	sort.Slice(u.edits, func(i, j int) bool { return u.edits[i].start < u.edits[j].start })
	return edited(text, u.edits...), u.changes, nil
}

type upgrader struct {
	lined
	edits   []edit
	changes []string
}

// replace notes that a scalar's text becomes another, quotes kept.
func (u *upgrader) replace(n *yaml.Node, with, field string) {
	i, ok := u.offset(n)
	if !ok {
		return
	}
	if c := u.text[i]; c == '"' || c == '\'' {
		i++
	}
	if !bytes.HasPrefix(u.text[i:], []byte(n.Value)) {
		return // written with escapes: left to the reader, which names it
	}
	u.edits = append(u.edits, edit{i, i + len(n.Value), with})
	u.changes = append(u.changes, fmt.Sprintf("line %d: %s: %q is now %q", n.Line, field, n.Value, with))
}

// walk renames keys below a mapping; path is the older keys that lead to it.
func (u *upgrader) walk(n *yaml.Node, path string) {
	switch n.Kind {
	case yaml.SequenceNode:
		for _, c := range n.Content {
			u.walk(c, path)
		}
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			k, v := n.Content[i], n.Content[i+1]
			if k.Kind != yaml.ScalarNode {
				continue
			}
			for _, r := range renames {
				if k.Value == r.old && under(path, r.under) {
					u.replace(k, r.new, "key")
				}
			}
			below := k.Value
			if path != "" {
				below = path + "/" + k.Value
			}
			if path == "" && (k.Value == "receiver" || k.Value == "duty") {
				below = "" // in place within a run: the same words as in a file of its own
			}
			u.walk(v, below)
		}
	}
}

// under tells whether a path fits a pattern in which * is any one step.
func under(path, pattern string) bool {
	p, q := strings.Split(path, "/"), strings.Split(pattern, "/")
	if len(p) != len(q) {
		return false
	}
	for i := range p {
		if q[i] != "*" && p[i] != q[i] {
			return false
		}
	}
	return true
}
