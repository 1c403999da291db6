package study

import (
	"slices"
	"strings"
	"unicode"
)

// WorkKind is a kind of work that can hurt someone.
type WorkKind string

// The kinds of work, in the order in which they are listed.
const (
	Welding       WorkKind = "arc welding"
	Flame         WorkKind = "work with a flame or heat"
	Grinding      WorkKind = "grinding"
	Solvent       WorkKind = "work with solvent, aerosol or acid"
	Adhesive      WorkKind = "work with adhesive"
	Pressing      WorkKind = "pressing or striking"
	HandAtSpindle WorkKind = "hand work at the spindle"
)

// WorkKinds lists them.
func WorkKinds() []WorkKind {
	return []WorkKind{Welding, Flame, Grinding, Solvent, Adhesive, Pressing, HandAtSpindle}
}

// Work is what the words of a step say about it.
type Work struct {
	Kinds []WorkKind
	// OnMachine is set if the words say that it is done on a machine, OnBench
	// if they say that it is not.
	OnMachine, OnBench bool
}

// Is reports whether the work is of the kind.
func (w Work) Is(k WorkKind) bool { return slices.Contains(w.Kinds, k) }

// WorkOf reads the words of a step or an operation. does is the statement of
// the kind of work; the title is asked only where there is none, and more
// carefully, since it may name a thing ("ground pin", "press fit already
// there") and no work.
func WorkOf(does, title, where string) Work {
	var w Work
	text, strict := does, false
	if strings.TrimSpace(does) == "" {
		text, strict = title, true
	}
	where = strings.ReplaceAll(strings.ToLower(where), "machine shop", "shop")
	if strings.TrimSpace(where) == "" {
		where = placeIn(text)
	}
	place := wordsOf(where)
	w.OnBench = says(place, "bench", "granite") && !says(place, "machine") || away(place) || strings.Contains(where, "welding table")
	w.OnMachine = !w.OnBench && says(place, "machine", "mill", "lathe", "spindle", "grinder")
	if strings.Contains(where, "sent out") || says(place, "supplier") {
		return w
	}
	found := map[WorkKind]bool{}
	for _, c := range clauses(text) {
		for i := range c {
			if k, ok := c.workAt(i, strict); ok {
				found[k] = true
			}
		}
	}
	found[HandAtSpindle] = handAtSpindle(wordsOf(text), place, w)
	for _, k := range WorkKinds() {
		if found[k] {
			w.Kinds = append(w.Kinds, k)
		}
	}
	return w
}

// placeIn finds a place that the words of the work name themselves; "mill the
// slot" names none.
func placeIn(text string) string {
	text = strings.ToLower(text)
	for _, p := range []string{"on the machine", "in the machine", "at the spindle", "in the spindle", "in the chuck", "in the lathe", "on the bench", "at the bench"} {
		if strings.Contains(text, p) {
			return p
		}
	}
	return ""
}

// away reports that the place is said to be no machine.
func away(place clause) bool {
	for i, t := range place {
		if (t == "off" || t == "beside" || t == "next" || t == "not" || t == "from") && i+1 < len(place) && says(place[i+1:], "machine", "mill", "lathe") {
			return true
		}
	}
	return false
}

// handAtSpindle finds deburring and gauging by hand where something could turn.
func handAtSpindle(text, place clause, w Work) bool {
	deburr, gauge := false, false
	for _, t := range text {
		for _, stem := range []string{"deburr", "file", "filing", "polish", "emery"} {
			deburr = deburr || strings.HasPrefix(lastPart(t), stem)
		}
		for _, stem := range []string{"gauge", "gauging", "gage", "gaging", "measur", "check", "wip", "clean"} {
			gauge = gauge || strings.HasPrefix(t, stem)
		}
	}
	atSpindle := says(place, "spindle", "chuck", "lathe")
	byHand := says(text, "hand") || slices.ContainsFunc(text, func(t string) bool { return strings.HasPrefix(t, "hand-") })
	switch {
	case w.OnBench:
		return false
	case atSpindle:
		return deburr || gauge
	case byHand:
		// Deburring by hand is done in the machine unless it is said to be not.
		return deburr || gauge && w.OnMachine
	}
	return false
}

// clause is the words of a part of a sentence, in lower case.
type clause []string

// at is the word at i, "" outside.
func (c clause) at(i int) string {
	if i < 0 || i >= len(c) {
		return ""
	}
	return c[i]
}

// wordsOf splits text into lower-case words; a hyphen stays inside a word.
func wordsOf(text string) clause {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '-'
	})
}

