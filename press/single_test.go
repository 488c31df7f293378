package press_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/paper"
	"emberbank/press"
)

func read(t *testing.T, name string) []byte {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "figure", "testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

// inkOf is how much of an image is inked, in dots: black counts 1.
func inkOf(img *image.RGBA) float64 {
	sum := 0.0
	for i := 0; i < len(img.Pix); i += 4 {
		sum += 1 - float64(img.Pix[i])/255
	}
	return sum
}

// TestAnImageCoversTheAreaOfItsShapes: areas are those of geometry. A unit of the picture is 1 mm, and so 4 dots at 101.6 an inch.
func TestAnImageCoversTheAreaOfItsShapes(t *testing.T) {
	const dots = 16.0 // of a unit squared
	for name, one := range map[string]struct {
		svg        string
		area, part float64
	}{
		"a circle":                       {`<circle cx="50" cy="50" r="30"/>`, math.Pi * 900, 0.002},
		"a ring by even and odd":         {`<path fill-rule="evenodd" d="M10 10H90V90H10ZM30 30H70V70H30Z"/>`, 6400 - 1600, 0.001},
		"the same way round twice":       {`<path d="M10 10H90V90H10ZM30 30H70V70H30Z"/>`, 6400, 0.001},
		"a line with square ends":        {`<line x1="20.3" y1="20" x2="60.3" y2="50" stroke="#000" stroke-width="3" stroke-linecap="square"/>`, 53 * 3, 0.005},
		"a dashed line":                  {`<line x1="10" y1="40" x2="90" y2="40" stroke="#000" stroke-width="2" stroke-dasharray="6 4"/>`, 2 * 6 * 8, 0.005},
		"a corner that stands out":       {`<path fill="none" stroke="#000" stroke-width="4" d="M20 20H60V60"/>`, 4 * 80, 0.005},
		"a shut corner, round":           {`<path fill="none" stroke="#000" stroke-width="4" stroke-linejoin="round" d="M20 20H60V60H20Z"/>`, 4*160 - 4*(4-math.Pi), 0.01},
		"see-through, crossing itself":   {`<path fill="none" stroke="#000" stroke-opacity="0.5" stroke-width="4" d="M20 20L60 20M40 0L40 40"/>`, 0.5 * (320 - 16), 0.01},
		"far outside":                    {`<rect width="9" height="9" transform="scale(1e9) scale(1e9) translate(9)"/>`, 0, 0},
		"inside a clip":                  {`<clipPath id="c"><rect x="20" y="20" width="30" height="30"/></clipPath><rect width="40" height="100" clip-path="url(#c)"/>`, 20 * 30, 0.002},
		"a hatching of upright lines":    {`<defs><pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse"><path d="M5 0V10" stroke="#000" stroke-width="2"/></pattern></defs><rect x="10" y="10" width="80" height="50" fill="url(#p)"/>`, 8 * 2 * 50, 0.002},
		"a gradient from white to black": {`<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="10" x2="90"><stop offset="0" stop-color="#fff"/><stop offset="1" stop-color="#000"/></linearGradient><rect x="10" y="10" width="80" height="40" fill="url(#g)"/>`, 80 * 40 / 2, 0.005},
	} {
		img, err := press.Single{Wide: 100}.Dots([]byte(`<svg viewBox="0 0 100 100">`+one.svg+`</svg>`), 101.6)
		if err != nil {
			t.Fatal(name, err)
		}
		if b := img.Bounds(); b.Dx() != 400 || b.Dy() != 400 {
			t.Fatalf("the image has %v", b)
		}
		if got := inkOf(img) / dots; math.Abs(got-one.area) > one.part*one.area {
			t.Errorf("%s covers %.2f, want %.2f", name, got, one.area)
		}
	}
}

// TestAPictureAloneHasItsSizeAndType in all three forms. PDF and image are drawn by two programs of ours; poppler draws the PDF too, and
// what it sees must be what the image has.
func TestAPictureAloneHasItsSizeAndType(t *testing.T) {
	const perInch = 72
	s := press.Single{Wide: 254, Type: 7}
	svg := read(t, "history.svg")
	img, err := s.Dots(svg, perInch)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := press.PNG(img, perInch)
	if err != nil {
		t.Fatal(err)
	}
	back, err := png.Decode(bytes.NewReader(raw))
	if err != nil || back.Bounds().Dx() != 720 {
		t.Fatalf("the image is %v wide (%v)", back.Bounds(), err)
	}
	if at := bytes.Index(raw, []byte("pHYs")); at < 0 || binary.BigEndian.Uint32(raw[at+4:]) != 2835 { // 72/0.0254
		t.Error("the file does not say how many dots are a metre")
	}
	again, err := s.SVG(svg)
	if err != nil {
		t.Fatal(err)
	}
	p, err := paper.ReadPicture(again)
	if err != nil {
		t.Fatal(err)
	}
	if w := p.Root.Get("width"); w != "254mm" {
		t.Errorf("the SVG is %s wide", w)
	}
	letters := 0
	p.Walk(func(e *paper.Element) {
		var px float64
		if _, err := fmt.Sscan(e.Get("font-size"), &px); err == nil && strings.Contains(e.Get("font-family"), "Lettering") {
			letters++
			if pt := px * 720 / p.Width; math.Abs(pt-7) > 0.01 {
				t.Errorf("numbers have %.2f pt", pt)
			}
		}
	})
	if letters == 0 {
		t.Error("it has no numbers")
	}
	pdf, err := s.PDF(svg)
	if err != nil {
		t.Fatal(err)
	}
	if two, err := s.PDF(svg); err != nil || !bytes.Equal(pdf, two) {
		t.Error("two files differ")
	}
	if info := tool(t, pdf, "pdfinfo", "FILE"); !strings.Contains(info, "Pages:           1") || !strings.Contains(info, "Page size:       720 x") {
		t.Errorf("the file says of itself\n%s", info)
	}
	seen, err := png.Decode(strings.NewReader(tool(t, pdf, "pdftoppm", "-r", "72", "-png", "FILE")))
	if err != nil {
		t.Fatal(err)
	}
	off, n := 0.0, 0.0
	for y := range min(seen.Bounds().Dy(), img.Bounds().Dy()) {
		for x := range 720 {
			a, _, _, _ := seen.At(x, y).RGBA()
			b := img.Pix[img.PixOffset(x, y)]
			if d := math.Abs(float64(a>>8)-float64(b)) / 255; a < 0xff00 || b < 255 {
				off, n = off+d, n+1
			}
		}
	}
	// Two ways of thinning letters and lines at 72 dots an inch differ at their rims; a shape that is missing or elsewhere differs wholly.
	if n < 10_000 || off/n > 0.1 {
		t.Errorf("image and PDF differ by %.3f of black on average over %.0f dots that either has inked", off/n, n)
	}
}

// TestWordsThatHaveNoRoomAreTold with the width and the type at which they have, and there they do.
func TestWordsThatHaveNoRoomAreTold(t *testing.T) {
	svg := read(t, "history.svg")
	_, err := press.Single{Wide: 120, Type: 14}.SVG(svg)
	var c *press.Crowded
	if !errors.As(err, &c) {
		t.Fatalf("it says %v", err)
	}
	if _, err := (press.Single{Wide: math.Ceil(c.Wide), Type: 14}).SVG(svg); err != nil {
		t.Error(err)
	}
	if _, err := (press.Single{Wide: 120, Type: math.Floor(10*c.Type) / 10}).SVG(svg); err != nil {
		t.Error(err)
	}
	for _, one := range []struct {
		s    press.Single
		want string
	}{{press.Single{Wide: 5}, "from 20 to 1200 mm"}, {press.Single{Wide: math.NaN()}, "from 20 to 1200 mm"}, {press.Single{Wide: 100, Type: 2}, "from 4 to 96 pt"}} {
		if _, err := one.s.PDF(svg); err == nil || !strings.Contains(err.Error(), one.want) {
			t.Errorf("%+v: %v", one.s, err)
		}
	}
	if _, err := (press.Single{Wide: 1000}).Dots(svg, 2400); err == nil || !strings.Contains(err.Error(), "at most") {
		t.Errorf("too many dots: %v", err)
	}
}
