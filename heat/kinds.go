package heat

// Kinds of caution. Each one's value and limit are temperatures in K unless said otherwise.
const (
	KindMaterial     = "material" // a note; no value
	KindServiceLimit = "service limit"
	KindOxidation    = "oxidation"
	KindMoltenMetal  = "molten metal"
	KindTouch        = "touch"
	KindLight        = "concentrated light" // W/m²
	KindFlux         = "flux limit"         // W/m²

	KindWetting    = "water into hot tubes"
	KindClosed     = "closed wet tube"
	KindFull       = "closed circuit full" // Pa
	KindFirstWater = "first water"         // the wall's temperature
	KindSaturation = "saturation pressure" // the block's temperature against the water's boiling point
	KindTubeWall   = "tube wall"
	KindHotOutlet  = "hot outlet"
	KindSteam      = "steam"          // kg/s that leave; no limit
	KindBranch     = "falling branch" // 1
	KindShares     = "unequal shares" // 1
	KindChoke      = "choked outlet"  // m/s, of what leaves, against sound in it
)
