package bench

import (
	"fmt"
	"strings"

	"tenths/calc/joint"
	"tenths/calc/quantity"
)

// property is a constant of a material as an interval: what the sources say of
// it, or the one value that was typed.
type property struct {
	low, high quantity.Quantity
	what      string // "modulus of elasticity of steel"
	values    []joint.Value
	used      joint.Standing // the standing that low and high were taken from
}

func single(what string, q quantity.Quantity) property { return property{low: q, high: q, what: what} }

// expansion reads a material or a coefficient of expansion; part is whose.
func (w *work) expansion(name, part, text string, needed bool) property {
	const eg = "steel, 6061 or 11.7ppm/K"
	if strings.TrimSpace(text) == "" {
		if needed {
			w.fail("%s: no value; type a material or its coefficient of expansion, such as %s", name, eg)
		}
		return property{}
	}
	what := "expansion of the " + part
	if isNumber(text) {
		return single(what, w.needed(name, text, expansionDim, eg))
	}
	m, ok := w.material(name, text)
	if !ok {
		return property{}
	}
	return w.property(name, what+" ("+m.Name+")", m.Expansion, eg)
}

// elastic reads a material, or its modulus and Poisson's ratio; part is whose.
func (w *work) elastic(name, part, text string) (modulus, poisson property) {
	const eg = "steel, 6061 or '207000 N/mm², 0.29'"
	if strings.TrimSpace(text) == "" {
		w.fail("%s: no value; type a material, or its modulus of elasticity and Poisson's ratio, such as %s", name, eg)
		return
	}
	modulusOf, poissonOf := "modulus of elasticity of the "+part, "Poisson's ratio of the "+part
	if isNumber(text) {
		e, nu, ok := strings.Cut(text, ",")
		if !ok || strings.TrimSpace(nu) == "" {
			w.fail("%s: %q lacks Poisson's ratio; type both, such as %s", name, text, eg)
			return
		}
		return single(modulusOf, w.needed(name, e, stressDim, eg)), single(poissonOf, w.needed(name, nu, quantity.Number, eg))
	}
	m, ok := w.material(name, text)
	if !ok {
		return
	}
	return w.property(name, modulusOf+" ("+m.Name+")", m.Modulus, eg), w.property(name, poissonOf+" ("+m.Name+")", m.Poisson, eg)
}

// isNumber tells a value from the name of a material: 304 and 17-4 PH are names,
// 11.7 ppm/K is none.
func isNumber(text string) bool {
	t := strings.TrimSpace(text)
	if strings.ContainsAny(t, ",/") && t[0] >= '0' && t[0] <= '9' {
		return true
	}
	_, err := quantity.Parse(t, quantity.Unit{})
	return err == nil
}

func (w *work) material(name, text string) (joint.Material, bool) {
	if w.err != nil {
		return joint.Material{}, false
	}
	m, err := joint.FindMaterial(text)
	if err != nil {
		w.fail("%s: %w", name, err)
	}
	return m, err == nil
}

func (w *work) property(name, what string, values []joint.Value, eg string) property {
	low, high, _, standing := joint.Range(values)
	if low.IsZeroValue() {
		w.fail("%s: no source at hand gives the %s; type the values, such as %s", name, what, eg)
	}
	return property{low: low, high: high, what: what, values: values, used: standing}
}

func (p property) given() bool { return !p.low.IsZeroValue() }

// cite names every source of a property with its value, used or not.
func (s *Sheet) property(p property) {
	if len(p.values) == 0 {
		if p.given() {
			s.cite("%s: %s, as typed", p.what, p.low)
		}
		return
	}
	var parts []string
	for _, v := range p.values {
		text := fmt.Sprintf("%s (%s; %s)", span(v.Low, v.High), v.Source, v.Standing)
		if v.Standing != p.used {
			text += " not used"
		}
		parts = append(parts, text)
	}
	s.cite("%s: %s", p.what, strings.Join(parts, "; "))
	if p.low.Rat().Cmp(p.high.Rat()) != 0 {
		s.mind("sources differ on the %s, %s to %s; the answer covers both ends", p.what, p.low, p.high)
	}
	if p.used == joint.FromMemory {
		s.mind("the %s is from memory: check it before it decides", p.what)
	}
}

// hazards adds the usual cautions of a package.
func (s *Sheet) hazards(list []joint.Caution) {
	for _, c := range list {
		s.mind("%s: %s (%s)", c.Topic, c.Text, c.Source)
	}
}
