package formula

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/uncertainty"
)

// ParseSpread reads a spread as people write it: normal, uniform, triangular or
// arcsine between the limits, or a standard deviation, 0.0002 in, also after the
// word normal. A number alone is in the unit def.
func ParseSpread(text string, def quantity.Unit) (Spread, error) {
	word, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	switch shape := uncertainty.Shape(word); {
	case shape == uncertainty.Uniform, shape == uncertainty.Triangular, shape == uncertainty.Arcsine:
		if strings.TrimSpace(rest) != "" {
			return Spread{}, fmt.Errorf("%s is spread between the limits and takes no %s", quote(word), quote(rest))
		}
		return Spread{Shape: shape}, nil
	case shape == uncertainty.Normal && strings.TrimSpace(rest) == "":
		return Spread{Shape: shape}, nil
	case shape != uncertainty.Normal:
		rest = text
	}
	sd, err := quantity.Parse(rest, def)
	if err != nil || sd.Sign() <= 0 {
		return Spread{}, fmt.Errorf("%s is no spread; write normal, uniform, triangular, arcsine, or a standard deviation above 0 such as 0.0002 in", quote(text))
	}
	if u := sd.Unit(); u.Point() { // a temperature here is a difference
		v, err := quantity.Parse(strings.TrimSuffix(strings.TrimSpace(rest), u.Name()), u.Difference())
		if err != nil {
			return Spread{}, fmt.Errorf("%s is a temperature; write a difference such as 2 dF", quote(text))
		}
		sd = v
	}
	return Spread{SD: sd}, nil
}

var commonText = regexp.MustCompile(`^(against )?(.*?)(?: ([0-9]+(?:\.[0-9]+)?) ?%)?$`)

// ParseCommon reads a common source as people write it: its name, then the part of
// the tolerance that it moves if that is not all, and the word against before it for
// an input that it moves the other way: reamer, reamer 60 %, against reamer.
func ParseCommon(text string) (Common, error) {
	m := commonText.FindStringSubmatch(strings.Join(strings.Fields(text), " "))
	if m == nil || m[2] == "" || strings.Contains(m[2], "%") || m[2] == "against" {
		return Common{}, fmt.Errorf("%s names no common source; write one such as reamer, reamer 60 %%, or against reamer", quote(text))
	}
	c := Common{Source: m[2], Part: 1, Against: m[1] != ""}
	if m[3] != "" {
		v, err := strconv.ParseFloat(m[3], 64)
		if err != nil || v <= 0 || v > 100 {
			return Common{}, fmt.Errorf("%s: a part is above 0 %% and not above 100 %%", quote(text))
		}
		c.Part = v / 100
	}
	return c, nil
}
