package rules

import (
	"fmt"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var reamerSize = &lint.Rule{
	Name:     "reamer-size",
	Severity: lint.Warning,
	Title:    "a reamer whose size does not suit the tolerance of its hole",
	Page: lint.Page{
		What: "Every hole with two limits that a reamer finishes (tool of the feature, or a reamer of the operation that makes it) is compared with the diameter of the reamer. " +
			"Test holes in the material of the part (cuts of the tool), or else the holes as made (as_made), come first: inside the limits of the hole they prove the reamer, whatever its size; test holes outside them prove that it is wrong.",
		Why:     "The holes come out at one end of the tolerance every time: pins bind or rattle in them, and there is no room for the reamer to wear or to run out.",
		Formula: "largest reamer = largest hole - 0.15 T; smallest = that - 0.35 T; both parts rounded up to a whole 0.0001 in or 0.001 mm.",
		Source:  "DIN 1420, ISO 522; steps of 0.0001 in for inch holes: common practice.",
		Cure:    "Take a reamer inside the window, or ream test holes in the material of the part, gauge them and enter them under cuts.",
		Concede: "A reamer outside the window whose test holes lie inside the limits is left in peace without being conceded.",
	},
	Check: func(p *lint.Pass) {
		for _, w := range misfits(p) {
			w.report(p)
		}
	},
}

// misfit is a reamer with the holes of one size that it does not suit.
type misfit struct {
	study.ReamerSize
	names []string
	sizes []lint.Place
}

// misfits lists them by tool and limits, in the order in which they are met.
func misfits(p *lint.Pass) []*misfit {
	var out []*misfit
	seen := map[string]bool{}
	for _, r := range p.S.Reamings() {
		name := r.PartRec.ID() + "/" + r.Feature.ID.S
		key := r.ToolRec.Path + " " + r.PartRec.Path + " " + name
		if seen[key] {
			continue
		}
		seen[key] = true
		size, ok := r.SizeOf(p.S)
		if !ok || size.Proven || size.Off.Sign() == 0 && size.Tested == nil {
			continue
		}
		at := lint.Place{Rec: r.PartRec, Span: r.Feature.Size.Span, Message: fmt.Sprintf("%s: %s", name, r.Feature.Size.Tol)}
		var into *misfit
		for _, m := range out {
			if m.ToolRec == r.ToolRec && m.Tested == size.Tested && sameLimits(*m.Feature.Size.Tol, *r.Feature.Size.Tol) {
				into = m
			}
		}
		if into == nil {
			into = &misfit{ReamerSize: size}
			out = append(out, into)
		}
		into.names, into.sizes = append(into.names, name), append(into.sizes, at)
	}
	return out
}

func sameLimits(a, b quantity.Toleranced) bool {
	low, err1 := a.Lower.Cmp(b.Lower)
	high, err2 := a.Upper.Cmp(b.Upper)
	return err1 == nil && err2 == nil && low == 0 && high == 0
}

func (m *misfit) report(p *lint.Pass) {
	tool, hole := m.ToolRec.ID(), m.Feature.Size.Tol
	window := fromTo(m.Want.Lower, m.Want.Upper)
	holes := fmt.Sprintf("%s (%s)%s", m.names[0], hole, andMore(len(m.names), "hole"))
	f := lint.Found{
		Numbers: []lint.Number{{Name: "reamer", Q: m.Tool.Diameter.Nominal()}, {Name: "smallest", Q: m.Want.Lower}, {Name: "largest", Q: m.Want.Upper}},
		Related: m.sizes[:min(len(m.sizes), shownPlaces)],
	}
	at := m.Tool.Diameter.Span
	if m.Tested != nil {
		at = m.Tested.Size.Span
		other := "another"
		if m.Side == quantity.Below {
			other = "a larger"
		} else if m.Side == quantity.Above {
			other = "a smaller"
		}
		f.Message = fmt.Sprintf("test holes of %s in %s came out %s, not all inside the limits of %s", tool, m.Tested.Material.S, m.Tested.Size.Tol, holes)
		f.Fix = fmt.Sprintf("take %s reamer and prove it by test holes in %s", other, material(m.Part))
	} else {
		side, off, ends := "above", m.Off, "large"
		if m.Off.Sign() < 0 {
			side, off, ends = "below", m.Off.Neg(), "tight"
		}
		f.Message = fmt.Sprintf("%s, %s, is %s %s the window %s for %s: the holes may come out %s", tool, m.Tool.Diameter.Tol, off, side, window, holes, ends)
		f.Fix = fmt.Sprintf("ream test holes in %s and enter their sizes under cuts of %s; or take a reamer of %s", material(m.Part), tool, window)
	}
	p.Report(m.ToolRec, at, f)
}

// material is what a part is made of.
func material(part *ledger.Part) string {
	if blank(part.Material.S) {
		return "the material of the part"
	}
	return part.Material.S
}
