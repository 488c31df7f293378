package account

import "emberbank/heat"

// DangerWord says in a word or two what a kind of caution does to a hand, an eye, a tube or a number: it stands beside the sign, on
// the page and in every paper. It is empty for a kind that there is not.
func DangerWord(kind string) string { return dangerWords[kind] }

var dangerWords = map[string]string{
	heat.KindLight: "blinds, burns", heat.KindFlux: "too bright", heat.KindMoltenMetal: "burns", heat.KindServiceLimit: "too hot", heat.KindOxidation: "burns away",
	heat.KindTouch: "burns", heat.KindMaterial: "attacks",
	heat.KindWetting: "flashes", heat.KindFirstWater: "flashes", heat.KindClosed: "bursts", heat.KindSaturation: "bursts", heat.KindFull: "bursts",
	heat.KindTubeWall: "weakens", heat.KindHotOutlet: "scalds", heat.KindSteam: "scalds", heat.KindChoke: "chokes", heat.KindBranch: "unsteady", heat.KindShares: "uneven",
}
