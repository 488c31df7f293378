package sun

import "testing"

// BenchmarkYearOfMinutes asks where the sun stands and what a clear sky lets through in every minute of a year.
func BenchmarkYearOfMinutes(b *testing.B) {
	at, site := golden()
	sky := ClearSky{Model: IneichenPerez, Turbidity: 3}
	b.ReportAllocs()
	sum := 0.0
	for b.Loop() {
		tr := NewTrack(at, at+365*86400, site)
		for i := range 365 * 1440 {
			p := tr.At(at + 60*float64(i))
			sum += sky.Beam(&p, site)
		}
	}
	b.ReportMetric(sum*60/3.6e6/float64(b.N), "kWh/m2")
}
