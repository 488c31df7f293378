package trial

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"runtime"
	"strconv"
	"testing"
)

// longFile gives the text of a logger's file of n rows and ten channels without holding it.
type longFile struct {
	n, at int
	rest  []byte
	line  []byte
}

func (f *longFile) Read(p []byte) (int, error) {
	for len(f.rest) == 0 {
		if f.at > f.n {
			return 0, io.EOF
		}
		b := f.line[:0]
		if f.at == 0 {
			b = append(b, "Timestamp;a [°C];b [°C];c [°C];d [°C];e [°C];f [°C];g [°C];h [°C];i [°C];j [°C]\n"...)
		} else {
			s := f.at - 1
			b = fmt.Appendf(b, "2026-03-%02d %02d:%02d:%02d", 1+s/86400, s/3600%24, s/60%60, s%60)
			for c := range 10 {
				v := 1000 + 20*c + (s*(7+c))%977
				b = append(b, ';')
				b = strconv.AppendInt(b, int64(v/10), 10)
				b = append(b, ',', byte('0'+v%10))
			}
			b = append(b, '\n')
		}
		f.line, f.rest = b, b
		f.at++
	}
	k := copy(p, f.rest)
	f.rest = f.rest[k:]
	return k, nil
}

func longSetup(t testing.TB) *Setup {
	s := &Setup{Axis: -1, Sources: []Source{{Name: "long.csv", Layout: open}}}
	for i := range 10 {
		s.Sources[0].Channels = append(s.Sources[0].Channels, channel(t, i+2, string(rune('a'+i)), Body, "degC"))
	}
	return s
}

func BenchmarkDecodeAndJoin(b *testing.B) {
	const rows = 1_000_000
	text, err := io.ReadAll(&longFile{n: rows})
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		s := longSetup(b)
		log, found := Decode(bytes.NewReader(text), &s.Sources[0], 0, s.Repairs)
		if log == nil {
			b.Fatal(found)
		}
		if rec, found := Join(s, []*Log{log}); rec == nil {
			b.Fatal(found)
		}
	}
	b.ReportMetric(rows*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
}

// BenchmarkDecode is reading alone.
func BenchmarkDecode(b *testing.B) {
	const rows = 1_000_000
	text, _ := io.ReadAll(&longFile{n: rows})
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		s := longSetup(b)
		if log, found := Decode(bytes.NewReader(text), &s.Sources[0], 0, s.Repairs); log == nil {
			b.Fatal(found)
		}
	}
	b.ReportMetric(rows*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
}

// BenchmarkStandardReader is what the standard library's reader and strconv take for splitting and numbers alone.
func BenchmarkStandardReader(b *testing.B) {
	const rows = 1_000_000
	text, _ := io.ReadAll(&longFile{n: rows})
	text = bytes.ReplaceAll(text, []byte(","), []byte("."))
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		c := csv.NewReader(bytes.NewReader(text))
		c.Comma, c.ReuseRecord = ';', true
		sum := 0.0
		for {
			row, err := c.Read()
			if err == io.EOF {
				break
			}
			for _, cell := range row[1:] {
				v, _ := strconv.ParseFloat(cell, 64)
				sum += v
			}
		}
		if math.IsInf(sum, 0) {
			b.Fatal(sum)
		}
	}
	b.ReportMetric(rows*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
}

func TestMemoryIsBoundedByTheNumbersKept(t *testing.T) {
	const rows = 300_000
	s := longSetup(t)
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	log, found := Decode(&longFile{n: rows}, &s.Sources[0], 0, s.Repairs)
	if log == nil {
		t.Fatal(found)
	}
	rec, found := Join(s, []*Log{log})
	if rec == nil {
		t.Fatal(found)
	}
	log = nil
	runtime.GC()
	runtime.ReadMemStats(&after)
	if n := len(rec.History.Time); n != rows {
		t.Fatalf("%d rows, want %d", n, rows)
	}
	// Ten channels and the time at eight bytes; slices that grow by a quarter leave up to a quarter unused.
	kept := float64(after.HeapAlloc) - float64(before.HeapAlloc)
	if bound := 1.3*8*11*rows + 4e6; kept > bound {
		t.Errorf("the record of %d rows keeps %.0f MB, more than %.0f", rows, kept/1e6, bound/1e6)
	}
	runtime.KeepAlive(rec)
}
