package press

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
)

// embed writes a face with the glyphs that were used, and returns its object. Glyphs keep their numbers; the outlines of those
// that were not used are empty.
//
// Source: ISO 32000-1:2008, 9.7.4 (CIDFontType2), 9.9 (embedded programs), 9.10.3 (ToUnicode); the tables: ISO/IEC 14496-22.
func (f *face) embed(to *file, index int) (int, error) {
	program, err := f.subset()
	if err != nil {
		return 0, err
	}
	data, descriptor, below, unicode, top := to.reserve(), to.reserve(), to.reserve(), to.reserve(), to.reserve()
	// Six capitals say that it is a part of a face.
	name := fmt.Sprintf("EMBER%c+Face%d", 'A'+index%26, index+1)
	to.stream(data, fmt.Sprintf("/Length1 %d", len(program)), program)
	head, err := f.tables.RawTable(opentype.MustNewTag("head"))
	if err != nil || len(head) < 54 {
		return 0, errors.New("its table head is short")
	}
	share := func(at int) float64 { return float64(int16(binary.BigEndian.Uint16(head[at:]))) * 1000 / f.upem }
	ascent, descent := 800.0, -200.0
	if e, ok := f.shapes.FontHExtents(); ok {
		ascent, descent = float64(e.Ascender)*1000/f.upem, float64(e.Descender)*1000/f.upem
	}
	to.object(descriptor, fmt.Sprintf("<< /Type /FontDescriptor /FontName /%s /Flags 4 /FontBBox [%s] /ItalicAngle 0 /Ascent %s /Descent %s /CapHeight %s /StemV 80 /FontFile2 %d 0 R >>",
		name, nums(share(36), share(38), share(40), share(42)), num(ascent), num(descent), num(0.85*ascent), data))
	used := slices.Sorted(slices.Values(f.order))
	var wide strings.Builder
	for _, id := range used {
		fmt.Fprintf(&wide, "%d [%s] ", id, num(f.advance(id)*1000))
	}
	to.object(below, fmt.Sprintf("<< /Type /Font /Subtype /CIDFontType2 /BaseFont /%s /CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >> /FontDescriptor %d 0 R /DW 500 /W [%s] /CIDToGIDMap /Identity >>",
		name, descriptor, wide.String()))
	to.stream(unicode, "", f.toUnicode(used))
	to.object(top, fmt.Sprintf("<< /Type /Font /Subtype /Type0 /BaseFont /%s /Encoding /Identity-H /DescendantFonts [%d 0 R] /ToUnicode %d 0 R >>", name, below, unicode))
	return top, nil
}

// advance is a glyph's own width, in shares of the size.
func (f *face) advance(id font.GID) float64 { return float64(f.shapes.HorizontalAdvance(id)) / f.upem }

// toUnicode says what the glyphs stand for, so that text can be found and taken out.
func (f *face) toUnicode(used []font.GID) []byte {
	var pairs []string
	for _, id := range used {
		if stands := f.used[id]; len(stands) > 0 {
			hex := words(string(stands))
			pairs = append(pairs, fmt.Sprintf("<%04X> <%s\n", id, strings.TrimPrefix(hex, "<FEFF")))
		}
	}
	var b strings.Builder
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n" +
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	for chunk := range slices.Chunk(pairs, 100) {
		fmt.Fprintf(&b, "%d beginbfchar\n%sendbfchar\n", len(chunk), strings.Join(chunk, ""))
	}
	b.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n")
	return []byte(b.String())
}

// kept are the tables that a reader of the file needs.
var kept = []string{"cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "prep"}

// subset is the face's program without the outlines that are not used.
func (f *face) subset() ([]byte, error) {
	raw := map[string][]byte{}
	for _, tag := range kept {
		if t := opentype.MustNewTag(tag); f.tables.HasTable(t) {
			table, err := f.tables.RawTable(t)
			if err != nil {
				return nil, err
			}
			raw[tag] = slices.Clone(table)
		}
	}
	if len(raw["head"]) < 54 || len(raw["maxp"]) < 6 {
		return nil, errors.New("its tables are short")
	}
	n := int(binary.BigEndian.Uint16(raw["maxp"][4:]))
	at := func(i int) int { return int(binary.BigEndian.Uint32(raw["loca"][4*i:])) }
	if binary.BigEndian.Uint16(raw["head"][50:]) == 0 {
		at = func(i int) int { return 2 * int(binary.BigEndian.Uint16(raw["loca"][2*i:])) }
		if len(raw["loca"]) < 2*n+2 {
			return nil, errors.New("its table loca is short")
		}
	} else if len(raw["loca"]) < 4*n+4 {
		return nil, errors.New("its table loca is short")
	}
	outline := func(i int) []byte {
		from, to := at(i), at(i+1)
		if i >= n || from >= to || to > len(raw["glyf"]) {
			return nil
		}
		return raw["glyf"][from:to]
	}
	need := make([]bool, n)
	var want func(i int)
	want = func(i int) {
		if i >= n || need[i] {
			return
		}
		need[i] = true
		for _, part := range partsOf(outline(i)) {
			want(part)
		}
	}
	want(0)
	for _, id := range f.order {
		want(int(id))
	}
	var glyf []byte
	loca := make([]byte, 4*n+4)
	for i := range n {
		binary.BigEndian.PutUint32(loca[4*i:], uint32(len(glyf)))
		if need[i] {
			glyf = append(glyf, outline(i)...)
			for len(glyf)%4 != 0 {
				glyf = append(glyf, 0)
			}
		}
	}
	binary.BigEndian.PutUint32(loca[4*n:], uint32(len(glyf)))
	raw["glyf"], raw["loca"] = glyf, loca
	binary.BigEndian.PutUint16(raw["head"][50:], 1) // offsets of four bytes
	var tables []opentype.Table
	for _, tag := range kept {
		if c, ok := raw[tag]; ok {
			for len(c)%4 != 0 {
				c = append(c, 0)
			}
			tables = append(tables, opentype.Table{Content: c, Tag: opentype.MustNewTag(tag)})
		}
	}
	return opentype.WriteTTF(tables), nil
}

// partsOf are the glyphs that a composed glyph is made of.
func partsOf(outline []byte) []int {
	if len(outline) < 10 || int16(binary.BigEndian.Uint16(outline)) >= 0 {
		return nil
	}
	var all []int
	for b := outline[10:]; len(b) >= 4; {
		flags := binary.BigEndian.Uint16(b)
		all = append(all, int(binary.BigEndian.Uint16(b[2:])))
		size := 6
		if flags&1 != 0 { // its place in words
			size = 8
		}
		switch {
		case flags&8 != 0: // one scale
			size += 2
		case flags&0x40 != 0: // two
			size += 4
		case flags&0x80 != 0: // a matrix
			size += 8
		}
		if flags&0x20 == 0 || len(b) < size {
			break
		}
		b = b[size:]
	}
	return all
}
