package cli

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"emberbank/dossier"
	"emberbank/press"
	"emberbank/shelf"
	"emberbank/unit"
)

type pictureCommand struct {
	Dir      string `arg:"" optional:"" default:"."`
	Name     string `arg:"" optional:""`
	Output   string `short:"o"`
	Width    string `default:"160mm"`
	Type     string `default:"8pt"`
	Dots     float64
	OverTime string `name:"over-time"`
	JSON     bool   `name:"json"`
	Quiet    bool

	gathered *dossier.Gathered
	paper    press.Single
}

func (k *pictureCommand) wantsJSON() bool { return k.JSON }

// pictureJSON is what `picture --json` prints of a picture that was made.
type pictureJSON struct {
	File   string `json:"file"`
	Origin string `json:"origin"`
	Anew   bool   `json:"laid_out_anew"`
	Why    string `json:"note,omitempty"` // from which fields it moves, or why it is as its results keep it
	Bytes  int    `json:"bytes"`
}

// shownJSON is a picture in the list.
type shownJSON struct {
	Name  string `json:"name"`
	Of    string `json:"of"`
	Anew  bool   `json:"laid_out_anew"`
	Moves bool   `json:"moves"`
}

func (k *pictureCommand) run(c *call) error {
	if err := k.sizes(); err != nil {
		return err
	}
	if k.Name == "" && k.Output+k.OverTime != "" {
		return &failure{code: ExitUsage, message: "no picture is named", hint: "emberbank picture " + shelf.Word(k.Dir) + " lists what there is; name one behind the folder of its bench"}
	}
	at, err := locate(k.Dir)
	if err != nil {
		return err
	}
	if !at.folder {
		return &failure{code: ExitInput, message: k.Dir + " is a file", hint: "name the folder of its bench, then a picture: emberbank picture DIR lists them"}
	}
	if k.gathered, err = dossier.Gather(at.fs(), dossier.Options{Version: Version}); err != nil {
		return composing(at, err)
	}
	all := k.gathered.Gallery()
	chosen, err := k.choose(all)
	if err != nil { // it is a figure of the report, or all are asked for
		if all, err = k.withReport(at, all); err != nil {
			return err
		}
		if k.Name == "" {
			return k.list(c, all)
		}
		if chosen, err = k.choose(all); err != nil {
			return err
		}
	}
	target := k.Output
	if target == "" {
		target = strings.ReplaceAll(chosen.Name, "/", "-") + ".svg"
	}
	if isFolder(target) {
		return &failure{code: ExitUsage, message: "-o " + target + " is a folder", hint: "name a file that ends in .svg, .pdf or .png"}
	}
	made := pictureJSON{File: fromHere(target)}
	var raw []byte
	if k.OverTime != "" {
		raw, err = k.moving(c, at, chosen, target, &made)
	} else {
		raw, err = k.still(chosen, target, &made)
	}
	if err != nil {
		return err
	}
	made.Bytes = len(raw)
	if err := put(target, raw, c.disk); err != nil {
		return err
	}
	switch {
	case k.JSON:
		c.printJSON(made)
	case !k.Quiet:
		fmt.Fprintf(c.out, "%s: %s, %s wide, %s\n", made.File, chosen.Name, k.Width, bytesText(int64(len(raw))))
		if made.Why != "" {
			fmt.Fprintf(c.out, "  %s\n", made.Why)
		}
	}
	return nil
}

// sizes reads the flags that are sizes.
func (k *pictureCommand) sizes() error {
	wide, err := unit.Parse(k.Width, unit.Length)
	if err != nil {
		return &failure{code: ExitUsage, message: "--width is " + k.Width, err: err}
	}
	number, isPoints := strings.CutSuffix(strings.TrimSpace(k.Type), "pt")
	size, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if !isPoints || err != nil {
		return &failure{code: ExitUsage, message: "--type is " + k.Type, hint: "give it in points, such as 8pt"}
	}
	k.paper = press.Single{Wide: 1000 * wide.Value, Type: size}
	switch { // before anything is drawn for it
	case !(k.paper.Wide >= press.LeastWide && k.paper.Wide <= press.MostWide):
		return &failure{code: ExitUsage, message: "--width is " + k.Width, hint: fmt.Sprintf("it is from %.0f to %.0f mm", press.LeastWide, press.MostWide)}
	case !(size >= press.LeastType && size <= press.MostType):
		return &failure{code: ExitUsage, message: "--type is " + k.Type, hint: fmt.Sprintf("it is from %.0f to %.0f pt", press.LeastType, press.MostType)}
	case !(k.Dots >= 0):
		return &failure{code: ExitUsage, message: fmt.Sprintf("--dots is %g", k.Dots), hint: "give how many dots an inch has, such as 300"}
	}
	return nil
}

// withReport adds to pictures the report's figures by number.
func (k *pictureCommand) withReport(at place, all []dossier.Shown) ([]dossier.Shown, error) {
	report, err := dossier.Report(k.gathered)
	if err != nil {
		return nil, composing(at, err)
	}
	figures, err := dossier.Numbered("report", report, all)
	if err != nil {
		return nil, composing(at, err)
	}
	return append(all, figures...), nil
}

