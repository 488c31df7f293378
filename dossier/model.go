package dossier

import (
	"fmt"
	"strings"

	"emberbank/bench"
	"emberbank/paper"
	"emberbank/receiver"
)

// model sets the equations that the bench's run is computed with, and only those.
func (w *writer) model(c *paper.Chapter) {
	_, run := w.g.First()
	if run == nil {
		return
	}
	u := usesOf(run)
	c.Blocks = append(c.Blocks, paragraph("The receiver is one solid in three dimensions, cut into cells; its state is the specific enthalpy of every cell, marched in time together with the water in the tubes and the pane of the window. These are the equations as this bench's run uses them."))
	set := func(when bool, e paper.Equation) {
		if when {
			e.Key = w.key("equation", e.Key)
			c.Blocks = append(c.Blocks, e)
		}
	}
	set(true, conduction())
	set(u.mixed, mixing())
	set(u.films, exchange())
	set(u.sky, surroundings())
	set(u.glass, pane())
	set(u.glass, gap())
	set(u.open, openWindow())
	set(u.passes, chain())
	set(u.water, waterMarch())
	set(true, books())
	c.Blocks = append(c.Blocks, w.laws()...)
}

// uses are the parts of the model that a run needs.
type uses struct{ mixed, films, sky, glass, open, passes, water bool }

func usesOf(run *bench.Run) (u uses) {
	rec := &run.Problem.Receiver
	for _, s := range run.Sources {
		u.mixed = u.mixed || strings.Contains(s, ": mixing: ")
	}
	for i := range rec.Surfaces {
		s := &rec.Surfaces[i]
		u.films = u.films || s.Kind == receiver.Exchange
		u.sky = u.sky || s.Kind == receiver.Exchange && s.Emissivity > 0
	}
	if win := rec.Window; win != nil {
		u.glass, u.open = win.Glass != nil, win.Glass == nil
	}
	u.passes, u.water = len(rec.Passes) > 0, len(rec.Circuits) > 0
	return u
}

// formula sets an equation: letters in italics, what follows "_" as an index up to a space, what follows "^" as an exponent.
func formula(text string) (t paper.Text) {
	for i, word := range strings.Split(text, " ") {
		if i > 0 {
			t = append(t, paper.Span{Text: " "})
		}
		base, index, _ := strings.Cut(word, "_")
		index, exponent, _ := strings.Cut(index, "^")
		if b, e, has := strings.Cut(base, "^"); has {
			base, exponent = b, e
		}
		style := paper.Plain
		if strings.Trim(base, "0123456789=+−·/()[]∂∇²⁴Σ∫") != "" && base != "ln" {
			style = paper.Symbol
		}
		t = append(t, paper.Span{Text: base, Style: style})
		if index != "" {
			t = append(t, below(index))
		}
		if exponent != "" {
			t = append(t, above(exponent))
		}
	}
	return t
}

// where says what a symbol is.
func where(sign, what string) paper.Text { return append(formula(sign), paper.Span{Text: ": " + what}) }

func conduction() paper.Equation {
	return paper.Equation{
		Key: "conduction", Says: formula("ρ ∂ h /∂ t = ∇ · ( K ∇ T ) + q_gen"),
		Where: []paper.Text{
			where("ρ", "density at 20 °C, kg/m³"), where("h", "specific enthalpy, J/kg, by which the medium melts at one temperature or over a range"),
			where("K", "conductivity, W/(m K), over temperature, direction and melted share"), where("q_gen", "heat made inside, W/m³"),
		},
		Source: "Conduction of heat with enthalpy as the state: any textbook; finite volumes, half cells in series.",
	}
}

func mixing() paper.Equation {
	return paper.Equation{
		Key: "composite", Says: formula("k = k_1 [ 2 k_1 + k_2 − 2 φ ( k_1 − k_2 ) ] / [ 2 k_1 + k_2 + φ ( k_1 − k_2 ) ]"),
		Where: []paper.Text{
			where("k_1", "conductivity of the matrix"), where("k_2", "of the filler"), where("φ", "the filler's share of the volume; the rule that each composite takes stands with its sources"),
		},
		Source: "Maxwell, Treatise on Electricity and Magnetism (1873); Eucken (1932).",
	}
}

