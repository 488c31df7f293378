package hazard

import (
	"errors"
	"testing"

	"emberbank/internal/testkit"
	"emberbank/material"
	"emberbank/water"
)

func TestSteamAgreesWithSteamTables(t *testing.T) {
	rows := []struct {
		p, boils, h, v, in, inlet float64 // Pa, K, J/kg, m³/kg of dry saturated steam; J/kg, K of the water
		source                    string
	}{
		{1.01325e5, 373.124, 2675.53e3, 1.6732, 63.08e3, 288.15, "IAPWS-IF97 tables, 1.01325 bar and 15 °C, printed to these digits; from memory"},
		{10e5, 453.028, 2777.1e3, 0.19436, 63.98e3, 288.15, "steam tables by IAPWS-IF97, 10 bar: 179.88 °C, 2777.1 kJ/kg, 0.19436 m³/kg, and 10 bar, 15 °C; from memory"},
		{40e5, 523.51, 2800.8e3, 0.049776, 66.87e3, 288.15, "steam tables by IAPWS-IF97, 40 bar: 250.36 °C, 2800.8 kJ/kg, 0.049776 m³/kg; from memory"},
	}
	const Q = 5e6
	for _, r := range rows {
		s, err := SteamOf(Q, r.p, r.inlet)
		if err != nil {
			t.Fatalf("%s: %v", r.source, err)
		}
		m := Q / (r.h - r.in)
		testkit.Close(t, "mass, "+r.source, s.Mass, m, 2e-4, 0)
		testkit.Close(t, "volume, "+r.source, s.Volume, m*r.v, 4e-4, 0)
		testkit.Close(t, "boiling point, "+r.source, s.Boils, r.boils, 0, 0.02)
	}
}

func TestSteamLetOutFillsWhatItWouldFillAtTheSameEnthalpy(t *testing.T) {
	s, err := SteamOf(1e6, 10e5, 288.15)
	if err != nil {
		t.Fatal(err)
	}
	// 2777.1 kJ/kg at 1.013 bar is 150.6 °C by the superheated steam table (2776.6 kJ/kg at 150 °C and 1 bar, cp near 2 kJ/(kg K)): v = R T/p
	// less half a per cent. Source: steam tables by IAPWS-IF97, from memory; gas constant 461.526 J/(kg K), IAPWS.
	testkit.Close(t, "volume in the open", s.Open/s.Mass, 0.995*461.526*(150.7+273.15)/101325, 5e-3, 0)
}

func TestWaterThatFlashesAgreesWithSteamTables(t *testing.T) {
	// h′ of 10 bar 762.7 kJ/kg, of 1.01325 bar 419.1 kJ/kg, latent heat there 2256.5 kJ/kg. Source: steam tables by IAPWS-IF97, from memory.
	x, err := Flashes(10e5)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "share", x, (762.7-419.1)/2256.5, 1e-3, 0)
	if x, err := Flashes(0.5e5); err != nil || x != 0 {
		t.Errorf("water that boils below the pressure of the open flashes by %g (%v)", x, err)
	}
}

func TestSteamRefusesWhatDoesNotBoil(t *testing.T) {
	for _, q := range [][3]float64{{1e6, 23e6, 300}, {1e6, 1e5, 400}, {1e6, 100, 280}} {
		if _, err := SteamOf(q[0], q[1], q[2]); !errors.Is(err, water.ErrRange) {
			t.Errorf("%v: error %v does not say that it is out of range", q, err)
		}
	}
	if _, err := SteamOf(-1, 1e5, 300); err == nil {
		t.Error("heat below zero is taken")
	}
}

func TestHeatOfMeltingTinIsItsSensibleAndLatentHeat(t *testing.T) {
	e, _ := material.Lookup("tin")
	m := e.Medium()
	// Source: heat of fusion 60.2 kJ/kg, CRC Handbook; cp of the solid 228 to 257 J/(kg K) between 20 °C and the melting point (Incropera: 227 at
	// 300 K, 243 at 400 K), of the melt 250 at it.
	solid := Heat(&m, 1, 230+iceZero, 20+iceZero)
	testkit.Close(t, "solid", solid, 243*210, 0.02, 0)
	testkit.Close(t, "through melting", Heat(&m, 1, 235+iceZero, 230+iceZero), 60.2e3+5*253, 0.01, 0)
	testkit.Close(t, "twice the mass", Heat(&m, 2, 230+iceZero, 20+iceZero), 2*solid, 1e-12, 0)
	if q := Heat(&m, 1, 300, 310); q != 0 {
		t.Errorf("what is colder gives off %g J", q)
	}
}
