package bench

import (
	"bytes"

	yaml "go.yaml.in/yaml/v4"
)

// lined is a text whose nodes are found by line and column.
type lined struct {
	text   []byte
	starts []int // of each line
}

func inLines(text []byte) lined {
	l := lined{text: text, starts: []int{0}}
	for i, c := range text {
		if c == '\n' {
			l.starts = append(l.starts, i+1)
		}
	}
	return l
}

// offset returns the byte at which a node begins; columns count characters.
func (l *lined) offset(n *yaml.Node) (int, bool) {
	if n.Line < 1 || n.Line > len(l.starts) {
		return 0, false
	}
	i := l.starts[n.Line-1]
	rest := string(l.text[i:])
	col := 1
	for k := range rest {
		if col == n.Column {
			return i + k, true
		}
		col++
	}
	return len(l.text), col == n.Column
}

// lineStart returns the byte at which the line of a byte begins.
func (l *lined) lineStart(at int) int { return bytes.LastIndexByte(l.text[:at], '\n') + 1 }

// lineEnd returns the byte behind the last of a byte's line, before what ends the line.
func (l *lined) lineEnd(at int) int {
	end := len(l.text)
	if i := bytes.IndexByte(l.text[at:], '\n'); i >= 0 {
		end = at + i
	}
	if end > at && l.text[end-1] == '\r' {
		end--
	}
	return end
}

// lineBreak is how the text ends its lines.
func (l *lined) lineBreak() string {
	if i := bytes.IndexByte(l.text, '\n'); i > 0 && l.text[i-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}

// end returns the byte behind a node's last; false where it cannot be told.
func (l *lined) end(n *yaml.Node) (int, bool) {
	at, ok := l.offset(n)
	switch {
	case !ok || n.Kind == yaml.AliasNode || n.Anchor != "":
		return 0, false
	case n.Kind == yaml.ScalarNode:
		return l.scalarEnd(n, at)
	case len(n.Content) > 0:
		if at, ok = l.end(n.Content[len(n.Content)-1]); !ok {
			return 0, false
		}
	case n.Style&yaml.FlowStyle != 0:
		at++
	}
	if n.Style&yaml.FlowStyle == 0 {
		return at, true
	}
	return l.bracket(at)
}

// bracket returns the byte behind the bracket that closes a list or mapping whose last entry ends at a byte.
func (l *lined) bracket(at int) (int, bool) {
	for ; at < len(l.text); at++ {
		switch l.text[at] {
		case ']', '}':
			return at + 1, true
		case '#':
			at = l.lineEnd(at) - 1
		case ' ', '\t', '\r', '\n', ',', ':':
		default:
			return 0, false
		}
	}
	return 0, false
}

func (l *lined) scalarEnd(n *yaml.Node, at int) (int, bool) {
	switch {
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return l.blockEnd(at), true
	case n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0:
		return l.quoteEnd(at)
	}
	for _, c := range []byte(n.Value) { // a plain text runs over several lines word by word
		if c == ' ' || c == '\n' {
			continue
		}
		for at < len(l.text) && bytes.IndexByte([]byte(" \t\r\n"), l.text[at]) >= 0 {
			at++
		}
		if at >= len(l.text) || l.text[at] != c {
			return 0, false
		}
		at++
	}
	return at, true
}

// quoteEnd returns the byte behind the quote that closes the one at a byte.
func (l *lined) quoteEnd(at int) (int, bool) {
	if at >= len(l.text) {
		return 0, false
	}
	quote := l.text[at]
	if quote != '"' && quote != '\'' {
		return 0, false
	}
	for at++; at < len(l.text); at++ {
		switch c := l.text[at]; {
		case c == '\\' && quote == '"':
			at++
		case c == quote && quote == '\'' && at+1 < len(l.text) && l.text[at+1] == quote:
			at++
		case c == quote:
			return at + 1, true
		}
	}
	return 0, false
}

// blockEnd returns the end of a text that stands in indented lines below its mark, | or >.
func (l *lined) blockEnd(at int) int {
	end, deep := l.lineEnd(at), -1
	for from := l.nextLine(at); from < len(l.text); from = l.nextLine(from) {
		line := l.text[from:l.lineEnd(from)]
		indent := len(line) - len(bytes.TrimLeft(line, " "))
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		if deep < 0 {
			deep = max(indent, 1)
		}
		if indent < deep {
			break
		}
		end = from + len(line)
	}
	return end
}

// nextLine returns the byte at which the line behind a byte's begins.
func (l *lined) nextLine(at int) int {
	if i := bytes.IndexByte(l.text[at:], '\n'); i >= 0 {
		return at + i + 1
	}
	return len(l.text)
}

// edit replaces the bytes from start to end of the text.
type edit struct {
	start, end int
	text       string
}

// edited is a text with some of its bytes replaced; the edits rise and do not meet.
func edited(text []byte, edits ...edit) []byte {
	var out bytes.Buffer
	at := 0
	for _, e := range edits {
		out.Write(text[at:e.start])
		out.WriteString(e.text)
		at = e.end
	}
	out.Write(text[at:])
	return out.Bytes()
}
