package reel_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image"
	"image/color"
	"image/gif"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"emberbank/reel"

	"pgregory.net/rapid"
)

// frame is a picture of rectangles at places.
func frame(places []int) []byte {
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">`)
	for _, x := range places {
		fmt.Fprintf(&b, `<rect x="%d" width="1" height="1"/>`, x)
	}
	b.WriteString("</svg>")
	return []byte(b.String())
}

var (
	class = regexp.MustCompile(`f(\d+)-(\d+)`)
	place = regexp.MustCompile(`x="(\d+)"`)
)

// visible reads a reel as a browser does at a picture: what stands outside of groups, and in groups that are shown then.
func visible(t interface{ Fatal(...any) }, raw []byte, at int) (places []int) {
	d := xml.NewDecoder(bytes.NewReader(raw))
	shown := []bool{true}
	for {
		token, err := d.Token()
		if err == io.EOF {
			return places
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			on := shown[len(shown)-1]
			for _, a := range e.Attr {
				if m := class.FindStringSubmatch(a.Value); a.Name.Local == "class" && m != nil {
					from, _ := strconv.Atoi(m[1])
					to, _ := strconv.Atoi(m[2])
					on = from <= at && at < to
				}
				if a.Name.Local == "x" && on {
					x, _ := strconv.Atoi(a.Value)
					places = append(places, x)
				}
			}
			shown = append(shown, on)
		case xml.EndElement:
			shown = shown[:len(shown)-1]
		}
	}
}

// TestEachPictureOfAReelIsTheOneThatWasGiven, element by element and in its order.
func TestEachPictureOfAReelIsTheOneThatWasGiven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lists := rapid.SliceOfN(rapid.SliceOfN(rapid.IntRange(0, 5), 0, 6), 2, 5).Draw(t, "pictures")
		var frames [][]byte
		for _, l := range lists {
			frames = append(frames, frame(l))
		}
		raw, err := reel.SVG(frames, 2)
		if err != nil {
			t.Fatal(err)
		}
		for i, l := range lists {
			if got := visible(t, raw, i); fmt.Sprint(got) != fmt.Sprint(l) {
				t.Fatalf("picture %d shows %v, want %v", i, got, l)
			}
		}
	})
}

// TestWhatStaysIsWrittenOnce, and each stretch is shown when its pictures are: of 4 pictures in 2 s the third begins after 1 s.
func TestWhatStaysIsWrittenOnce(t *testing.T) {
	raw, err := reel.SVG([][]byte{frame([]int{1, 7, 2}), frame([]int{1, 7, 2}), frame([]int{1, 8, 2}), frame([]int{1, 9, 2})}, 2)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(place.FindAll(raw, -1)); n != 5 {
		t.Errorf("%d rectangles are written, want 5", n)
	}
	for _, want := range []string{
		"animation:2s step-end infinite", "@keyframes k2{0%{visibility:visible}50%{visibility:hidden}}", ".f0-2{animation-name:k2;animation-delay:0s}", ".f2-3{animation-name:k1;animation-delay:1s}",
		"@media (prefers-reduced-motion:reduce){.f{animation:none}.f3-4{visibility:visible}}",
	} {
		if !strings.Contains(string(raw), want) {
			t.Errorf("it lacks %q:\n%s", want, raw)
		}
	}
	named := []byte(`<svg viewBox="0 0 9 9" font-family="&quot;A &amp; B&quot;&lt;"><path d="M0 0"/></svg>`)
	if named, err = reel.SVG([][]byte{named, named}, 1); err != nil || !strings.Contains(string(named), ` font-family="&#34;A &amp; B&#34;&lt;"`) {
		t.Errorf("the root's attributes are not those of the pictures (%v):\n%s", err, named)
	}
	if strings.Contains(string(raw), "script") {
		t.Error("it has a script")
	}
	if _, err := reel.SVG([][]byte{frame(nil)}, 1); err == nil {
		t.Error("one picture moves")
	}
	big := []byte(`<svg viewBox="0 0 9 9"><path d="M0 0` + strings.Repeat("L1 1", 1<<20) + `"/></svg>`)
	if _, err := reel.SVG([][]byte{big, []byte(strings.Replace(string(big), "M0", "M1", 1)), []byte(strings.Replace(string(big), "M0", "M2", 1)), []byte(strings.Replace(string(big), "M0", "M3", 1))}, 1); err == nil || !strings.Contains(err.Error(), "at most 12 MB") {
		t.Errorf("16 MB: %v", err)
	}
}

// TestAGIFShowsWhatItWasGiven: decoded by the standard library and laid one over the other as the format says.
func TestAGIFShowsWhatItWasGiven(t *testing.T) {
	ink := color.RGBA{0x17, 0x21, 0x1f, 255}
	var frames []*image.RGBA
	for i := range 5 {
		img := image.NewRGBA(image.Rect(0, 0, 40, 30))
		for n := range img.Pix {
			img.Pix[n] = 255
		}
		for x := range 6 {
			img.SetRGBA(5*i+x, 10, ink)
			img.SetRGBA(x, 20, color.RGBA{uint8(40 * x), 200, uint8(i), 255})
		}
		frames = append(frames, img)
	}
	raw, err := reel.GIF(frames, 2)
	if err != nil {
		t.Fatal(err)
	}
	g, err := gif.DecodeAll(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	if len(g.Image) != 5 || g.Config.Width != 40 || g.Config.Height != 30 || g.LoopCount != 0 {
		t.Fatalf("%d pictures of %d × %d, %d times", len(g.Image), g.Config.Width, g.Config.Height, g.LoopCount)
	}
	long := 0
	for _, d := range g.Delay[:4] {
		long += d
	}
	if long != 160 { // four fifths of two seconds
		t.Errorf("the first four last %d hundredths", long)
	}
	on := image.NewRGBA(image.Rect(0, 0, 40, 30))
	for i, p := range g.Image {
		if i > 0 && p.Rect == on.Rect {
			t.Errorf("picture %d is written whole", i)
		}
		for y := p.Rect.Min.Y; y < p.Rect.Max.Y; y++ {
			for x := p.Rect.Min.X; x < p.Rect.Max.X; x++ {
				if c := p.At(x, y); c != (color.RGBA{}) {
					on.Set(x, y, c)
				}
			}
		}
		if !bytes.Equal(on.Pix, frames[i].Pix) {
			t.Errorf("picture %d is another", i)
		}
	}
	if again, err := reel.GIF(frames, 2); err != nil || !bytes.Equal(raw, again) {
		t.Error("two files differ")
	}
	if _, err := reel.GIF([]*image.RGBA{{Rect: image.Rect(0, 0, 1<<13, 1<<13)}, {Rect: image.Rect(0, 0, 1<<13, 1<<13)}}, 1); err == nil || !strings.Contains(err.Error(), "too many") {
		t.Errorf("too many dots: %v", err)
	}
}
