package film

import (
	"fmt"
	"strings"
)

// Choice names the correlations of water that boils in a tube, where the trade
// is divided. The zero value is our default; each reason stands at its name.
type Choice struct {
	Boiling  BoilingLaw  // of a wet wall
	DryOut   DryOutLaw   // of the qualities between which the wall dries
	Mist     MistLaw     // of a dry wall before all water is steam
	Void     VoidLaw     // share of the cross-section that is steam
	Friction FrictionLaw // of two phases
}

// BoilingLaw is a correlation of saturated boiling on a wet wall.
type BoilingLaw uint8

// The default is Liu & Winterton: it is the one of the four that was fitted
// over the widest ranges (flow, pressure, bore, level and upright), it has a
// form for subcooled water, and it does not break down in slow flow.
const (
	ByLiuWinterton BoilingLaw = iota
	ByGungorWinterton
	ByKandlikar
	ByChen
)

// DryOutLaw is a correlation of the qualities between which a wall dries.
type DryOutLaw uint8

// ByAttitude, the default, takes each law where it was measured: Wojtan,
// Ursenbacher & Thome in level tubes, Kon'kov (and Bowring where that is
// earlier) in upright ones. The others are taken whatever the tube's tilt.
const (
	ByAttitude DryOutLaw = iota
	ByWojtan
	ByKonkov
	ByBowring
)

// MistLaw is a correlation of the film behind dry-out.
type MistLaw uint8

// The default is the form of Dougall & Rohsenow: it comes to the film of dry
// steam as the last drop vanishes, and holds down to 1 bar without leaving its
// shape; the two others were fitted at high pressure or to refrigerants.
const (
	ByDougallRohsenow MistLaw = iota
	ByGroeneveld
	ByWojtanMist
)

// VoidLaw is a correlation of the share of the cross-section that steam takes.
type VoidLaw uint8

// The default is Rouhani & Axelsson, in Steiner's form in level tubes: it
// knows flow and surface tension, and comes to the homogeneous share at
// high flow and to all steam at quality 1.
const (
	ByRouhani VoidLaw = iota
	Homogeneous
)

// FrictionLaw is a correlation of friction in two phases.
type FrictionLaw uint8

// The default is Müller-Steinhagen & Heck: simple, and it meets the friction of
// the liquid alone and of the steam alone, which the march crosses.
const (
	ByMullerSteinhagenHeck FrictionLaw = iota
	ByFriedel
	ByMcAdams
)

var (
	boilingNames  = []string{"liu-winterton", "gungor-winterton", "kandlikar", "chen"}
	dryOutNames   = []string{"by-attitude", "wojtan", "konkov", "bowring"}
	mistNames     = []string{"dougall-rohsenow", "groeneveld", "wojtan"}
	voidNames     = []string{"rouhani", "homogeneous"}
	frictionNames = []string{"mueller-steinhagen-heck", "friedel", "mcadams"}
)

func nameAt(names []string, i uint8) string {
	if int(i) < len(names) {
		return names[i]
	}
	return "unknown"
}

// String returns the name that a file gives the law by.
func (l BoilingLaw) String() string { return nameAt(boilingNames, uint8(l)) }

// String returns the name that a file gives the law by.
func (l DryOutLaw) String() string { return nameAt(dryOutNames, uint8(l)) }

// String returns the name that a file gives the law by.
func (l MistLaw) String() string { return nameAt(mistNames, uint8(l)) }

// String returns the name that a file gives the law by.
func (l VoidLaw) String() string { return nameAt(voidNames, uint8(l)) }

// String returns the name that a file gives the law by.
func (l FrictionLaw) String() string { return nameAt(frictionNames, uint8(l)) }

// Parts returns the parts of a Choice by the names that Set takes.
func Parts() []string { return []string{"boiling", "dry-out", "mist", "void", "friction"} }

// Laws returns the names that a part of a Choice may have, the default first;
// nil for a part that there is none of.
func Laws(part string) []string {
	var names []string
	switch part {
	case "boiling":
		names = boilingNames
	case "dry-out":
		names = dryOutNames
	case "mist":
		names = mistNames
	case "void":
		names = voidNames
	case "friction":
		names = frictionNames
	}
	return append([]string(nil), names...)
}

// Set chooses the law of a part by its name; an error tells which there are.
func (c *Choice) Set(part, name string) error {
	names := Laws(part)
	if names == nil {
		return fmt.Errorf("no part %q of the boiling correlations; there are %s", part, strings.Join(Parts(), ", "))
	}
	for i, n := range names {
		if n != name {
			continue
		}
		switch part {
		case "boiling":
			c.Boiling = BoilingLaw(i)
		case "dry-out":
			c.DryOut = DryOutLaw(i)
		case "mist":
			c.Mist = MistLaw(i)
		case "void":
			c.Void = VoidLaw(i)
		case "friction":
			c.Friction = FrictionLaw(i)
		}
		return nil
	}
	return fmt.Errorf("no law %q for %s; choose one of %s", name, part, strings.Join(names, ", "))
}
