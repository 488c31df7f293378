package trial

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"sync"
	"unicode"

	"emberbank/history"
	"emberbank/unit"
)

// Sureness says how far a guess may be believed.
type Sureness int

// The degrees of sureness. Sure needs two witnesses that agree: what the heading says, and what the values do.
const (
	Doubtful Sureness = iota // a guess: look at it
	Likely
	Sure
)

// String returns the word that a first description shows.
func (s Sureness) String() string { return [...]string{"guess", "likely", "sure"}[s] }

// Guess is what a logger's file seems to hold.
type Guess struct {
	Layout   Layout
	Clock    Clock
	ClockHow string // what was found of the clock, in words
	ClockOK  Sureness
	Columns  []ColumnGuess
	Rows     int
	Interval float64 // s
	Year     int     // of the first row; 0 where the file does not say it
	Zone     string  // "UTC" or a distance from it; "" where the file does not say it
	Notes    []string
	// Seen is what the file holds by this guess, a column for each of Columns: in SI where the heading's unit is known, else
	// the numbers as they stand. Only spikes of temperatures and pressures and codes for a missing value are taken out.
	Seen *Record
}

// ColumnGuess is what one column seems to be.
type ColumnGuess struct {
	Number   int // from 1
	Heading  string
	Place    string // "" where it is better left out
	Role     Role
	Of       string
	Unit     string // to be stated; "" where the heading says it
	Hold     bool
	Also     []string         // further places of the same column: one inlet that feeds several circuits
	Quantity history.Quantity // what its values are
	Sure     Sureness
	Why      string
	// Template is of a column that is left out: what a line of the description would say of it, with dots where a person must
	// know; Hint what is to be known.
	Template, Hint string
}

// Look reads a logger's file and guesses what its columns are, from headings, units and values. It is a dry run: what
// comes of it is a first description for a person to correct. After a mistake among the findings the guess is nil.
func Look(r io.Reader, name string) (*Guess, []Finding) {
	fail := func(message, fix string) (*Guess, []Finding) {
		return nil, []Finding{{Source: 0, Channel: -1, Message: message, Fix: fix}}
	}
	br := bufio.NewReaderSize(textOf(r), mostLine)
	head, err := br.Peek(mostSample)
	if err != nil && !errors.Is(err, io.EOF) {
		return fail("reading "+name+": "+err.Error(), "make the file readable")
	}
	s, e := sniff(head, errors.Is(err, io.EOF), Layout{Skip: -1, Headings: -1})
	if e != nil || tooManyHoles(head) {
		if e == nil {
			e = errors.New("it holds bytes that no text has")
		}
		return fail(fmt.Sprintf("%s cannot be read as a logger's file: %v", name, e), "export the logger's data as text: CSV, or tabs or blanks between numbers")
	}
	l := &looking{sample: s, guess: &Guess{Layout: s.layout}}
	l.clock()
	l.numeric()
	if len(l.at) == 0 {
		return fail(name+" has no column of numbers beside the clock", "is this the right file?")
	}
	src := Source{Name: name, Layout: s.layout, Clock: l.guess.Clock, Channels: l.channels()}
	log, found := Decode(br, &src, 0, Repairs{})
	if log == nil {
		return nil, found
	}
	setup := &Setup{Axis: -1, Sources: []Source{src}}
	rec, found := Join(setup, []*Log{log})
	if rec == nil {
		return nil, found
	}
	l.rec, l.guess.Seen = rec, rec
	l.guess.Rows, l.guess.Interval = len(rec.History.Time), rec.Interval
	if l.guess.Clock.FixedYear == 0 && !rec.Start.IsZero() {
		l.guess.Year = rec.Start.Year()
	}
	if rec.Zoned {
		l.guess.Zone = "UTC"
		if _, east := rec.Start.Zone(); east != 0 {
			l.guess.Zone = rec.Start.Format("-07:00")
		}
	}
	l.guess.Notes = rec.Notes
	for _, f := range found {
		l.guess.Notes = append(l.guess.Notes, f.Message)
	}
	l.decide()
	return l.guess, nil
}

// looking is one call of Look.
type looking struct {
	sample  *sample
	guess   *Guess
	clocks  map[int]bool // columns that the clock takes
	at      []int        // columns of numbers
	rec     *Record      // with a column for each of at
	units   []measured   // of at; zero where unknown
	kind    []history.Quantity
	named   []string // name of the heading without unit
	words   [][]string
	assumed []bool // the unit was taken from the last letter of the heading
	turned  []bool // inlet or outlet by its course, since the heading leaves it open
	flow    int    // index into at, -1
	on      []bool
	hot     []float64 // hottest temperature by row
}

