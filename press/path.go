package press

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// trace is a shape as moves, lines and curves.
type trace struct{ steps []step }

// step is a move (m), a line (l), a curve (c) or the way back to the last move (h).
type step struct {
	op byte
	at [6]float64 // x, y; of a curve its two handles and then its end
}

func (t *trace) move(x, y float64) { t.steps = append(t.steps, step{'m', [6]float64{x, y}}) }
func (t *trace) line(x, y float64) { t.steps = append(t.steps, step{'l', [6]float64{x, y}}) }
func (t *trace) curve(x1, y1, x2, y2, x, y float64) {
	t.steps = append(t.steps, step{'c', [6]float64{x1, y1, x2, y2, x, y}})
}
func (t *trace) shut() { t.steps = append(t.steps, step{op: 'h'}) }

func (t *trace) rect(x, y, w, h float64) {
	t.move(x, y)
	t.line(x+w, y)
	t.line(x+w, y+h)
	t.line(x, y+h)
	t.shut()
}

// circle is four curves. A handle of 0.5523 of the radius keeps within 0.03 % of it (4/3 tan(π/8)).
func (t *trace) circle(x, y, r float64) {
	k := r * 4 / 3 * math.Tan(math.Pi/8)
	t.move(x+r, y)
	t.curve(x+r, y+k, x+k, y+r, x, y+r)
	t.curve(x-k, y+r, x-r, y+k, x-r, y)
	t.curve(x-r, y-k, x-k, y-r, x, y-r)
	t.curve(x+k, y-r, x+r, y-k, x+r, y)
	t.shut()
}

// points calls f with all points of the shape and of its handles, between which it lies.
func (t *trace) points(f func(x, y float64)) {
	for i := range t.steps {
		s := &t.steps[i]
		n := map[byte]int{'m': 2, 'l': 2, 'c': 6}[s.op]
		for k := 0; k < n; k += 2 {
			f(s.at[k], s.at[k+1])
		}
	}
}

// bounds are the corners of what the shape lies in; false: it is empty.
func (t *trace) bounds() (x0, y0, x1, y1 float64, ok bool) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	t.points(func(x, y float64) {
		x0, y0, x1, y1 = math.Min(x0, x), math.Min(y0, y), math.Max(x1, x), math.Max(y1, y)
	})
	return x0, y0, x1, y1, x0 <= x1 && y0 <= y1
}

// write puts the shape into a page's content, moved by dx and dy.
func (t *trace) write(b *strings.Builder, dx, dy float64) {
	for i := range t.steps {
		s := &t.steps[i]
		switch s.op {
		case 'h':
			b.WriteString("h\n")
			continue
		case 'c':
			b.WriteString(nums(s.at[0]+dx, s.at[1]+dy, s.at[2]+dx, s.at[3]+dy, s.at[4]+dx, s.at[5]+dy))
		default:
			b.WriteString(nums(s.at[0]+dx, s.at[1]+dy))
		}
		b.WriteByte(' ')
		b.WriteByte(s.op)
		b.WriteByte('\n')
	}
}

// parsePath reads the data of a path.
//
// Source: W3C, Scalable Vector Graphics (SVG) 1.1 (second edition), 8.3 path data; appendix F.6 for arcs.
func parsePath(d string) (*trace, error) {
	r := pathReader{rest: d}
	for {
		r.space()
		if r.rest == "" {
			break
		}
		if c := r.rest[0]; c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' {
			r.command, r.rest = c, r.rest[1:]
		} else if r.command == 0 || r.command|0x20 == 'z' {
			return nil, fmt.Errorf("a path's data has %q where a letter belongs", short(r.rest))
		}
		if len(r.steps) == 0 && r.command|0x20 != 'm' {
			return nil, fmt.Errorf("a path begins with M, this one with %q", short(d))
		}
		if err := r.step(); err != nil {
			return nil, err
		}
	}
	return &r.trace, nil
}

// short is the beginning of a text, to be quoted.
func short(s string) string {
	if len(s) > 24 {
		return s[:24] + "…"
	}
	return s
}

// pathReader reads a path step by step.
type pathReader struct {
	trace
	rest             string
	command          byte
	x, y             float64 // where the pen is
	startX, startY   float64 // where it set down last
	handleX, handleY float64 // the last curve's second handle, for the commands that continue it
	last             byte    // the command before, small
}

func (r *pathReader) space() { r.rest = strings.TrimLeft(r.rest, " \t\r\n,") }

// number reads a number; numbers may stand side by side where it is clear where one ends.
func (r *pathReader) number() (float64, error) {
	r.space()
	n, dot, exponent := 0, false, false
loop:
	for n < len(r.rest) {
		switch c := r.rest[n]; {
		case c >= '0' && c <= '9':
		case (c == '+' || c == '-') && (n == 0 || exponent && r.rest[n-1]|0x20 == 'e'):
		case c == '.' && !dot && !exponent:
			dot = true
		case c|0x20 == 'e' && !exponent && n > 0:
			exponent = true
		default:
			break loop
		}
		n++
	}
	v, err := strconv.ParseFloat(r.rest[:n], 64)
	if err != nil || math.Abs(v) > 1e9 {
		return 0, fmt.Errorf("a path's data has %q where a number belongs", short(r.rest))
	}
	r.rest = r.rest[n:]
	return v, nil
}

// flag reads a 0 or a 1, which may touch what follows.
func (r *pathReader) flag() (bool, error) {
	r.space()
	if r.rest == "" || r.rest[0] != '0' && r.rest[0] != '1' {
		return false, fmt.Errorf("an arc has %q where a 0 or a 1 belongs", short(r.rest))
	}
	on := r.rest[0] == '1'
	r.rest = r.rest[1:]
	return on, nil
}

