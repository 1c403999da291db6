package study

import (
	"strings"

	"tenths/ledger"
)

// Topic is one of the usual cautions of a kind of work. The list is not complete: local
// codes, the maker of the machine and licensed practice decide.
type Topic struct {
	Name string
	// needs lists what must be said: each entry by one caution that holds all
	// of its word stems.
	needs [][]string
	Means string // what it asks for, and where that is from
}

var (
	eyesAndSkin  = Topic{"eyes and skin", [][]string{{"eye"}, {"skin"}}, "shade for the process, covered skin; ANSI Z49.1, OSHA 29 CFR 1910.133"}
	glueOnSkin   = Topic{"eyes and skin", eyesAndSkin.needs, "goggles, gloves that the adhesive does not pass; common practice, its data sheet"}
	fume         = Topic{"fume", [][]string{{"fume"}}, "head out of the plume, extraction; ANSI Z49.1, OSHA 29 CFR 1910.252(c), from memory"}
	glueFume     = Topic{"fume", fume.needs, "air moved away from the face, none near an arc or flame; common practice, its data sheet"}
	fireWatch    = Topic{"fire watch", [][]string{{"fire", "watch"}}, "during the work and at least 30 min after, what burns 35 ft away or shielded; OSHA 29 CFR 1910.252(a)(2); an hour in newer NFPA 51B, from memory"}
	noChlorine   = Topic{"no chlorinated solvent", [][]string{{"no", "chlorinat"}}, "arc and heat turn its vapour into phosgene; OSHA 29 CFR 1910.252(c)(11), from memory"}
	leadOnWork   = Topic{"work lead", [][]string{{"work", "lead"}}, "clamped on the piece that is welded, next to the weld; ANSI Z49.1"}
	covers       = Topic{"covers", [][]string{{"cover"}}, "ways, scales and spindle covered against spatter and grit; common practice"}
	isolated     = Topic{"control isolated", [][]string{{"control", "isolat"}}, "control and probes off and isolated from the current; common practice"}
	grindEyes    = Topic{"eyes", [][]string{{"eye"}}, "eye and face protection against sparks and grit; OSHA 29 CFR 1910.133"}
	guardAndRest = Topic{"guard and rest gaps", [][]string{{"guard"}, {"rest"}}, "rest within 1/8 in of the wheel, tongue within 1/4 in; OSHA 29 CFR 1910.215(a)(4), (b)(9)"}
	ringTest     = Topic{"ring test", [][]string{{"ring"}}, "before a wheel is mounted; OSHA 29 CFR 1910.215"}
	ventilation  = Topic{"ventilation", [][]string{{"ventilat"}}, "vapour led away; common practice, its data sheet"}
	ignition     = Topic{"ignition", [][]string{{"ignition"}}, "no arc, flame, spark or hot part in reach of the vapour; common practice, its data sheet"}
	impactEyes   = Topic{"impact eyes", [][]string{{"impact", "eye"}}, "eye protection rated for impact; OSHA 29 CFR 1910.133"}
	handClear    = Topic{"hand clear", [][]string{{"hand", "clear"}}, "of the ram or the sliding weight; OSHA 29 CFR 1910.242(a), from memory, and common practice"}
	partClamped  = Topic{"part clamped", [][]string{{"clamp"}}, "so that it cannot jump; common practice"}
	spindleStop  = Topic{"spindle stopped", [][]string{{"spindle", "stop"}}, "and kept from starting while hands are near it; OSHA 29 CFR 1910.212, from memory, and common practice"}
	noGloves     = Topic{"no gloves", [][]string{{"no", "glove"}}, "near anything that turns; common practice"}
)

// UsualCautions lists the cautions of each kind of work. Arc welding also has the work
// lead, and hot work on a machine its covers and its control.
func UsualCautions(k WorkKind) []Topic {
	switch k {
	case Welding, Flame:
		return []Topic{eyesAndSkin, fume, fireWatch, noChlorine}
	case Grinding:
		return []Topic{grindEyes, guardAndRest, ringTest}
	case Solvent:
		return []Topic{ventilation, ignition}
	case Adhesive:
		return []Topic{glueOnSkin, glueFume}
	case Pressing:
		return []Topic{impactEyes, handClear, partClamped}
	case HandAtSpindle:
		return []Topic{spindleStop, noGloves}
	}
	return nil
}

// CautionsOf lists the cautions that work should have, each once. On a machine a weld
// that does not say where its work lead is belongs to the rule work-lead; lead says
// that the words do.
func CautionsOf(w Work, lead bool) []Topic {
	var out []Topic
	add := func(t Topic) {
		for _, have := range out {
			if have.Name == t.Name {
				return
			}
		}
		out = append(out, t)
	}
	for _, k := range w.Kinds {
		for _, t := range UsualCautions(k) {
			add(t)
		}
		if k == Welding && !lead && !w.OnMachine {
			add(leadOnWork)
		}
		if w.OnMachine && (k == Welding || k == Flame) {
			add(covers)
			add(isolated)
		}
	}
	return out
}

// CautionsMissing lists the usual cautions of work that its list leaves out.
func CautionsMissing(w Work, lead bool, cautions []ledger.Text) []Topic {
	var out []Topic
	for _, t := range CautionsOf(w, lead) {
		if !t.Covered(cautions) {
			out = append(out, t)
		}
	}
	return out
}

// Covered reports whether the cautions say all that the topic needs.
func (t Topic) Covered(cautions []ledger.Text) bool {
	for _, stems := range t.needs {
		said := false
		for _, c := range cautions {
			said = said || holdsAll(strings.ToLower(c.S), stems)
		}
		if !said {
			return false
		}
	}
	return true
}

// holdsAll reports whether every stem begins a word of the text; "no" must be
// the whole word.
func holdsAll(text string, stems []string) bool {
	words := strings.FieldsFunc(text, func(r rune) bool { return r < 'a' || r > 'z' })
	for _, stem := range stems {
		found := false
		for _, w := range words {
			found = found || w == stem || stem != "no" && strings.HasPrefix(w, stem)
		}
		if !found {
			return false
		}
	}
	return true
}