// clauses splits at punctuation and at "and", "then", "or".
func clauses(text string) []clause {
	var out []clause
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",;:.()/&+!?–—\n", r) }) {
		var c clause
		for _, w := range wordsOf(part) {
			if w == "and" || w == "then" || w == "or" || w == "-" {
				out = append(out, c)
				c = nil
				continue
			}
			c = append(c, w)
		}
		out = append(out, c)
	}
	return out
}

func says(c clause, any ...string) bool {
	return slices.ContainsFunc(c, func(t string) bool { return slices.Contains(any, t) })
}

// lastPart is the part of a word after its last hyphen.
func lastPart(w string) string { return w[strings.LastIndexByte(w, '-')+1:] }

// A word may name the work itself or only a thing. The sets below decide by
// the word before and the word after it.
var (
	// verbs are the plain forms: work at the beginning of a clause or behind a
	// word that says how.
	verbs = map[string]WorkKind{
		"weld": Welding, "tack": Welding, "braze": Flame, "heat": Flame, "preheat": Flame, "torch": Flame,
		"grind": Grinding, "regrind": Grinding, "press": Pressing, "glue": Adhesive, "bond": Adhesive,
		"degrease": Solvent, "etch": Solvent, "pickle": Solvent, "passivate": Solvent,
	}
	doing = map[string]WorkKind{
		"welding": Welding, "tacking": Welding, "brazing": Flame, "heating": Flame, "preheating": Flame, "torching": Flame,
		"grinding": Grinding, "regrinding": Grinding, "pressing": Pressing, "gluing": Adhesive, "bonding": Adhesive,
		"degreasing": Solvent, "etching": Solvent, "pickling": Solvent, "passivating": Solvent,
	}
	done = map[string]WorkKind{
		"welded": Welding, "tacked": Welding, "brazed": Flame, "heated": Flame, "pressed": Pressing,
		"glued": Adhesive, "bonded": Adhesive, "degreased": Solvent, "etched": Solvent, "pickled": Solvent,
	}
	// things stand for the work wherever a statement of work names them.
	things = map[string]WorkKind{
		"tig": Welding, "mig": Welding, "gtaw": Welding, "gmaw": Welding, "smaw": Welding,
		"torch": Flame, "flame": Flame, "burner": Flame,
		"grinder": Grinding,
		"solvent": Solvent, "solvents": Solvent, "acetone": Solvent, "isopropanol": Solvent, "ipa": Solvent, "alcohol": Solvent,
		"methanol": Solvent, "ethanol": Solvent, "thinner": Solvent, "naphtha": Solvent, "mek": Solvent, "toluene": Solvent,
		"xylene": Solvent, "degreaser": Solvent, "aerosol": Solvent, "anti-spatter": Solvent, "acid": Solvent, "etchant": Solvent,
		"adhesive": Adhesive, "glue": Adhesive, "cyanoacrylate": Adhesive, "superglue": Adhesive, "epoxy": Adhesive,
		"anaerobic": Adhesive, "threadlocker": Adhesive, "thread-locker": Adhesive, "slide-hammer": Pressing,
	}
	// pairs are things of two words.
	pairs = map[string]WorkKind{
		"slide hammer": Pressing, "arbor press": Pressing, "hydraulic press": Pressing, "bench press": Pressing,
		"retaining compound": Adhesive, "thread locker": Adhesive, "super glue": Adhesive,
		"brake cleaner": Solvent, "contact cleaner": Solvent, "mineral spirits": Solvent, "white spirit": Solvent, "spray can": Solvent,
		"heat gun": Flame, "silver solder": Flame, "hot work": Flame,
	}
	// how are words before a verb that leave it a verb.
	how = []string{"tig", "mig", "tack", "spot", "plug", "stick", "arc", "gas", "surface", "belt", "hand", "bench", "off-hand", "to", "light", "slow"}
	// notWork are words before it that make it something that is not done here.
	notWork = []string{"no", "not", "never", "without", "before", "after", "since", "until", "for", "from", "old", "cured", "hot", "avoid", "instead"}
	// notAfter are words behind it that make it part of the name of a thing.
	notAfter = map[string][]string{
		"weld":     {"bead", "beads", "metal", "nut", "nuts", "seam", "seams", "spatter", "area", "prep", "zone", "symbol", "repair", "shop"},
		"tack":     {"cloth", "free"},
		"torch":    {"height", "tip", "hose", "cart", "gas"},
		"heat":     {"treat", "treated", "treatment", "treating", "shield", "sink", "shrink", "lot", "number", "zone"},
		"press":    {"brake", "release"},
		"grind":    {"mark", "marks", "stock", "allowance", "line", "lines"},
		"welding":  {"table", "gloves", "helmet", "rod", "wire", "blanket", "shop"},
		"grinding": {"allowance", "stock", "marks"},
		"heating":  {"element"},
		"adhesive": {"tape", "label", "residue", "free"},
		"glue":     {"line"},
		"acid":     {"free", "number"},
		"solvent":  {"free"},
		"solvents": {"free"},
	}
	// carries are words behind a participle that leave it a report of work.
	carries = []string{"", "shut", "up", "over", "closed", "in", "into", "on", "onto", "to", "with", "flush", "together", "by", "at", "again", "solid"}
	// means are words before a thing that make it the means of the work.
	means = []string{"with", "by", "using", "in", "use"}
)