// counts are how many numbers each command takes; an arc has two flags among its own.
var counts = map[byte]int{'m': 2, 'l': 2, 'h': 1, 'v': 1, 'c': 6, 's': 4, 'q': 4, 't': 2, 'a': 5, 'z': 0}

// step reads the numbers of a command and draws it.
func (r *pathReader) step() error {
	small := r.command | 0x20
	count, ok := counts[small]
	if !ok {
		return fmt.Errorf("a path has a command %q, which there is not", string(r.command))
	}
	var v [6]float64
	var large, sweep bool
	for i := range count {
		if small == 'a' && i == 3 {
			var err error
			if large, err = r.flag(); err != nil {
				return err
			}
			if sweep, err = r.flag(); err != nil {
				return err
			}
		}
		x, err := r.number()
		if err != nil {
			return err
		}
		v[i] = x
	}
	if r.command == small { // from where the pen is
		switch small {
		case 'h':
			v[0] += r.x
		case 'v':
			v[0] += r.y
		case 'a':
			v[3] += r.x
			v[4] += r.y
		default:
			for i := 0; i < count; i += 2 {
				v[i] += r.x
				v[i+1] += r.y
			}
		}
	}
	r.draw(small, v, large, sweep)
	r.last = small
	return nil
}

// draw draws a command whose numbers are places.
func (r *pathReader) draw(small byte, v [6]float64, large, sweep bool) {
	mirrorX, mirrorY := r.x, r.y // the handle that goes on smoothly
	if small == 's' && (r.last == 'c' || r.last == 's') || small == 't' && (r.last == 'q' || r.last == 't') {
		mirrorX, mirrorY = 2*r.x-r.handleX, 2*r.y-r.handleY
	}
	switch small {
	case 'm':
		r.move(v[0], v[1])
		r.startX, r.startY = v[0], v[1]
		r.x, r.y = v[0], v[1]
		r.command-- // l after m, L after M: further pairs are lines
	case 'l':
		r.to(v[0], v[1])
	case 'h':
		r.to(v[0], r.y)
	case 'v':
		r.to(r.x, v[0])
	case 'c':
		r.bend(v[0], v[1], v[2], v[3], v[4], v[5])
	case 's':
		r.bend(mirrorX, mirrorY, v[0], v[1], v[2], v[3])
	case 'q':
		r.square(v[0], v[1], v[2], v[3])
	case 't':
		r.square(mirrorX, mirrorY, v[0], v[1])
	case 'a':
		r.arc(v[0], v[1], v[2], large, sweep, v[3], v[4])
	case 'z':
		r.shut()
		r.x, r.y = r.startX, r.startY
	}
}

func (r *pathReader) to(x, y float64) {
	r.line(x, y)
	r.x, r.y = x, y
}

func (r *pathReader) bend(x1, y1, x2, y2, x, y float64) {
	r.curve(x1, y1, x2, y2, x, y)
	r.handleX, r.handleY, r.x, r.y = x2, y2, x, y
}

// square draws a curve with one handle, as one with two.
func (r *pathReader) square(hx, hy, x, y float64) {
	r.curve(r.x+2./3*(hx-r.x), r.y+2./3*(hy-r.y), x+2./3*(hx-x), y+2./3*(hy-y), x, y)
	r.handleX, r.handleY, r.x, r.y = hx, hy, x, y
}

// arc draws a part of an ellipse as curves of at most a quarter turn.
func (r *pathReader) arc(rx, ry, degrees float64, large, sweep bool, x, y float64) {
	rx, ry = math.Abs(rx), math.Abs(ry)
	if rx == 0 || ry == 0 || x == r.x && y == r.y {
		r.to(x, y)
		return
	}
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	// F.6.5: the ellipse's centre, in axes along its own
	dx, dy := (r.x-x)/2, (r.y-y)/2
	px, py := cos*dx+sin*dy, -sin*dx+cos*dy
	if big := px*px/(rx*rx) + py*py/(ry*ry); big > 1 {
		rx, ry = rx*math.Sqrt(big), ry*math.Sqrt(big)
	}
	f := math.Sqrt(math.Max(0, (rx*rx*ry*ry-rx*rx*py*py-ry*ry*px*px)/(rx*rx*py*py+ry*ry*px*px)))
	if large == sweep {
		f = -f
	}
	cx, cy := f*rx*py/ry, -f*ry*px/rx
	from := math.Atan2((py-cy)/ry, (px-cx)/rx)
	turn := math.Atan2((-py-cy)/ry, (-px-cx)/rx) - from
	if sweep && turn < 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	mx, my := cos*cx-sin*cy+(r.x+x)/2, sin*cx+cos*cy+(r.y+y)/2
	n := int(math.Ceil(math.Abs(turn)/(math.Pi/2) - 1e-9))
	each := turn / float64(max(n, 1))
	k := 4. / 3 * math.Tan(each/4)
	at := func(a, along float64) (float64, float64) { // a point, and its handle along the tangent
		s, c := math.Sincos(a)
		u, v := rx*(c-along*s), ry*(s+along*c)
		return cos*u - sin*v + mx, sin*u + cos*v + my
	}
	for i := range n {
		a, b := from+float64(i)*each, from+float64(i+1)*each
		x1, y1 := at(a, k)
		x2, y2 := at(b, -k)
		ex, ey := at(b, 0)
		if i == n-1 {
			ex, ey = x, y
		}
		r.bend(x1, y1, x2, y2, ex, ey)
	}
}
