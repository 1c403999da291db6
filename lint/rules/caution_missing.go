package rules

import (
	"fmt"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var cautionMissing = &lint.Rule{
	Name:     "caution-missing",
	Severity: lint.Error,
	Gap:      true,
	Title:    "hot, grinding, wet or pressing work without its usual cautions",
	Page: lint.Page{
		What: "Every step of a change and every operation of a plan is read for what it does (does; the title only where there is no does) and its cautions are compared with the usual ones for that kind of work. " +
			"A caution counts if it holds the words of its topic: \"fume: extraction on\" is the topic fume.",
		Why:     "These are the steps that hurt people and burn shops; a caution belongs in front of the step. Local codes and licensed practice decide what is required.",
		Formula: cautionTable(),
		Source: "Hot work: ANSI Z49.1, OSHA 29 CFR 1910.252 and 1910.133. Grinding: OSHA 29 CFR 1910.215. Striking: OSHA 29 CFR 1910.133 and 1910.242(a). The rest: common practice. " +
			"Clauses marked \"from memory\" were not looked up. Local codes and licensed practice decide, and the list is not complete.",
		Cure:    "Read the cautions, do what they say, and write them into cautions of the step. What local codes, the maker of the machine and licensed practice ask for goes beyond this list.",
		Concede: "If the words only name a thing (a weld that is there, a press fit) write the kind of work into does, such as \"skim\"; then the title is not read. Work that is done on the bench is told by where.",
	},
	Check: func(p *lint.Pass) {
		eachStep(p, func(s step) {
			var lacks []topic
			for _, t := range topicsOf(s) {
				if !t.covered(s.cautions) {
					lacks = append(lacks, t)
				}
			}
			if lacks == nil {
				return
			}
			var names, adds []string
			for _, t := range lacks {
				names = append(names, t.name)
				adds = append(adds, fmt.Sprintf("%q (%s)", t.name, t.means))
			}
			p.Report(s.rec, s.at, lint.Found{
				Message: fmt.Sprintf("%s is %s%s and stands without the usual %s: %s", s.name, kinds(s.work), s.place(), plural(len(lacks), "caution", "cautions"), strings.Join(names, ", ")),
				Fix:     "do, and write into cautions: " + strings.Join(adds, ", ") + "; local codes and licensed practice decide",
			})
		})
	},
}

// topic is one caution.
type topic struct {
	name string
	// needs lists what must be said: each entry by one caution that holds all
	// of its word stems.
	needs [][]string
	means string // what it asks for, and where that is from
}

var (
	eyesAndSkin  = topic{"eyes and skin", [][]string{{"eye"}, {"skin"}}, "shade for the process, covered skin; ANSI Z49.1, OSHA 29 CFR 1910.133"}
	glueOnSkin   = topic{"eyes and skin", eyesAndSkin.needs, "goggles, gloves that the adhesive does not pass; common practice, its data sheet"}
	fume         = topic{"fume", [][]string{{"fume"}}, "head out of the plume, extraction; ANSI Z49.1, OSHA 29 CFR 1910.252(c), from memory"}
	glueFume     = topic{"fume", fume.needs, "air moved away from the face, none near an arc or flame; common practice, its data sheet"}
	fireWatch    = topic{"fire watch", [][]string{{"fire", "watch"}}, "during the work and at least 30 min after, what burns 35 ft away or shielded; OSHA 29 CFR 1910.252(a)(2); an hour in newer NFPA 51B, from memory"}
	noChlorine   = topic{"no chlorinated solvent", [][]string{{"no", "chlorinat"}}, "arc and heat turn its vapour into phosgene; OSHA 29 CFR 1910.252(c)(11), from memory"}
	leadOnWork   = topic{"work lead", [][]string{{"work", "lead"}}, "clamped on the piece that is welded, next to the weld; ANSI Z49.1"}
	covers       = topic{"covers", [][]string{{"cover"}}, "ways, scales and spindle covered against spatter and grit; common practice"}
	isolated     = topic{"control isolated", [][]string{{"control", "isolat"}}, "control and probes off and isolated from the current; common practice"}
	grindEyes    = topic{"eyes", [][]string{{"eye"}}, "eye and face protection against sparks and grit; OSHA 29 CFR 1910.133"}
	guardAndRest = topic{"guard and rest gaps", [][]string{{"guard"}, {"rest"}}, "rest within 1/8 in of the wheel, tongue within 1/4 in; OSHA 29 CFR 1910.215(a)(4), (b)(9)"}
	ringTest     = topic{"ring test", [][]string{{"ring"}}, "before a wheel is mounted; OSHA 29 CFR 1910.215"}
	ventilation  = topic{"ventilation", [][]string{{"ventilat"}}, "vapour led away; common practice, its data sheet"}
	ignition     = topic{"ignition", [][]string{{"ignition"}}, "no arc, flame, spark or hot part in reach of the vapour; common practice, its data sheet"}
	impactEyes   = topic{"impact eyes", [][]string{{"impact", "eye"}}, "eye protection rated for impact; OSHA 29 CFR 1910.133"}
	handClear    = topic{"hand clear", [][]string{{"hand", "clear"}}, "of the ram or the sliding weight; OSHA 29 CFR 1910.242(a), from memory, and common practice"}
	partClamped  = topic{"part clamped", [][]string{{"clamp"}}, "so that it cannot jump; common practice"}
	spindleStop  = topic{"spindle stopped", [][]string{{"spindle", "stop"}}, "and kept from starting while hands are near it; OSHA 29 CFR 1910.212, from memory, and common practice"}
	noGloves     = topic{"no gloves", [][]string{{"no", "glove"}}, "near anything that turns; common practice"}
)

// usual lists the cautions of each kind of work. Arc welding also has the work
// lead, and hot work on a machine its covers and its control.
func usual(k study.WorkKind) []topic {
	switch k {
	case study.Welding, study.Flame:
		return []topic{eyesAndSkin, fume, fireWatch, noChlorine}
	case study.Grinding:
		return []topic{grindEyes, guardAndRest, ringTest}
	case study.Solvent:
		return []topic{ventilation, ignition}
	case study.Adhesive:
		return []topic{glueOnSkin, glueFume}
	case study.Pressing:
		return []topic{impactEyes, handClear, partClamped}
	case study.HandAtSpindle:
		return []topic{spindleStop, noGloves}
	}
	return nil
}

// topicsOf lists the cautions that a step should have, each once. On a machine
// a weld that does not say where its work lead is belongs to the rule work-lead.
func topicsOf(s step) []topic {
	var out []topic
	add := func(t topic) {
		for _, have := range out {
			if have.name == t.name {
				return
			}
		}
		out = append(out, t)
	}
	for _, k := range s.work.Kinds {
		for _, t := range usual(k) {
			add(t)
		}
		if k == study.Welding && !s.lead.Set() && !s.work.OnMachine {
			add(leadOnWork)
		}
		if s.work.OnMachine && (k == study.Welding || k == study.Flame) {
			add(covers)
			add(isolated)
		}
	}
	return out
}

// cautionTable lists the cautions by kind of work for the page.
func cautionTable() string {
	var rows []string
	for _, k := range study.WorkKinds() {
		var names []string
		for _, t := range usual(k) {
			names = append(names, t.name)
		}
		if k == study.Welding {
			names = append(names, "work lead")
		}
		row := fmt.Sprintf("%s: %s", k, strings.Join(names, ", "))
		if k == study.Welding || k == study.Flame {
			row += ", and on a machine covers, control isolated"
		}
		rows = append(rows, row)
	}
	return strings.Join(rows, ". ") + "."
}

// covered reports whether the cautions say all that the topic needs.
func (t topic) covered(cautions []ledger.Text) bool {
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

func kinds(w study.Work) string {
	var names []string
	for _, k := range w.Kinds {
		names = append(names, string(k))
	}
	return listed(names)
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}
