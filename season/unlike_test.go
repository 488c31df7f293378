package season

import (
	"math"
	"reflect"
	"testing"

	"emberbank/duty"
)

// Three clouds of one hour in ten hours of light: by hand 10 h less 3 h of 500 W, and three times down and up again.
func TestTraitsOfADayAreThoseOfItsWeather(t *testing.T) {
	light := duty.Signal{Step: true, T: []float64{0, 7 * 3600}, V: []float64{0, 500}}
	for _, h := range []float64{9, 11, 13} {
		light.T, light.V = append(light.T, h*3600, (h+1)*3600), append(light.V, 0, 500)
	}
	light.T, light.V = append(light.T, 17*3600), append(light.V, 0)
	d := duty.Duty{Ambient: duty.Fixed(280), Wind: duty.Fixed(2), Light: &duty.Light{Power: light}}
	x := weatherTraits(&d, 0)
	want := traits{lightSum: 7 * 3600 * 500, lightPeak: 500, lightWavering: 3 * 2 * 500, ambient: 280, windMean: 2}
	for k := range x {
		if math.Abs(x[k]-want[k]) > 1e-9*(1+want[k]) {
			t.Errorf("%s: %g, by hand %g", traitNames[k], x[k], want[k])
		}
	}
}

// The day farthest from all that are known is chosen, not one that is far from a few; and what lies outside them is counted by day.
func TestDayLeastLikeTheOthersIsFoundAndDaysOutsideAreCounted(t *testing.T) {
	day := func(sum, wind float64) traits { return traits{lightSum: sum, windMean: wind} }
	season := []traits{day(0, 1), day(10, 1), day(5, 1), day(4, 9), day(6, 5), day(10.3, 1.2), day(12, 8)}
	known := []traits{season[0], season[1]}
	if got := farthest(season, known, nil); got != 3 {
		t.Errorf("day %d is least like the others, not day 3", got)
	}
	if got := farthest(season, known, []Day{DayAt(3, 0)}); got != 6 {
		t.Errorf("with day 3 taken day %d is least like the others, not day 6", got)
	}
	if got := farthest(season[:2], known, nil); got >= 0 {
		t.Errorf("of days that are all known day %d is unlike", got)
	}
	out := Outcome{Beyond: beyond(season, known)}
	want := []Beyond{{"light of the day", []int{6}}, {"wind", []int{3, 4, 6}}} // 10.3 lies within a twentieth of 12, and 1.2 within one of 8
	if !reflect.DeepEqual(out.Beyond, want) {
		t.Errorf("outside are %v, by hand %v", out.Beyond, want)
	}
	if got := out.Outside(); !reflect.DeepEqual(got, []int{3, 4, 6}) {
		t.Errorf("outside are the days %v", got)
	}
}
