package rules

import (
	"fmt"

	"tenths/ledger/study"
	"tenths/lint"
)

var oppositeFaces = &lint.Rule{
	Name:     "opposite-faces",
	Severity: lint.Warning,
	Title:    "mating parts whose outlines are cut opposite ways up on the same features",
	Page: lint.Page{
		What: "For a step that names its two parts (proud, against): the faces that are up on the stations where their outlines are finished, if both parts locate on features of the same names. The faces are named as they lie in the assembly: outside is the same side of both.",
		Why:  "A sideways error of the pins that both share adds up in the pair instead of cancelling, and whoever corrects one part by what the other shows makes the pair worse.",
		Formula: "step = n·(outline of the proud part - outline of the other), each outline shifted by -e1 and turned by (e2 - e1) across the line of the pins over their distance; for a part that lies face down, mirrored about that line. " +
			"The pins are taken as surveyed and as seen from the work offset (shift).",
		Source:  "Plane kinematics of two pins; cut mating parts the same way up: common practice.",
		Cure:    "Lay both parts the same way up, best on one station; or take the sideways error out of each station by its own offset, from the survey of its own pins.",
		Concede: "Nothing is said where all pins were surveyed and stand off sideways by less than the uncertainty of the survey, where the surveyed errors are no worse this way than the other, or where the words do not tell which face is up. Concede where a clamp or a clean face leaves no choice, and say how the offsets are set.",
	},
	Check: func(p *lint.Pass) {
		for _, o := range p.S.Opposites() {
			reportOpposite(p, o)
		}
	},
}

func reportOpposite(p *lint.Pass, o study.Opposite) {
	down, up := &o.Seam.Proud, &o.Seam.Other
	if !down.FaceDown {
		down, up = up, down
	}
	name := o.Rec.ID() + "/" + o.Char.ID.S
	found := lint.Found{Related: []lint.Place{
		{Rec: up.Fixture, Span: up.Station.Face.Span, Message: fmt.Sprintf("%s on %s: %s", up.Part.ID(), up.Path(), up.Station.Face.S)},
		{Rec: o.Rec, Span: o.Char.ID.Span, Message: "the step that both make"},
	}}
	found.Message = fmt.Sprintf("%s lies %s on %s, and %s %s on %s: a sideways error of the pins adds up in %s instead of cancelling",
		down.Part.ID(), down.Station.Face.S, down.Path(), up.Part.ID(), up.Station.Face.S, up.Path(), name)
	if !o.Surveyed {
		found.Message += "; not all of their pins were surveyed as they stand, so nobody knows by how much"
		found.Fix = "survey the pins of both stations; lay both parts the same way up, or set the offset of each station by its own pins"
		p.Report(down.Fixture, down.Station.Face.Span, found)
		return
	}
	found.Message += fmt.Sprintf("; the pins as surveyed make %s at %s, and would make %s with both the same way up", study.Show(o.Lies), o.Point, study.Show(o.Same))
	found.Numbers = []lint.Number{{Name: "step", Q: o.Lies}, {Name: "step_same_way_up", Q: o.Same}}
	found.Fix = fmt.Sprintf("lay both parts the same way up; or shift each offset across the pins by what its own first pin stands off: %s by %s, %s by %s",
		o.Seam.Proud.Path(), study.Show(o.Across[0]), o.Seam.Other.Path(), study.Show(o.Across[1]))
	p.Report(down.Fixture, down.Station.Face.Span, found)
}
