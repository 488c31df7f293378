package reel

import (
	"bytes"
	"cmp"
	"fmt"
	"image"
	"image/color"
	"image/gif"
	"math"
	"slices"
)

// MostDots bounds the dots of all pictures of a GIF together.
const MostDots = 120_000_000

// Room tells whether a GIF may have so many pictures of a size: nil, or that they have too many dots. Ask before all of them are drawn.
func Room(r image.Rectangle, frames int) error {
	if r.Dx()*r.Dy()*frames <= MostDots {
		return nil
	}
	return fmt.Errorf("%d pictures of %d × %d dots are too many: at most %d million dots; give fewer --dots, a smaller --width or a shorter --over-time", frames, r.Dx(), r.Dy(), MostDots/1_000_000)
}

// hold is how long the last picture of a GIF stays, in hundredths of a second.
const hold = 120

// GIF is a file that shows images of one size one after the other in so many seconds, over and over; the last one stays a little. It has
// the colours that cover most: flat tints and inks come out as they are, rims of letters in what comes nearest.
//
// Source: GIF89a specification (CompuServe, 1990).
func GIF(frames []*image.RGBA, seconds float64) ([]byte, error) {
	if len(frames) < 2 {
		return nil, fmt.Errorf("%d pictures do not move: at least two do", len(frames))
	}
	r := frames[0].Bounds()
	if err := Room(r, len(frames)); err != nil {
		return nil, err
	}
	p := newPalette(frames)
	out := gif.GIF{Config: image.Config{ColorModel: p.all, Width: r.Dx(), Height: r.Dy()}}
	var before []uint8
	from := 0 // hundredths of a second
	for i, f := range frames {
		now := p.indices(f)
		to := int(math.Round(100 * seconds * float64(i+1) / float64(len(frames))))
		wait := to - from
		if from = to; i == len(frames)-1 {
			wait += hold
		}
		out.Image = append(out.Image, p.changed(before, now, r))
		out.Delay = append(out.Delay, wait)
		out.Disposal = append(out.Disposal, gif.DisposalNone)
		before = now
	}
	var b bytes.Buffer
	if err := gif.EncodeAll(&b, &out); err != nil {
		return nil, err
	}
	return b.Bytes(), size(b.Len())
}

// palette is 255 colours and a last one that lets through what was there before.
type palette struct {
	all   color.Palette
	index map[uint32]uint8
}

const through = 255

func packed(p []uint8) uint32 { return uint32(p[0])<<16 | uint32(p[1])<<8 | uint32(p[2]) }

func newPalette(frames []*image.RGBA) *palette {
	count := map[uint32]int{}
	for _, f := range frames {
		for i := 0; i < len(f.Pix); i += 4 {
			count[packed(f.Pix[i:])]++
		}
	}
	var colours []uint32
	for c := range count {
		colours = append(colours, c)
	}
	slices.SortFunc(colours, func(a, b uint32) int { return cmp.Or(count[b]-count[a], int(a)-int(b)) })
	p := &palette{index: map[uint32]uint8{}}
	for i, c := range colours[:min(len(colours), through)] {
		p.all = append(p.all, color.RGBA{uint8(c >> 16), uint8(c >> 8), uint8(c), 255})
		p.index[c] = uint8(i)
	}
	for len(p.all) < through {
		p.all = append(p.all, color.RGBA{A: 255})
	}
	p.all = append(p.all, color.RGBA{})
	return p
}

// of is the number of the colour that comes nearest.
func (p *palette) of(c uint32) uint8 {
	if i, ok := p.index[c]; ok {
		return i
	}
	best, least := 0, math.MaxInt
	for i := range through {
		q := p.all[i].(color.RGBA)
		dr, dg, db := int(q.R)-int(c>>16), int(q.G)-int(c>>8&255), int(q.B)-int(c&255)
		if d := 3*dr*dr + 6*dg*dg + db*db; d < least { // as bright as each looks, about
			best, least = i, d
		}
	}
	p.index[c] = uint8(best)
	return uint8(best)
}

func (p *palette) indices(f *image.RGBA) []uint8 {
	out := make([]uint8, len(f.Pix)/4)
	for i := range out {
		out[i] = p.of(packed(f.Pix[4*i:]))
	}
	return out
}

// changed is the least rectangle that holds what differs from the picture before; what is the same in it lets that through.
func (p *palette) changed(before, now []uint8, r image.Rectangle) *image.Paletted {
	if before == nil {
		return &image.Paletted{Pix: now, Stride: r.Dx(), Rect: r, Palette: p.all}
	}
	box := image.Rectangle{}
	for y := range r.Dy() {
		for x := range r.Dx() {
			if i := y*r.Dx() + x; before[i] != now[i] {
				box = box.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	if box.Empty() {
		box = image.Rect(0, 0, 1, 1)
	}
	out := image.NewPaletted(box, p.all)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			i := y*r.Dx() + x
			c := now[i]
			if before[i] == c {
				c = through
			}
			out.Pix[out.PixOffset(x, y)] = c
		}
	}
	return out
}
