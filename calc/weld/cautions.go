package weld

// The topics that stand before hot work.
const (
	EyesAndSkin = "eyes and skin"
	Fume        = "fume"
	FireWatch   = "fire watch"
	WorkLead    = "work lead"
	NoSolvent   = "no chlorinated solvent"
	Covers      = "covers and control isolated"
)

// Decides is the sentence that stands under every list of cautions.
const Decides = "Local codes and licensed practice decide; this list is a reminder and not complete."

// Caution is a usual caution before hot work.
type Caution struct {
	Topic    string
	Text     string
	Source   string
	Standing Standing
}

// Cautions are the usual cautions of arc welding on a fixture, the last of them
// the sentence Decides. Every result of this package carries them.
func Cautions() []Caution {
	return []Caution{
		{EyesAndSkin, "helmet with the right shade, covered skin, dry leather gloves and no oil or tears in the clothing; screens for those who stand near",
			"ANSI Z49.1; 29 CFR 1910.252(b) and the shade table of 1910.133", Seen},
		{Fume, "head out of the plume, exhaust at the arc; clear adhesive residue first, burnt cyanoacrylate gives off cyanide",
			"ANSI Z49.1; 29 CFR 1910.252(c); residue from memory", FromMemory},
		{FireWatch, "someone watches during the work and at least 30 min after it, extinguisher at hand (60 min in NFPA 51B from 2019 on, from memory)",
			"29 CFR 1910.252(a)(2)(iii)", Seen},
		{FireWatch, "combustibles, oil mist and oily rags 35 ft (10.7 m) away or shielded, openings in floor and wall within it covered",
			"29 CFR 1910.252(a)(2)", Seen},
		{WorkLead, "the work lead firmly on the piece that is welded, next to the weld; never through the table, ways, spindle or bearings, and no second path to ground",
			"ANSI Z49.1; two trade articles on bearings damaged by stray current", Seen},
		{NoSolvent, "no chlorinated solvent or cleaner near the arc and parts dry: heat and ultraviolet make phosgene of it; ask what is in the can of anti-spatter, non-flammable ones may be methylene chloride and the others burn",
			"OSHA welding hazards as quoted; safety data sheets of two sprays; 29 CFR 1910.252(c)(11) from memory", Seen},
		{Covers, "best, take the fixture off the machine; else cover ways and scales, take the spindle and probes out of contact, switch the control off and isolate it",
			"common practice", CommonPractice},
		{"who decides", Decides, "every source above", CommonPractice},
	}
}

// hints are what spoils a weld in a small blind hole. No preheat temperature is
// given, because none of the sources at hand states one for a given plate.
func hints() []string {
	return []string{
		"alloy plate needs preheat and a matching filler: take the temperature from the makers of the plate and of the filler (trade article on weld repair of moulds, moldmakingtechnology.com; leaving it out is a common mistake)",
		"the arc climbs the wall of a small hole and gas stays under the skin: fill from the bottom, look for voids after skimming (common practice)",
		"weld metal and its edge are harder: bore it, do not drill it; survey every station after it has cooled (common practice)",
	}
}