// list says what pictures there are.
func (k *pictureCommand) list(c *call, all []dossier.Shown) error {
	if k.JSON {
		out := []shownJSON{}
		for _, s := range all {
			out = append(out, shownJSON{s.Name, s.Of, s.Anew, s.Moves})
		}
		c.printJSON(out)
		return nil
	}
	if k.Quiet {
		return nil
	}
	wide := 0
	for _, s := range all {
		wide = min(40, max(wide, len([]rune(s.Name))))
	}
	for _, s := range all {
		fmt.Fprintln(c.out, shortened(fmt.Sprintf("  %-*s  %s", wide, s.Name, s.Of), 80))
	}
	if len(all) == 0 {
		fmt.Fprintln(c.out, "There are no pictures: no run of the bench can be read, and no result is there.")
	}
	return nil
}

// shortened cuts a line to so many letters.
func shortened(line string, most int) string {
	r := []rune(line)
	if len(r) <= most {
		return line
	}
	return strings.TrimRight(string(r[:most-1]), " ,.") + "…"
}

// choose finds the picture of a name: all of it, its beginning up to a slash, or its end behind one where only one has it.
func (k *pictureCommand) choose(all []dossier.Shown) (*dossier.Shown, error) {
	var ends []*dossier.Shown
	var begins *dossier.Shown
	for i := range all {
		s := &all[i]
		head, tail, _ := strings.Cut(s.Name, "/")
		if j := strings.LastIndexByte(s.Name, '/'); j >= 0 {
			head, tail = s.Name[:j], s.Name[j+1:]
		}
		switch {
		case s.Name == k.Name:
			return s, nil
		case tail == k.Name:
			ends = append(ends, s)
		case head == k.Name && (begins == nil || k.OverTime != "" && s.Moves && !begins.Moves):
			begins = s
		}
	}
	switch {
	case len(ends) == 1:
		return ends[0], nil
	case len(ends) > 1:
		return nil, &failure{code: ExitInput, message: fmt.Sprintf("%d pictures are called %s", len(ends), k.Name), hint: "name one of them wholly, such as " + ends[0].Name}
	case begins != nil:
		return begins, nil
	}
	return nil, &failure{code: ExitInput, message: "there is no picture " + k.Name, hint: "emberbank picture " + shelf.Word(k.Dir) + " lists what there is"}
}

// leastLaid is the least width, in px, for which a picture is laid out anew: dimensions and names of a drawing have no room in less.
const leastLaid = 300

// narrow is the mistake of a paper that is too narrow for its type.
func (k *pictureCommand) narrow(s *dossier.Shown, px float64) error {
	return &failure{
		code: ExitInput, message: fmt.Sprintf("%s at %s wide, with type of %s: there is room from %.0f mm of width on, or for type of %.1f pt",
			s.Name, k.Width, k.Type, math.Ceil(k.paper.Wide*leastLaid/px), math.Floor(10*k.paper.Type*px/leastLaid)/10),
		hint: "give it more --width, or smaller --type",
	}
}

// still makes a picture that does not move.
func (k *pictureCommand) still(s *dossier.Shown, target string, made *pictureJSON) (raw []byte, err error) {
	ending := strings.ToLower(filepath.Ext(target))
	if !slices.Contains([]string{".svg", ".pdf", ".png"}, ending) {
		return nil, &failure{code: ExitUsage, message: "-o " + target + ": its ending says what it becomes", hint: "let it end in .svg, .pdf or .png, or, with --over-time, in .svg or .gif"}
	}
	d, err := s.Draw(k.paper.Pixels())
	if err != nil {
		return nil, &failure{code: ExitInput, message: "drawing " + s.Name, err: err}
	}
	if px := k.paper.Pixels(); d.Anew && px < leastLaid {
		return nil, k.narrow(s, px)
	}
	made.Origin, made.Anew, made.Why = d.Origin, d.Anew, d.Why
	if d.Why != "" {
		made.Why = "as its results keep it: " + d.Why
	}
	switch ending {
	case ".svg":
		raw, err = k.paper.SVG(d.SVG)
	case ".pdf":
		raw, err = k.paper.PDF(d.SVG)
	default:
		raw, err = k.png(d.SVG)
	}
	return raw, k.noRoom(s, err)
}

func (k *pictureCommand) png(svg []byte) ([]byte, error) {
	dots := k.Dots
	if dots == 0 {
		dots = 300
	}
	img, err := k.paper.Dots(svg, dots)
	if err != nil {
		return nil, err
	}
	return press.PNG(img, dots)
}

// noRoom words why a picture cannot be so.
func (k *pictureCommand) noRoom(s *dossier.Shown, err error) error {
	var crowded *press.Crowded
	switch {
	case err == nil:
		return nil
	case errors.As(err, &crowded):
		return &failure{code: ExitInput, message: fmt.Sprintf("%s at %s wide, with type of %s", s.Name, k.Width, k.Type), err: err, hint: "give it more --width, or smaller --type"}
	}
	return &failure{code: ExitInput, message: "setting " + s.Name, err: err}
}

// put writes the file whole or not at all.
func put(target string, raw []byte, d disks) error {
	folder := filepath.Dir(target)
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return disk("making the folder "+folder, err)
	}
	part := filepath.Join(folder, "."+filepath.Base(target)+".part")
	_ = os.Remove(part) // of one that was killed
	err := writeNew(part, raw, d)
	if err == nil {
		err = os.Rename(part, target)
	}
	if err != nil {
		_ = os.Remove(part)
		return disk("writing "+target, err)
	}
	return nil
}
