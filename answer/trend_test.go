package answer

import (
	"math"
	"strings"
	"testing"
)

// thick is the mean of a block at the end of a day, in °C, over the thickness in m of the felt behind it, as the program computed it for
// three felts; their conductivities are in the ratio 1 : 2 : 4. The first points are known thirty times better than the last ones. Thick
// felt takes up heat itself, so that the first felt's mean is flat at its end, at 385.5 °C by a finer grid.
func thick(felt int) Response {
	return Response{
		X: []float64{0.02, 0.026261, 0.034481, 0.045275, 0.059447, 0.078056, 0.10249, 0.134573, 0.176699, 0.232011, 0.304638, 0.4},
		Y: [][]float64{
			{308.6071, 325.9084, 340.5357, 352.5849, 362.2746, 369.8790, 375.6782, 379.9253, 382.8277, 384.5486, 385.3084, 385.5348},
			{253.8227, 276.7770, 297.8266, 316.4374, 332.3583, 345.5738, 356.2281, 364.5512, 370.7974, 375.2022, 377.9602, 379.3053},
			{192.8105, 216.4910, 240.6412, 264.2027, 286.2296, 306.0166, 323.1437, 337.4538, 348.9858, 357.8965, 364.3875, 368.6543},
		}[felt],
		U: [][]float64{
			{0.0059, 0.0059, 0.0163, 0.0163, 0.0163, 0.0404, 0.0404, 0.0404, 0.179, 0.179, 0.179, 0.179},
			{0.0051, 0.0051, 0.0131, 0.0131, 0.0131, 0.0364, 0.0364, 0.0364, 0.107, 0.107, 0.107, 0.107},
			{0.0099, 0.0099, 0.0088, 0.0088, 0.0088, 0.0298, 0.0298, 0.0298, 0.0779, 0.0779, 0.0779, 0.0779},
		}[felt],
		Neighbour: Unknown,
	}
}

// TestPointsKnownBestDoNotDrawATrendOffTheLastOnes: no limit of a rising response lies below its last value, and a flat end is
// called one though its first points are known better than a simple curve can follow.
func TestPointsKnownBestDoNotDrawATrendOffTheLastOnes(t *testing.T) {
	for felt, want := range []Verdict{Flattened, Undecided, StillChanging} {
		r := thick(felt)
		p, err := Flattening{Margin: 3}.Plateau(r)
		if err != nil {
			t.Fatal(err)
		}
		if p.Verdict != want {
			t.Errorf("felt %d is %v (%s), not %v", felt+1, p.Verdict, p.Why, want)
		}
		if _, _, ok := p.Suggested(); ok != (felt < 2) { // neither curve bends as the third one does
			t.Errorf("felt %d: a limit is suggested: %v", felt+1, ok)
		}
		last := len(r.X) - 1
		least := r.Y[last] - 1.645*r.U[last] - 1e-3
		for _, trend := range []*Trend{p.Exponential, p.Power} {
			if trend == nil {
				continue // it says nothing
			}
			if trend.Limit < least || trend.Low < least || trend.Low > trend.Limit || trend.High < trend.Limit {
				t.Errorf("felt %d, %s: a limit of %g (%g to %g) behind the last value of %g", felt+1, trend.Kind, trend.Limit, trend.Low, trend.High, r.Y[last])
			}
			if d := trend.At(r.X[last]) - r.Y[last]; math.Abs(d) > 0.75+1.645*r.U[last] {
				t.Errorf("felt %d, %s misses the last value by %g", felt+1, trend.Kind, d)
			}
		}
	}
	if p, _ := (Flattening{Margin: 3}).Plateau(thick(0)); math.Abs(p.Value-385.5) > 3 {
		t.Errorf("the plateau is at %g", p.Value)
	}
}

// TestATrendThatDescribesNothingSaysNothing: of a response that swings neither curve speaks, and that is said.
func TestATrendThatDescribesNothingSaysNothing(t *testing.T) {
	r := Response{Neighbour: Unknown}
	for i := range 12 {
		r.X, r.U = append(r.X, float64(i+1)), append(r.U, 0.01)
		r.Y = append(r.Y, 10*float64(i)+20*float64(i%2))
	}
	p, err := Flattening{}.Plateau(r)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(p.Sentences(Flattening{}, Names{}), " ")
	if _, _, ok := p.Suggested(); ok || p.Exponential != nil || p.Power != nil || !strings.Contains(text, "No limit is suggested: neither") ||
		!strings.Contains(text, "a range that reaches further") {
		t.Errorf("it says %s", text)
	}
}

// TestOneTrendSpeaksWhereTheOtherDoesNot: the sentence names the one that speaks and the one that does not.
func TestOneTrendSpeaksWhereTheOtherDoesNot(t *testing.T) {
	r := exponential(24, 0.2, 0)
	r.U = nil
	p, err := Flattening{Margin: 0.01}.Plateau(r)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(p.Sentences(Flattening{Margin: 0.01}, Names{}), " ")
	if p.Exponential == nil || p.Power != nil || !strings.Contains(text, "a limit of 10 (declining exponential); with its uncertainty") ||
		!strings.Contains(text, "A power law does not describe") || !strings.Contains(text, "a range up to") {
		t.Errorf("it says %s", text)
	}
}