// numeric finds the columns of numbers that the clock does not take.
func (l *looking) numeric() {
	s := l.sample
	for c := range s.width {
		if l.clocks[c] {
			continue
		}
		numbers, all := 0, 0
		for _, row := range s.rows {
			if c >= len(row) {
				continue
			}
			all++
			if _, ok := number([]byte(row[c]), s.layout.Decimal); ok {
				numbers++
			} else if !noValueWord([]byte(row[c])) {
				numbers--
			}
		}
		if all > 0 && 2*numbers > all {
			l.at = append(l.at, c)
		}
	}
}

// channels makes a channel of each column, in the heading's unit where that is known and as plain numbers else.
func (l *looking) channels() []Channel {
	var out []Channel
	letters := l.unitLetters()
	l.turned = make([]bool, len(l.at))
	for k, c := range l.at {
		heading := l.sample.headings[c]
		name, _ := splitHeading(heading)
		u, known := unitOf(l.sample.units[c])
		l.assumed = append(l.assumed, letters[k] != "")
		if letters[k] != "" {
			u, known = unitOf(letters[k])
		}
		ch := Channel{
			Column: Ref{Number: c + 1}, Name: fmt.Sprint("column ", c+1), Quantity: history.Fraction, Conversion: unit.Conversion{Factor: 1, Divisor: 1},
			Repairs: Repairs{Spikes: On, Stuck: Off, Dribble: Off},
		}
		if known && !u.electric && !u.time {
			if conv, err := unitBetween(u); err == nil {
				ch.Quantity, ch.Conversion, ch.Unit = u.quantity, conv, u.text
			}
		}
		if ch.Quantity != history.Temperature && ch.Quantity != history.Pressure {
			ch.Repairs.Spikes = Off
		}
		if _, is := unit.Gauge(l.sample.units[c]); is { // no other quantity, whatever the words
			ch.Quantity, u.text, u.quantity = history.Pressure, l.sample.units[c], history.Pressure
		}
		l.units = append(l.units, u)
		l.kind = append(l.kind, ch.Quantity)
		l.named = append(l.named, name)
		l.words = append(l.words, wordsOf(name))
		out = append(out, ch)
	}
	return out
}

// unitLetters returns "degF" or "degC" for columns without a unit whose headings end in "_F" or "_C", where two of them
// do at least and their values begin within what a room has on that scale.
func (l *looking) unitLetters() []string {
	out := make([]string, len(l.at))
	for _, x := range []struct {
		letter, unit string
		low, high    float64
	}{{"F", "degF", 33, 115}, {"C", "degC", -10, 45}} {
		var at []int
		room := false
		for k, c := range l.at {
			h := strings.TrimSpace(l.sample.headings[c])
			v, ok := l.column(c)
			if l.sample.units[c] != "" || !ok || !strings.HasSuffix(h, "_"+x.letter) && !strings.HasSuffix(h, " "+x.letter) {
				continue
			}
			at = append(at, k)
			room = room || v[0] > x.low && v[0] < x.high
		}
		if len(at) < 2 || !room {
			continue
		}
		for _, k := range at {
			out[k] = x.unit
		}
	}
	return out
}

// wordsOf parts a heading into words in small letters: at blanks and marks, between letters and digits, and before a
// capital that follows a small letter.
func wordsOf(name string) []string {
	var out []string
	var w []rune
	end := func() {
		if len(w) > 0 {
			out = append(out, strings.ToLower(string(w)))
			w = nil
		}
	}
	var last rune
	for _, c := range plainLetters(name) {
		switch {
		case !unicode.IsLetter(c) && !unicode.IsDigit(c):
			end()
		case len(w) > 0 && (unicode.IsDigit(c) != unicode.IsDigit(last) || unicode.IsUpper(c) && unicode.IsLower(last)):
			end()
			w = append(w, c)
		default:
			w = append(w, c)
		}
		last = c
	}
	end()
	return out
}

// plainLetters takes off accents.
func plainLetters(s string) string {
	return strings.NewReplacer("ä", "a", "ö", "o", "ü", "u", "Ä", "A", "Ö", "O", "Ü", "U", "ß", "ss", "é", "e", "è", "e", "ê", "e", "á", "a", "à", "a",
		"â", "a", "ã", "a", "í", "i", "ó", "o", "ô", "o", "õ", "o", "ú", "u", "ç", "c", "ñ", "n", "å", "a", "ø", "o", "É", "E", "ϑ", "t", "ł", "l", "ą", "a", "ę", "e").Replace(s)
}

// meaning is what a word in a heading speaks for.
type meaning int

