package paper

import (
	"html"
	"path"
	"strings"
)

// tags are the elements of the styles.
var tags = [...][2]string{
	Plain: {}, Strong: {"<strong>", "</strong>"}, Symbol: {"<var>", "</var>"}, Below: {"<sub>", "</sub>"}, Above: {"<sup>", "</sup>"},
	Code: {"<code>", "</code>"}, Pale: {`<span class="pale">`, "</span>"},
}

// text sets running text.
func (s *setter) text(t Text) string {
	var b strings.Builder
	for i := range t {
		span := &t[i]
		says := strings.ReplaceAll(escape(s.Says(span)), "\u2009", "\u202f") // between a number and its unit no line breaks
		if says == "" {
			continue
		}
		tag := [2]string{}
		if span.Style >= 0 && int(span.Style) < len(tags) {
			tag = tags[span.Style]
		}
		says = tag[0] + says + tag[1]
		to, class, title := span.To, "", ""
		if span.Origin != "" {
			class, title = ` class="origin"`, ` title="from `+escape(span.Origin)+`"`
			if to == "" {
				to = s.doc.Found(span.Origin)
			}
		}
		switch {
		case to != "":
			b.WriteString(`<a href="` + html.EscapeString(to) + `"` + class + title + ">" + says + "</a>")
		case title != "":
			b.WriteString("<span" + class + title + ">" + says + "</span>")
		default:
			b.WriteString(says)
		}
	}
	return b.String()
}

// Found is the way from the document to a file that something was read from; "" where the document does not say where its bench
// lies. An origin is a file and, behind a space, the place in it.
func (d *Document) Found(origin string) string {
	if d.Bench == "" {
		return ""
	}
	file, _, _ := strings.Cut(origin, " /")
	if file == "" || strings.HasPrefix(file, "/") || strings.ContainsAny(file, "\\:?#\x00") || !leadsOut(file) {
		return ""
	}
	parts := strings.Split(path.Join(d.Bench, file), "/")
	for i, p := range parts {
		parts[i] = escapePath(p)
	}
	return strings.Join(parts, "/")
}

// escapePath writes a part of a path for an address.
func escapePath(s string) string {
	const hex = "0123456789ABCDEF"
	var b strings.Builder
	for i := range len(s) {
		if c := s[i]; c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || strings.IndexByte("-._~,+=@()", c) >= 0 {
			b.WriteByte(c)
		} else {
			b.WriteString("%" + string(hex[c>>4]) + string(hex[c&15]))
		}
	}
	return b.String()
}

// from says where a table or a figure was read.
func (s *setter) from(origin string) string {
	if origin == "" {
		return ""
	}
	says := "<code>" + escape(origin) + "</code>"
	if to := s.doc.Found(origin); to != "" {
		says = `<a href="` + html.EscapeString(to) + `">` + says + "</a>"
	}
	return ` <span class="from">From ` + says + ".</span>"
}
