package joint

// Caution is a usual caution before a step that can hurt someone. The list of a
// result is a reminder and not complete; local codes and licensed practice
// decide.
type Caution struct {
	Topic    string
	Text     string
	Source   string
	Standing Standing
}

// decide is the last caution of every list.
var decide = Caution{"who decides", "local codes and licensed practice decide; this list is a reminder and not complete", "every source above", CommonPractice}

// pressing are the cautions of pressing in and driving out.
func pressing() []Caution {
	return []Caution{
		{"impact eyes", "impact-rated eye protection: hardened pins chip; nothing hardened struck on anything hardened, no mushroomed heads", "OSHA 1910.133, 1926.301", FromMemory},
		{"hand clear", "hands out of the press and off the weight of a slide hammer; stand out of line with the pin", "OSHA 1910.242(a)", FromMemory},
		{"part clamped", "part square, supported under the hub and held; a cocked pin lets go sideways", "common practice", CommonPractice},
		decide,
	}
}

// heating are the cautions of shrink fits.
func heating() []Caution {
	return []Caution{
		{"burns", "dry gloves and long sleeves for handling hot and cold parts, none near a turning spindle; hot parts look like cold ones, so mark them", "common practice", CommonPractice},
		{"fire", "heated oil burns: no open flame under it, a lid and an extinguisher at hand; parts dry, as water in hot oil spatters", "common practice", CommonPractice},
		{"cold gas", "dry ice and liquid air or nitrogen push out the air and freeze skin: plenty of ventilation, face and hands covered, never in a closed vessel", "common practice", CommonPractice},
		{"part clamped", "everything at hand and tried cold first: it seizes within seconds and may seize half-way", "common practice", CommonPractice},
		decide,
	}
}

// adhesive are the cautions of adhesives.
func adhesive() []Caution {
	return []Caution{
		{"eyes and skin", "eye protection and gloves the maker names; instant adhesive bonds skin at once and heats strongly on cotton and tissue", "maker's safety data sheet; common practice", FromMemory},
		{"fume", "ventilate: UK short-term limit for cyanoacrylate vapour 0.3 ppm, irritation of the nose seen at 3 ppm; no arc or flame over a bond, burnt residue gives off cyanide", "HSE RR646, CDC/NIOSH (limit and irritation); burnt residue from memory", Seen},
		decide,
	}
}
