package web

import (
	"context"
	"fmt"
	"math"
	"net/http"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/figure"

	"github.com/danielgtaylor/huma/v2"
)

// lightAPI tells what a dish's light does on a window: what `emberbank light` prints, and its pictures laid out for the page.
func (d *Desk) lightAPI(a huma.API) {
	huma.Get(a, "/api/light", d.getLight, named("light", "What a dish throws on a window, as far as it is cast; the rays are cast when it is first asked for, a few at first"))
	huma.Post(a, "/api/light/again", d.postLightAgain, named("cast-light", "Go on casting what was stopped"))
	huma.Post(a, "/api/light/stop", d.postLightStop, named("stop-light", "Stop casting; the coarse answer stays"))
	for _, p := range []struct {
		at, id, summary string
		draw            func(l *account.Light, at figure.Place) []byte
	}{
		{"flux", "light-flux", "The flux on the window's plane, with the window's lengths, as SVG", (*account.Light).FluxPicture},
		{"catch", "light-catch", "What windows of other sizes catch, as SVG", (*account.Light).CatchPicture},
		{"beam", "light-beam", "Where the beam on the dish's aperture goes, as SVG", (*account.Light).BeamPicture},
		{"kept", "light-kept", "What windows take in less what they lose over their size, at the stated beam, as SVG", func(l *account.Light, at figure.Place) []byte { return l.KeptPicture(false, at) }},
		{"kept-day", "light-kept-day", "The same over the day that the file states, as SVG", func(l *account.Light, at figure.Place) []byte { return l.KeptPicture(true, at) }},
	} {
		huma.Register(a, huma.Operation{OperationID: p.id, Method: http.MethodGet, Path: "/api/light/" + p.at, Summary: p.summary}, d.lightPicture(p.draw))
	}
}

type lightBody struct {
	Cast
	Title     string           `json:"title"`
	Sentence  string           `json:"sentence" doc:"what the window catches, in words; empty while nothing is cast"`
	Right     string           `json:"right" doc:"which window keeps the most, in words; empty where that is not asked"`
	Numbers   []lightNumber    `json:"numbers"`
	Parts     []lightPart      `json:"parts" doc:"where the beam on the dish's aperture goes"`
	Uncertain []lightUncertain `json:"uncertain" doc:"what is not known exactly, with what it does to the power in the window"`
	Best      []lightBest      `json:"best" doc:"of each way of making and using the window the one that keeps the most"`
	Day       float64          `json:"day_s" doc:"how long the day lasts over which it is told; 0: none"`
	Rays      string           `json:"statistics" doc:"how many rays were cast and what they leave open, in words"`
	Notes     []string         `json:"notes" doc:"to be read with care"`
	Caution   string           `json:"caution"`
	Asks      bool             `json:"may_ask" doc:"a receiver is named, so that the right window can be asked for"`
	Problems  []bench.Problem  `json:"problems"`
	Failure   string           `json:"failure,omitempty"`
}

type lightNumber struct {
	Name  string  `json:"name"`
	Value float64 `json:"value" doc:"SI"`
	Half  float64 `json:"half_width_95" doc:"of casting and of inputs; 0: not known"`
	Unit  string  `json:"unit"`
	Where string  `json:"where,omitempty" doc:"in words"`
}

type lightPart struct {
	Name  string  `json:"name"`
	Power float64 `json:"power_W"`
	Share float64 `json:"share"`
	Rays  int64   `json:"rays,omitempty"`
}

type lightUncertain struct {
	Input string  `json:"input"`
	Power float64 `json:"power_W" doc:"what the power in the window does when the input rises by its half-width at 95 %"`
	Share float64 `json:"share" doc:"of the variance"`
}

