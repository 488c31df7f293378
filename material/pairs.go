package material

import "sync"

// Pair is two materials that alloy, dissolve or attack each other, and from which temperature on.
type Pair struct {
	A, B       string  // families, as Entry.Metal names them
	What       string  // what happens, in plain words
	At         float64 // K, onset: below it the pair may touch
	Source     string
	FromMemory bool
}

const assessed = "Bull. Alloy Phase Diagrams"

// Pairs returns the table of pairs. The slice is the caller's own.
func Pairs() []Pair {
	c := func(t float64) float64 { return t + iceZero }
	return []Pair{
		{
			"tin", "aluminium", "tin and aluminium form a eutectic at 228.5 °C, a little below tin's melting point; molten tin dissolves some aluminium and runs along its grain boundaries: keep them apart with a barrier, or expect the fill to change from cycle to cycle",
			c(228.5), "McAlister & Kahan, The Al-Sn system, " + assessed + " 4 (1983) 410; the temperature is from memory", true,
		},
		{
			"tin", "zinc", "tin and zinc form a eutectic at 198.5 °C", c(198.5),
			"Moser, Dutkiewicz, Gasior & Salawa, The Sn-Zn system, " + assessed + " 6 (1985)", false,
		},
		{
			"tin", "copper", "tin and copper form a eutectic at 227 °C; molten tin dissolves copper and brass and leaves brittle compounds (Cu6Sn5, Cu3Sn)", c(227),
			"Saunders & Miodownik, The Cu-Sn system, " + assessed + " 11 (1990) 278, from memory", true,
		},
		{
			"tin", "lead", "tin and lead form a eutectic at 183 °C", c(183),
			"Callister, Materials Science and Engineering (1994), Pb-Sn diagram", false,
		},
		{
			"tin", "magnesium", "tin and magnesium form a eutectic near 203 °C and the compound Mg2Sn", c(203),
			"Nayeb-Hashemi & Clark, The Mg-Sn system, " + assessed + " 5 (1984) 466, as cited by Vicente et al., J. Mater. Sci. 26 (1991) 1327; temperature from memory", true,
		},
		{
			"tin", "steel", "molten tin wets steel and grows FeSn2 on it: slow thinning, and brittle joints under stress", c(231.928),
			"practice of tinning; ITS-90 melting point of tin; from memory", true,
		},
		{
			"zinc", "aluminium", "zinc and aluminium form a eutectic at 381 °C: molten zinc dissolves aluminium", c(381),
			"Murray, The Al-Zn system (NBS assessment); 381 °C in its public summary", false,
		},
		{
			"zinc", "copper", "molten zinc dissolves copper and brass and forms a row of brittle compounds", c(419.527),
			"practice of brass making; ITS-90 melting point of zinc; from memory", true,
		},
		{
			"zinc", "steel", "molten zinc attacks steel and forms iron-zinc compounds, fastest around 480 to 530 °C; stainless steels last longer but are attacked too and can crack under stress", c(419.527),
			"Liquid metal corrosion of 316L, 410 and 1015 steels in a molten zinc bath (public abstract); ITS-90 melting point of zinc; the fastest range from memory", true,
		},
		{
			"zinc", "magnesium", "zinc and magnesium form a eutectic near 340 °C", c(340),
			"Clark, Zabdyr & Moser, Phase Diagrams of Binary Magnesium Alloys (1988), from memory", true,
		},
		{
			"zinc", "lead", "molten zinc and lead part into two liquids; lead sinks", c(318),
			"binary phase diagram handbooks, from memory", true,
		},
		{
			"aluminium", "copper", "aluminium and copper form a eutectic at 548 °C", c(548.2),
			"Murray, The aluminium-copper system, Int. Met. Rev. 30 (1985) 211, from memory", true,
		},
		{
			"aluminium", "magnesium", "aluminium and magnesium form eutectics at 437 and 450 °C", c(437),
			"Murray, The Al-Mg system (NBS assessment); 437 and 450 °C in its public abstract", false,
		},
		{
			"aluminium", "steel", "molten aluminium attacks iron and steel and forms brittle iron aluminides; hot-dip practice counts in minutes", c(655),
			"Kattner, The Al-Fe system, Binary Alloy Phase Diagrams, 2nd ed. (1990); eutectic near 655 °C from memory", true,
		},
		{
			"aluminium", "graphite", "molten aluminium and graphite form aluminium carbide (Al4C3), slowly near the melting point, fast above some 900 °C; the carbide decays in moist air", c(660.323),
			"Qiu & Metselaar, J. Alloys Compd. (1994) 55, on the stability of Al4C3; ITS-90 melting point of aluminium; the rates from memory", true,
		},
		{
			"magnesium", "copper", "magnesium and copper form a eutectic near 485 °C", c(485),
			"Nayeb-Hashemi & Clark, The Cu-Mg system, " + assessed + " 5 (1984) 36, as cited by Vicente et al., J. Mater. Sci. 26 (1991) 1327; temperature from memory. Morinaga & Yamada, J. Japan Inst. Metals 6 (1942) 56, give 488 °C", true,
		},
		{
			"copper", "steel", "molten copper runs along the grain boundaries of steel and cracks it under stress", c(1084.62),
			"ITS-90 melting point of copper; from memory", true,
		},
		{
			"lead", "copper", "molten lead takes up little copper; the eutectic lies at 326 °C, just below lead's melting point", c(326),
			"binary phase diagram handbooks, from memory", true,
		},
		{
			"lead", "magnesium", "lead and magnesium form a eutectic near 249 °C", c(249),
			"binary phase diagram handbooks, from memory", true,
		},
		{
			"salt", "graphite", "molten nitrate oxidises graphite, and can do so violently when hot", c(260),
			"Bauer, Laing, Kröner & Tamme, Sodium nitrate for high temperature latent heat storage: molten NaNO3 oxidises graphite; taken over for the mixed salt", false,
		},
		{"salt", "magnesium", "molten nitrate with magnesium can ignite or explode", c(220), "practice of salt baths, from memory", true},
		{"salt", "aluminium", "molten nitrate with overheated or molten aluminium can explode", c(550), "practice of salt baths, from memory", true},
	}
}

// Contacts returns what is known of two materials in touch, in the order of Pairs. a and b are names of the
// catalogue or families ("steel"); a name that is neither finds nothing.
func Contacts(a, b string) []Pair {
	fa, fb := family(a), family(b)
	var found []Pair
	for _, p := range Pairs() {
		if p.A == fa && p.B == fb || p.A == fb && p.B == fa {
			found = append(found, p)
		}
	}
	return found
}

// family returns the family of a catalogue name, or the name itself.
func family(name string) string {
	if metal := metalOf()[name]; metal != "" {
		return metal
	}
	return name
}

// metalOf is the family of every entry of the catalogue that has one, found when it is first asked for.
var metalOf = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	for _, e := range entries() {
		if e.Metal != "" {
			m[e.Name] = e.Metal
		}
	}
	return m
})