// workAt reports whether the word at i says that a kind of work is done. strict
// is set for titles, in which a thing counts only as the means of the work.
func (c clause) workAt(i int, strict bool) (WorkKind, bool) {
	word, prev, next := c[i], c.at(i-1), c.at(i+1)
	if slices.Contains(notWork, prev) || prev == "chlorinated" && c.at(i-2) == "no" {
		return "", false
	}
	if slices.Contains(notAfter[lastPart(word)], next) {
		return "", false
	}
	if k, ok := pairs[word+" "+next]; ok && (!strict || i == 0 || c.asMeans(i)) {
		return k, true
	}
	if k, ok := things[word]; ok && (!strict || c.asMeans(i)) {
		return k, true
	}
	last := lastPart(word)
	if k, ok := verbs[last]; ok {
		if last == "press" {
			return k, c.pressAt(i)
		}
		if i == 0 || slices.Contains(how, prev) || strings.HasSuffix(prev, "ly") {
			return k, true
		}
	}
	if k, ok := doing[last]; ok && !(prev == "to" && c.at(i-2) == "prior") && !says(clause{prev}, "the", "of") {
		return k, true
	}
	if k, ok := done[last]; ok && prev != "" && slices.Contains(carries, next) && !says(clause{prev}, "the", "a", "an", "already", "is", "are", "was", "were", "been") {
		return k, true
	}
	return "", false
}

// asMeans reports whether the thing at i is what the work is done with.
func (c clause) asMeans(i int) bool {
	if says(clause{c.at(i - 1)}, "the", "a", "an") {
		i--
	}
	return slices.Contains(means, c.at(i-1))
}

// pressAt tells pressing from a press fit that is there and from a drill press.
func (c clause) pressAt(i int) bool {
	prev := c.at(i - 1)
	if object, isFit := c.fitted(i); isFit && !says(clause{object}, "the", "a", "both", "each", "all", "new", "in", "into", "pin", "pins", "dowel", "dowels", "sleeve", "sleeves", "bushing") {
		return false
	}
	switch {
	case prev == "drill":
		return false
	case says(clause{prev}, "the", "a"):
		return says(clause{c.at(i - 2)}, "in", "with", "at", "on", "under", "using")
	}
	return i == 0 || slices.Contains(how, prev) || strings.HasSuffix(prev, "ly")
}

// fitted gives the word behind "press fit" or "press-fit".
func (c clause) fitted(i int) (object string, isFit bool) {
	if c[i] == "press-fit" {
		return c.at(i + 1), true
	}
	return c.at(i + 2), c.at(i+1) == "fit"
}

// Lead says where the work lead of a welder is clamped.
type Lead int

// The places of a work lead.
const (
	LeadNotSaid Lead = iota
	LeadUnclear
	LeadElsewhere
	LeadOnWork
)

// LeadOn reads the words about a work lead. What they deny ("not on the
// table") does not count.
func LeadOn(text string) Lead {
	onWork, elsewhere, said := false, false, false
	for _, c := range clauses(strings.ReplaceAll(strings.ToLower(text), "work lead", "lead")) {
		if len(c) == 0 {
			continue
		}
		said = true
		if i := slices.IndexFunc(c, func(w string) bool { return w == "not" || w == "never" || w == "no" || w == "away" }); i >= 0 {
			c = c[:i]
		}
		onWork = onWork || says(c, "fixture", "work", "workpiece", "piece", "part", "plate", "block", "weld", "welded", "joint")
		elsewhere = elsewhere || says(c, "table", "vise", "vice", "spindle", "column", "bed", "frame", "machine", "bench", "head", "ram", "saddle", "far", "enclosure", "sub-plate", "subplate")
	}
	switch {
	case elsewhere:
		return LeadElsewhere
	case onWork:
		return LeadOnWork
	case said:
		return LeadUnclear
	}
	return LeadNotSaid
}