type lightBest struct {
	Name     string   `json:"name"`
	Unit     string   `json:"unit" enum:"W,J" doc:"of what is kept; J: over the day"`
	Size     float64  `json:"size_m" doc:"0: no window keeps heat"`
	SizeHalf float64  `json:"size_half_width_95_m" doc:"0: not known"`
	From     float64  `json:"from_m" doc:"sizes between these keep 99 % of the best"`
	To       float64  `json:"to_m"`
	Kept     float64  `json:"kept"`
	KeptHalf float64  `json:"kept_half_width_95"`
	Less     *float64 `json:"this_keeps_less" doc:"share by which the window as it is keeps less than the best; null: it is larger than what was looked at"`
}

func (d *Desk) getLight(_ context.Context, q *FileQuery) (*body[lightBody], error) {
	c, err := d.casts.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	out := lightBody{
		Cast: c.standing(), Failure: c.failure, Caution: account.LightCaution, Problems: append([]bench.Problem{}, c.problems...),
		Numbers: []lightNumber{}, Parts: []lightPart{}, Uncertain: []lightUncertain{}, Best: []lightBest{}, Notes: []string{},
	}
	if c.loaded != nil {
		out.Title = c.loaded.Name
		out.Asks = c.loaded.Receiver != nil && c.loaded.Receiver.Window != nil
	}
	if c.hand != nil {
		out.told(c.hand)
	}
	return &body[lightBody]{out}, nil
}

// told takes in what a cast says.
func (b *lightBody) told(l *account.Light) {
	b.Sentence, b.Rays, b.Notes = l.Sentence(), l.Statistics(), append(b.Notes, l.Notes...)
	for _, n := range l.Numbers() {
		b.Numbers = append(b.Numbers, lightNumber(n))
	}
	for _, p := range l.Parts() {
		b.Parts = append(b.Parts, lightPart(p))
	}
	if l.Carried != nil {
		for _, p := range l.Carried.Parts {
			b.Uncertain = append(b.Uncertain, lightUncertain{p.Name, l.Beam * p.Window, p.Share})
		}
	}
	if l.Right == nil {
		return
	}
	b.Right, b.Day = l.Right.Sentence(), l.Right.Answer.Lasts
	known := func(x float64) float64 {
		if math.IsNaN(x) {
			return 0
		}
		return x
	}
	for _, r := range l.Right.Rows() {
		one := lightBest{
			Name: r.Name, Unit: "W", Size: r.Size, SizeHalf: known(r.SizeHalf), From: r.From, To: r.To, Kept: r.Kept, KeptHalf: known(r.KeptHalf),
		}
		if r.Day {
			one.Unit = "J"
		}
		if !math.IsNaN(r.Less) {
			one.Less = &r.Less
		}
		b.Best = append(b.Best, one)
	}
}

func (d *Desk) postLightAgain(_ context.Context, q *FileQuery) (*body[Cast], error) {
	c, err := d.casts.of(q.Name)
	if err == nil {
		err = d.casts.again(c)
	}
	return castStanding(c, err)
}

func (d *Desk) postLightStop(_ context.Context, q *FileQuery) (*body[Cast], error) {
	c, err := d.casts.of(q.Name)
	if err == nil {
		c.halt()
	}
	return castStanding(c, err)
}

func castStanding(c *cast, err error) (*body[Cast], error) {
	if err != nil {
		return nil, refused(err)
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	return &body[Cast]{c.standing()}, nil
}

type lightPictureQuery struct {
	FileQuery
	Room
}

// lightPicture answers with a picture of what is cast so far.
func (d *Desk) lightPicture(draw func(l *account.Light, at figure.Place) []byte) func(context.Context, *lightPictureQuery) (*picture, error) {
	return func(_ context.Context, q *lightPictureQuery) (*picture, error) {
		c, err := d.casts.of(q.Name)
		if err != nil {
			return nil, refused(err)
		}
		c.mu.Lock()
		l := c.hand
		c.mu.Unlock()
		if l == nil {
			return nil, huma.Error404NotFound("this is drawn when the first rays are cast")
		}
		p := draw(l, figure.Place{Wide: q.Wide, High: q.High})
		if p == nil {
			return nil, huma.Error404NotFound(fmt.Sprintf("%s does not ask for that", q.Name))
		}
		return svg(p), nil
	}
}
