package figure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A picture stands alone on light paper, its colours written beside each element. On a page it takes the page's: every
// element that is painted also carries a class that says what its colour stands for, "fill-ink", "stroke-t23" for a
// temperature at 23 fiftieths of the scale, "fill-tone4" for a grey; Styles gives the rules behind them.

// intents are the words for colours.
var intents = map[string]string{sheet: "sheet", ink: "ink", ink2: "ink2", line: "line", hair: "hair", pen: "pen", water: "water", light: "light", veil: "band", sign: "sign", ground: "signground", onSign: "onsign"}

// levels is how many steps a scale has in classes, less one.
const levels = 50

// tinted is the colour of a share of the temperature scale, with its class.
func tinted(share float64) string { return Tint(share) + " t" + fiftieth(share) }

// toned is tone with its class.
func toned(share float64) string { return tone(share) + " tone" + fiftieth(share) }

func fiftieth(share float64) string {
	return strconv.Itoa(int(math.Round(levels * math.Max(0, math.Min(1, share)))))
}

// painted splits a colour into how it is printed and what it stands for, "" where that is itself.
func painted(colour string) (printed, intent string) {
	if printed, intent, ok := strings.Cut(colour, " "); ok && strings.HasPrefix(colour, "#") {
		return printed, intent
	}
	return colour, intents[colour]
}

// Styles is the style sheet by which a page gives pictures its own colours: variables --t0 to --t50 along the scale of
// temperature and --tone0 to --tone50 along the greys, for light and for dark paper, and a rule for each class. The
// variables of the other intents, --ink and so on, are the page's.
func Styles() []byte {
	var b strings.Builder
	b.WriteString("/* Written by the room figure from its scales: go test ./figure -update. */\n")
	scales := func(indent string, tint, grey func(float64) string) {
		for i := range levels + 1 {
			share := float64(i) / levels
			fmt.Fprintf(&b, "%s--t%d: %s;\n%s--tone%d: %s;\n", indent, i, strings.ToLower(tint(share)), indent, i, strings.ToLower(grey(share)))
		}
	}
	b.WriteString(":root {\n")
	scales("  ", Tint, tone)
	b.WriteString("}\n@media screen and (prefers-color-scheme: dark) {\n  :root:not([data-paper]) {\n")
	scales("    ", DarkTint, darkTone)
	b.WriteString("  }\n}\n")
	rule := func(name string) {
		for _, p := range []string{"fill", "stroke", "stop-color"} {
			fmt.Fprintf(&b, ".%s-%s {\n  %s: var(--%s);\n}\n", p, name, p, name)
		}
	}
	for _, colour := range []string{sheet, ink, ink2, line, hair, pen, water, light, veil, sign, ground, onSign} {
		rule(intents[colour])
	}
	for i := range levels + 1 {
		rule(fmt.Sprint("t", i))
		rule(fmt.Sprint("tone", i))
	}
	return []byte(b.String())
}
