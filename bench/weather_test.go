package bench

import (
	"bytes"
	goflag "flag"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"testing"
)

var makeWeather = goflag.Bool("weather.make", false, "write the year of weather of the worked scenario anew")

const weatherFile = "season-weather.csv"

// madeWeather makes up a year of hourly weather: days whose length and height of sun change over the year as at 45 degrees
// north, cloud that lasts some days and moves over some hours, air that follows the season, the time of day and the cloud,
// wind, and a sky that is colder the clearer it is. It is no place's weather.
func madeWeather() []byte {
	r := rand.New(rand.NewPCG(20260301, 8))
	var out bytes.Buffer
	fmt.Fprintln(&out, "time [h],beam [W/m2],ambient [degC],wind [m/s],sky [degC]")
	const latitude = 45 * math.Pi / 180
	clear, spell, warm, wind := 0.7, 0.0, 0.0, 2.0
	for h := 0; h <= 365*24; h++ {
		day, hour := h/24, float64(h%24)
		if h%24 == 0 { // a spell of cloud or of sun goes on, or another begins
			if spell--; spell <= 0 {
				spell = 1 + math.Floor(5*r.Float64())
				winter := 0.5 + 0.5*math.Cos(2*math.Pi*float64(day+10)/365)
				clear = math.Pow(r.Float64(), 0.5+0.9*winter)
			}
			warm = 0.8*warm + 1.8*r.NormFloat64()
		}
		cloud := math.Min(math.Max(1-clear+0.15*r.NormFloat64(), 0), 1)
		declination := 23.45 * math.Pi / 180 * math.Sin(2*math.Pi*float64(day-80)/365)
		turn := (hour - 12) * math.Pi / 12
		height := math.Sin(latitude)*math.Sin(declination) + math.Cos(latitude)*math.Cos(declination)*math.Cos(turn)
		beam := 0.0 // of 1
		if height > 0.02 {
			beam = math.Pow(0.72, 1/math.Pow(height+0.05, 0.65)) * 1.35 * math.Pow(1-cloud, 1.5)
		}
		air := 10.5 - 10*math.Cos(2*math.Pi*float64(day-15)/365) + warm - (2+3.5*clear)*math.Cos(2*math.Pi*(hour-3)/24)
		wind = math.Max(0, 0.8*wind+0.2*2.4+0.55*r.NormFloat64())
		sky := air - 4 - 14*(1-cloud)
		fmt.Fprintf(&out, "%d,%.0f,%.1f,%.1f,%.1f\n", h, 940*math.Min(beam, 1), air, wind, sky)
	}
	return out.Bytes()
}

// TestWeatherOfTheScenarioIsMadeUp writes the file where it is asked to (go test ./bench -run
// TestWeatherOfTheScenarioIsMadeUp -args -weather.make), else it looks whether the file is what is made up here.
func TestWeatherOfTheScenarioIsMadeUp(t *testing.T) {
	want := madeWeather()
	if *makeWeather {
		if err := os.WriteFile("scenario/"+weatherFile, want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	got, err := fs.ReadFile(WriteScenario(), weatherFile)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is not what the generator makes; write it anew with: go test ./bench -run %s -args -weather.make", weatherFile, t.Name())
	}
	if len(got) > 250_000 {
		t.Errorf("%s has %d bytes", weatherFile, len(got))
	}
}
