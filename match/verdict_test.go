package match

import (
	"strings"
	"testing"
)

// TestVerdictIsOneSentenceThatNamesWhatDisagreed has seven averages of which one lies off, and reads the sentence.
func TestVerdictIsOneSentenceThatNamesWhatDisagreed(t *testing.T) {
	out := &Result{}
	for _, column := range []string{"T1", "T2", "T3", "T4", "T5", "T6", "T7"} {
		v := Comparison{Trial: "sun", Column: column, Phase: "drain", Unit: "degC", Rows: 50, Error: 0.5, Validation: 0.6, Within: true, Covered: 1, Worst: 3}
		if column == "T5" {
			v.Error, v.Within = -4, false
		}
		out.Trust = append(out.Trust, v)
	}
	out.verdict()
	for _, want := range []string{
		"may be used within the envelope below", "right to ± 5.2 K in temperature", "on one trial that it had not seen, 6 of 7",
		"but T5 (sun, drain: 4.0 K below it, where ± 1.2 K can be known) does not",
	} {
		if !strings.Contains(out.Verdict, want) {
			t.Errorf("it does not say %q: %s", want, out.Verdict)
		}
	}
	if strings.Count(out.Verdict, ". ") != 0 || strings.Contains(out.Verdict, "T1") {
		t.Errorf("not one sentence about what disagreed: %s", out.Verdict)
	}
	for i := range out.Trust {
		v := &out.Trust[i]
		v.Error, v.Within, v.Covered = float64(-i-2), false, 0.5
	}
	out.verdict()
	for _, want := range []string{"not yet to be relied on", "0 of 7", "T7 (", "T6 (", "T5 (", "and 4 more do not", "50 % of all readings"} {
		if !strings.Contains(out.Verdict, want) {
			t.Errorf("it does not say %q: %s", want, out.Verdict)
		}
	}
	out.Trust = out.Trust[:1]
	out.Trust[0].Within, out.Trust[0].Covered = true, 1
	out.verdict()
	if want := "the one such average agrees with the measurement as closely as can be known."; !strings.HasSuffix(out.Verdict, want) {
		t.Errorf("it does not end %q: %s", want, out.Verdict)
	}
}
