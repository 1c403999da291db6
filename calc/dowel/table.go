package dowel

import (
	"embed"
	"encoding/csv"
	"fmt"
	"slices"
	"sync"

	"tenths/calc/fit"
	"tenths/calc/quantity"
)

//go:embed data/*.csv
var dataFiles embed.FS

// Pins lists all pins of the tables: by standard, then by series, then by size.
//
// Source: ASME B18.8.2-2000, ASME B18.8.5M, ISO 8734 with m6 of ISO 286;
// data/README.md says where each was seen.
func Pins() ([]Pin, error) {
	all, err := pins()
	return slices.Clone(all), err
}

// pins reads the embedded tables once; nothing writes to the result.
var pins = sync.OnceValues(func() ([]Pin, error) {
	var out []Pin
	for _, read := range []func() ([]Pin, error){inchPins, metricPins, isoPins} {
		some, err := read()
		if err != nil {
			return nil, err
		}
		out = append(out, some...)
	}
	slices.SortStableFunc(out, func(a, b Pin) int { return order(a) - order(b) })
	return out, nil
})

// order puts the standard series of each table before its oversize series and
// keeps the tables apart.
func order(p Pin) int {
	n := map[string]int{"ASME B18.8.2": 0, "ISO 8734": 2, "ASME B18.8.5M": 4}[p.Spec]
	if p.Series == Oversize {
		n++
	}
	return n
}

// rows reads one table as maps from column to cell.
func rows(name string) ([]map[string]string, error) {
	f, err := dataFiles.Open("data/" + name)
	if err != nil {
		return nil, fmt.Errorf("dowel table %s: %w", name, err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("dowel table %s: %w", name, err)
	}
	var out []map[string]string
	for _, cells := range all[min(1, len(all)):] {
		row := make(map[string]string, len(cells))
		for i, cell := range cells {
			row[all[0][i]] = cell
		}
		out = append(out, row)
	}
	return out, nil
}

// read parses the text of a table cell, or several put together.
func read(table, text string, u quantity.Unit) (quantity.Toleranced, error) {
	t, err := quantity.ParseToleranced(text, u)
	if err != nil {
		return t, fmt.Errorf("dowel table %s: %w", table, err)
	}
	return t, nil
}

func inchPins() ([]Pin, error) {
	const table = "asme_b18_8_2.csv"
	list, err := rows(table)
	if err != nil {
		return nil, err
	}
	var out []Pin
	for _, row := range list {
		nominal, err := read(table, row["nominal"], quantity.Inch)
		if err != nil {
			return nil, err
		}
		decimal, err := read(table, row["decimal"], quantity.Inch)
		if err != nil {
			return nil, err
		}
		p := Pin{Spec: "ASME B18.8.2", Nominal: nominal.Nominal, decimal: decimal.Nominal, DiameterStanding: Seen}
		for _, series := range []Series{Standard, Oversize} {
			q := p
			q.Series = series
			// Both series are made to ±.0001 in about their basic diameter.
			if q.Diameter, err = read(table, row[string(series)]+" ±0.0001", quantity.Inch); err != nil {
				return nil, err
			}
			if series == Standard {
				q.HoleStanding = Standing(row["hole_standing"])
				if q.PressHole, err = read(table, row["hole_min"]+".."+row["hole_max"], quantity.Inch); err != nil {
					return nil, err
				}
			}
			out = append(out, q)
		}
	}
	return out, nil
}

func metricPins() ([]Pin, error) {
	const table = "asme_b18_8_5m.csv"
	list, err := rows(table)
	if err != nil {
		return nil, err
	}
	var out []Pin
	for _, row := range list {
		nominal, err := read(table, row["nominal"], quantity.Millimetre)
		if err != nil {
			return nil, err
		}
		p := Pin{Spec: "ASME B18.8.5M", Nominal: nominal.Nominal, decimal: nominal.Nominal, DiameterStanding: OneSource}
		for _, series := range []Series{Standard, Oversize} {
			q := p
			q.Series = series
			if q.Diameter, err = read(table, row[string(series)+"_min"]+".."+row[string(series)+"_max"], quantity.Millimetre); err != nil {
				return nil, err
			}
			if series == Standard {
				q.HoleStanding = OneSource
				if q.PressHole, err = read(table, row["hole_min"]+".."+row["hole_max"], quantity.Millimetre); err != nil {
					return nil, err
				}
			}
			out = append(out, q)
		}
	}
	return out, nil
}

func isoPins() ([]Pin, error) {
	const table = "iso_8734.csv"
	list, err := rows(table)
	if err != nil {
		return nil, err
	}
	var out []Pin
	for _, row := range list {
		nominal, err := read(table, row["nominal"], quantity.Millimetre)
		if err != nil {
			return nil, err
		}
		m, err := fit.LimitsOf(nominal.Nominal, "m6")
		if err != nil {
			return nil, fmt.Errorf("dowel table %s: %w", table, err)
		}
		out = append(out, Pin{Spec: "ISO 8734", Series: M6, Nominal: nominal.Nominal, decimal: nominal.Nominal,
			Diameter: m.Limits, DiameterStanding: Standing(row["standing"])})
	}
	return out, nil
}