func exchange() paper.Equation {
	return paper.Equation{
		Key: "free-faces", Says: formula("g ( T_cell − T ) + a = h A ( T − T_air ) + ε σ A ( T^4 − T_s^4 )"),
		Where: []paper.Text{
			where("g", "conductance of the half cell behind the face, W/K"), where("a", "light absorbed on the face, W"), where("h", "film by attitude, size, wind and temperatures"),
			where("σ", "Stefan and Boltzmann's constant, CODATA 2018"), where("T_s", "what the face radiates to, K"),
		},
		Source: "Balance of a face; the films' laws stand with the run that names them.",
	}
}

func surroundings() paper.Equation {
	return paper.Equation{
		Key: "surroundings", Says: formula("T_s^4 = F T_sky^4 + ( 1 − F ) T_ground^4"),
		Where:  []paper.Text{where("F", "(1 + sin e)/2, with e the elevation of the face's normal")},
		Source: "View factor of a tilted plane to the sky: Duffie and Beckman, Solar Engineering of Thermal Processes.",
	}
}

func pane() paper.Equation {
	return paper.Equation{
		Key: "pane", Says: formula("C d T /d t = q_gap + a − A [ h_out ( T − T_air ) + ε σ ( T^4 − T_s^4 ) ]"),
		Where:  []paper.Text{where("C", "heat capacity of the pane, J/K"), where("q_gap", "what crosses the gap from the block's face, W"), where("a", "light absorbed in the pane, W")},
		Source: "Balance of the pane at one temperature; opaque in the infrared.",
	}
}

func gap() paper.Equation {
	return paper.Equation{
		Key: "gap", Says: formula("1/ ε = ( 1 − ε_1 )/ ε_1 + 2/( 1 + F ) + ( 1 − ε_2 )/ ε_2"),
		Where:  []paper.Text{where("F", "view factor of the face and the pane as opposed rectangles"), where("ε_1", "emissivity of the face"), where("ε_2", "of the pane")},
		Source: "Incropera et al., Fundamentals of Heat and Mass Transfer, Eq. 13.30; Howell, catalogue of configuration factors, C-11.",
	}
}

func openWindow() paper.Equation {
	return paper.Equation{
		Key: "open-window", Says: formula("q = h A ( T − T_air ) + ε σ A ( T^4 − T_s^4 )"),
		Where:  []paper.Text{where("T", "temperature of the open face, K"), where("h", "its film")},
		Source: "Balance of an open face.",
	}
}

func chain() paper.Equation {
	return paper.Equation{
		Key: "passes", Says: formula("q = ( T_block − T_water ) / [ 1/( Σ s K ) + 1/( h_c π D L ) + ln ( D / d )/( 2 π k L ) + 1/( h π d L ) ]"),
		Where: []paper.Text{
			where("s", "shape of the cells around the tube"), where("h_c", "contact conductance on the outer area, W/(m² K)"), where("D", "outer diameter, m"), where("d", "inner diameter, m"),
			where("L", "length of a slice, m"), where("h", "film of the water, by flow, state and attitude"),
		},
		Source: "Spreading in a cell after Peaceman, SPE J. 23 (1983) 531; conduction through a pipe: any textbook.",
	}
}

func waterMarch() paper.Equation {
	return paper.Equation{
		Key: "water", Says: formula("∂ ( m h )/∂ t + w ∂ h /∂ z = q / L"),
		Where:  []paper.Text{where("m", "water in the tube, kg/m"), where("w", "mass flow, kg/s"), where("h", "enthalpy of the water, J/kg"), where("z", "way along the circuit, m")},
		Source: "Properties by IAPWS R7-97, the industrial formulation of water and steam.",
	}
}

func books() paper.Equation {
	return paper.Equation{
		Key: "books", Says: formula("absorbed + electric = stored + water + lost"),
		Source: "The books close to rounding at every step because the scheme conserves; what is left over is shown with each run.",
	}
}

// laws are the correlations that runs name.
func (w *writer) laws() []paper.Block {
	l := paper.List{}
	seen := map[string]bool{}
	for _, r := range w.g.Of("run") {
		for i := range r.Count("/warnings") {
			s, _ := r.Sentence(fmt.Sprintf("/warnings/%d", i))
			if strings.HasPrefix(s.Text, "the water of circuit ") && !seen[s.Text] {
				seen[s.Text] = true
				l.Items = append(l.Items, says(s))
			}
		}
	}
	if len(l.Items) == 0 {
		return nil
	}
	return []paper.Block{paragraph("The correlations that the runs took for their water:"), l}
}