const (
	noMeaning meaning = iota
	meansInlet
	meansOutlet
	meansAmbient
	meansBody
	meansFlow
	meansLamp
	meansHeater
	meansPower
	meansIrradiance
	meansDirect
	meansGlobal
	meansDiffuse
	meansPlane
	meansPressure
	meansWind
	meansHumidity
	meansLogger // the logger's own: battery, panel, counter
	meansTemperature
	meansSupply
	meansReturn
)

// vocabulary holds words of the trade as headings have them, without accents: English, German, French, Spanish,
// Italian, Portuguese, Dutch, Polish. Supply and return, Vorlauf and Rücklauf stand by themselves: which of the two is
// a receiver's inlet depends on whose supply it is, and the course decides it.
var vocabulary = [...]string{
	meansInlet:  "in inlet inl tin twin einlass eintritt eingang ein zulauf zufluss zulf entree entrada entrata ingresso inlaat invoer wlot wejscie cold kalt froid fria freddo",
	meansOutlet: "out outlet outl tout twout auslass austritt ausgang aus ablauf abfluss sortie salida saida uscita uitlaat uitvoer wylot wyjscie",
	meansAmbient: "hall halle amb ambient tamb ta air tair room raum umgebung umg luft raumluft aussen aussenluft ambiant ambiante ambiente ambiental aria aire ar outdoor outside lab labor " +
		"exterieur exterior esterno omgeving otoczenie",
	meansBody: "block blk core kern mitte center centre middle front vorn vorne back rear hinten top oben bottom unten left links right rechts absorber graphite graphit aluminium " +
		"alu speicher storage bloc bloque blocco bloco blok centro coeur avant arriere fondo cara face wall body node jacket mantel insulation insul dammung isolation isolierung " +
		"surface skin zinc pcm salt corner edge",
	meansFlow:        "flow flowrate fluss durchfluss durchfl volumenstrom massenstrom debit caudal portata vazao debiet przeplyw mdot vdot massflow volflow flw wasserstrom",
	meansLamp:        "lamp lampe lamps lampen lampara lampada simulator",
	meansHeater:      "heater heizer heizpatrone heizung cartridge patrone chauffage resistance calentador riscaldatore",
	meansPower:       "power pow leistung puissance potencia potenza pel watt vermogen moc",
	meansIrradiance:  "irr irradiance irradiation solar sun pyr pyranometer strahlung einstrahlung bestrahlung bestrahlungsstarke rayonnement radiation radiacion irraggiamento sonne soleil",
	meansDirect:      "dni beam direct direkt pyrheliometer bni dnr normal",
	meansGlobal:      "ghi global globalstrahlung horizontal gh",
	meansDiffuse:     "dhi diffuse diffus",
	meansPlane:       "poa gti tilted plane inclined",
	meansPressure:    "press pressure druck pression presion pressione pressao pabs cisnienie",
	meansWind:        "wind ws windspeed vent viento vento windgeschwindigkeit wiatr",
	meansHumidity:    "rh hum humidity feuchte humidite humedad umidita",
	meansLogger:      "batt battery batterie vbat bat ptemp panel klemme klemmstelle cj cjc junction ref reference logger rec record recnum recnbr nr no index id scan sample count status alarm flag quality",
	meansSupply:      "vorlauf vl supply mandata",
	meansReturn:      "rucklauf ruecklauf rl return retour ritorno",
	meansTemperature: "t temp temps temperatur temperature temperatura tc thermo th",
}

// meanings is the vocabulary by word.
var meanings = sync.OnceValue(func() map[string]meaning {
	out := map[string]meaning{}
	for m, text := range vocabulary {
		for w := range strings.FieldsSeq(text) {
			out[w] = meaning(m)
		}
	}
	return out
})

// says returns the meanings of a heading's words.
func says(words []string) map[meaning]bool {
	out, of := map[meaning]bool{}, meanings()
	for _, w := range words {
		m, ok := of[w]
		if !ok && len(w) > 2 && w[0] == 't' { // Tamb, Tin, Tcore
			m = of[w[1:]]
		}
		if m != noMeaning {
			out[m] = true
		}
	}
	if out[meansTemperature] && out[meansBody] || out[meansInlet] && len(words) == 1 && words[0] == "tin" {
		delete(out, meansTemperature)
	}
	return out
}

// values returns a column of numbers.
func (l *looking) values(i int) []float64 { return l.rec.History.Columns[i].Values }

func quantiles(v []float64, shares ...float64) []float64 {
	var w []float64
	for _, x := range v {
		if x == x {
			w = append(w, x)
		}
	}
	out := make([]float64, len(shares))
	slices.Sort(w)
	for i, s := range shares {
		out[i] = math.NaN()
		if len(w) > 0 {
			out[i] = w[int(s*float64(len(w)-1))]
		}
	}
	return out
}
