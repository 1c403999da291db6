package report

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/ledger"
	"tenths/ledger/study"
)

func TestChangelogGolden(t *testing.T) {
	for _, c := range []struct {
		name string
		opt  LogOptions
	}{
		{"log", LogOptions{}},
		{"log-part", LogOptions{By: ByPart}},
		{"log-fixture", LogOptions{By: ByFixture}},
		{"log-public", LogOptions{Public: true}},
		{"log-public-percent", LogOptions{Public: true, Percent: true}},
	} {
		for range 2 {
			log, err := Changelog(shop(t), c.opt)
			require.NoError(t, err, c.name)
			golden(t, c.name+".md", printed(t, log.WriteMarkdown))
			golden(t, c.name+".json", printed(t, func(w io.Writer) error { return WriteJSON(w, log) }))
		}
	}
}

func entries(log *Log) []string {
	var out []string
	for _, g := range log.Groups {
		for _, e := range g.Entries {
			out = append(out, e.Change)
		}
	}
	return out
}

// What failed, and what could not be told, is in every log; what is only
// planned or under way is in none.
func TestChangelogTellsAll(t *testing.T) {
	s := shop(t)
	log, err := Changelog(s, LogOptions{})
	require.NoError(t, err)
	assert.Equal(t, []string{"CH-01", "CH-07", "CH-02", "CH-03", "CH-04", "CH-05"}, entries(log))
	assert.Contains(t, log.Totals, Total{"rolled back", 1})
	assert.Contains(t, log.Totals, Total{"inconclusive", 1})
	assert.Contains(t, log.Totals, Total{"verified effective", 3})

	log, err = Changelog(s, LogOptions{Since: time.Date(2024, 8, 5, 0, 0, 0, 0, time.UTC), Until: time.Date(2025, 1, 19, 0, 0, 0, 0, time.UTC)})
	require.NoError(t, err)
	assert.Equal(t, []string{"CH-03", "CH-04"}, entries(log), "both ends count")

	early := study.New(s.L, time.Date(2024, 6, 1, 0, 0, 0, 0, time.UTC))
	log, err = Changelog(early, LogOptions{})
	require.NoError(t, err)
	assert.Equal(t, []string{"CH-01", "CH-07", "CH-02"}, entries(log), "nothing after the day asked for")

	log, err = Changelog(s, LogOptions{Public: true})
	require.NoError(t, err)
	assert.Equal(t, []string{"CH-01", "CH-02", "CH-03", "CH-05"}, entries(log), "only those marked public")

	_, err = Changelog(s, LogOptions{By: "week"})
	require.Error(t, err)
}

// A difference next to a percentage of the limit gives the limit away.
func TestPublicGivesOneOfTwo(t *testing.T) {
	s := shop(t)
	for _, percent := range []bool{false, true} {
		log, err := Changelog(s, LogOptions{Public: true, Percent: percent})
		require.NoError(t, err)
		text := printed(t, log.WriteMarkdown) + printed(t, func(w io.Writer) error { return WriteJSON(w, log) })
		if percent {
			absent(t, text, "tenths", "um\"", "thou")
			assert.Contains(t, text, "136 → 84 % of the limit, change -52 (95 % -101 … -3)")
		} else {
			absent(t, strings.ReplaceAll(text, "95 %", ""), "%")
			assert.Contains(t, text, "13.6 → 8.4 tenths, change -5.2 (95 % -10.1 … -0.3)")
			assert.Contains(t, text, "change -1.2 tenths", "of a size only the difference")
		}
		absent(t, text, "limit 10", "goal", ".250", "1.0937", "0.1875", "serial 61")
		assert.Contains(t, text, "(size)", "a size in a title is taken out")
		assert.NotRegexp(t, regexp.MustCompile(`\d{4}-\d{2}-\d{2}`), text, "months only")
	}
	log, err := Changelog(s, LogOptions{Public: true, Serials: true})
	require.NoError(t, err)
	assert.Contains(t, printed(t, log.WriteMarkdown), "serial 61", "on request")
}

// A public text with a private word stops everything, with each place.
func TestPublicRefuses(t *testing.T) {
	for text, word := range map[string]string{
		"bought at invented supply co last year": "Invented Supply Co",
		"Ms Invented did it":                     "Ms Invented",
		"runs as O1234 now":                      "O1234",
		"N10 G01 X1.5 was wrong":                 "N10 G01",
		"the old G54 was off":                    "G54",
		"cost $40":                               "$40",
		"checked with G4":                        "G4",
		"SN-2 was good":                          "SN-2",
		"program 4012 rev C is out":              "4012 rev C",
		"half of the gain is 30 % of the limit":  "0 % of the limit",
		"bought at  invented-supply\u00a0Co":     "Invented Supply Co",
		"Invented\\nSupply Co sent it":           "Invented Supply Co",
		"InventedSupplyCo sent it":               "Invented Supply Co",
		"half is 30 %\\n of the  limit":          "0 % of the limit",
		"G 54 was off":                           "G 54",
		"program 4012 is out":                    "program 4012",
		"45 EUR were saved":                      "45 EUR",
		"checked with g 4":                       "G4",
		"holds from serial 61":                   "serial 61",
	} {
		files := shopFiles(t)
		files["changes/CH-01.md"] = strings.Replace(files["changes/CH-01.md"], "The pattern named the pins.", text, 1)
		_, err := Changelog(setOf(t, files), LogOptions{Public: true})
		var private *PrivateError
		require.True(t, errors.As(err, &private), text)
		require.NotEmpty(t, private.Leaks)
		assert.Contains(t, err.Error(), fmt.Sprintf("%q", word))
		assert.Regexp(t, `changes/CH-01\.md:\d+:\d+:`, err.Error())
		_, err = Changelog(setOf(t, files), LogOptions{})
		assert.NoError(t, err, "inside the shop everything may be said")
	}
	for _, text := range []string{"holds for 3/16 pins in reamed aluminium", "two and a half tenths better", "O rings were left out", "G major", "the 1/8 dowel", "9 % coolant"} {
		files := shopFiles(t)
		files["changes/CH-01.md"] = strings.Replace(files["changes/CH-01.md"], "The pattern named the pins.", text, 1)
		_, err := Changelog(setOf(t, files), LogOptions{Public: true})
		assert.NoError(t, err, text)
	}
}

// canaryShop is a ledger in which every private key of the kinds that a public
// list touches holds a word or a number that stands nowhere else.
func canaryShop(word func(string) string, number func(string) string) map[string]string {
	w, n := word, number
	return map[string]string{
		"tenths.toml": `units = "in"
private = ["` + w("private") + `"]
shop = "` + w("shop") + `"`,
		"p.md": `+++
kind = "part"
id = "P-1"
title = "Cover"
state = "in use"
material = "` + w("alloy") + `"
used_on = ["` + w("product") + `"]
[[feature]]
id = "H1"
type = "hole"
at = [0.0, "` + n("pitch") + ` in"]
size = "` + n("hole") + ` +0.0005/-0 in"
[[characteristic]]
id = "W"
title = "Width"
type = "size"
limits = "` + n("width") + ` ±0.0010 in"
goal = "` + n("width") + ` ±0.0003 in"
method = "` + w("method") + `"
gauge = "` + w("gauge") + `"
+++
`,
		"f.md": `+++
kind = "fixture"
id = "F-1"
title = "Plate"
[[station]]
id = "A"
part = "P-1"
offset = "` + w("offset") + `"
[[station.locator]]
id = "P1"
type = "round pin"
engages = "H1"
size = "` + n("pin") + `"
[[station.locator.survey]]
on = 2024-03-19
off = ["` + n("offx") + ` tenths", "` + n("offy") + ` tenths"]
by = "` + w("surveyor") + `"
+++
`,
		"g.md": `+++
kind = "gauge"
id = "` + w("gauge") + `"
title = "` + w("gaugetitle") + `"
type = "micrometer"
resolution = "0.0001"
uncertainty = "0.0001"
serial = "` + w("serial") + `"
[[calibration]]
on = 2024-01-17
result = "conforms"
certificate = "` + w("certificate") + `"
+++
`,
		"m.md": `+++
kind = "machine"
id = "M-1"
title = "` + w("machine") + `"
serial = "` + w("machineserial") + `"
+++
`,
		"plan.md": `+++
kind = "plan"
id = "PL"
title = "Plan"
part = "P-1"
[[operation]]
id = "OP10"
program = "` + w("program") + `"
+++
`,
		"b.md": `+++
kind = "inspection"
id = "IN-B"
title = "` + w("inspection") + `"
on = 2024-03-13
characteristic = "P-1/W"
gauge = "` + w("gauge") + `"
by = "` + w("person") + `"
lot = "` + w("lot") + `"
doubt = "` + w("doubt") + `"
deviation_in = "tenths"
readings = "5 6 7 6 5"
+++
`,
		"a.md": `+++
kind = "inspection"
id = "IN-A"
title = "` + w("inspection2") + `"
on = 2024-03-23
characteristic = "P-1/W"
gauge = "` + w("gauge") + `"
by = "` + w("person2") + `"
deviation_in = "tenths"
readings = "1 2 1 0 1"
+++
`,
		"c.md": `+++
kind = "change"
id = "CH-1"
title = "Cover holds its width"
opened = 2024-03-11
done = 2024-03-18
rolled_back = 2024-03-29
state = "verified effective"
complaint = "` + w("complaint") + `"
characteristic = "P-1/W"
touches = ["F-1/A/P1"]
factor = "one thing"
goal = "` + w("goal") + `"
criterion = "` + w("criterion") + `"
before = "IN-B"
after = "IN-A"
predicted = "-4 tenths"
predicted_on = 2024-03-12
also_changed = ["` + w("also") + `"]
roll_back = "` + w("rollback") + `"
recheck = 2024-03-31
hours = "` + n("hours") + ` h"
cost = "` + w("cost") + `"
scrapped = "` + n("scrapped") + ` parts"
cycle_time = "` + n("cycle_time") + ` s"
applies_from = "` + w("serialrange") + `"
photos = ["` + w("photo") + `.jpg"]
public = true
[[neighbour]]
what = "F-1/A"
on = 2024-03-21
result = "` + w("neighbour") + `"
[[step]]
does = "bore"
where = "` + w("where") + `"
work_lead = "` + w("lead") + `"
+++

` + w("notes") + "\n\n![" + w("alt") + "](" + w("photo") + ".jpg)\n",
		w("photo") + ".jpg": "",
	}
}

// Nothing private reaches a public list, whatever it is, in any form.
func TestPublicLeaksNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		tail := rapid.StringMatching(`[A-Z]{3}[0-9]{2}`).Draw(rt, "tail")
		digits := rapid.StringMatching(`[1-9]{2}`).Draw(rt, "digits")
		percent := rapid.Bool().Draw(rt, "percent")
		by := rapid.SampledFrom([]By{ByMonth, ByPart, ByFixture}).Draw(rt, "by")
		var secrets []string
		keep := func(s string) string { secrets = append(secrets, s); return s }
		i := 0
		files := canaryShop(
			func(name string) string { return keep("Canary-" + name + "-" + tail) },
			func(name string) string { i++; return keep(fmt.Sprintf("3.%02d%s7", 10+len(name), digits)) },
		)
		s := setOf(t, files)
		log, err := Changelog(s, LogOptions{Public: true, Percent: percent, By: by})
		require.NoError(rt, err)
		text := printed(t, log.WriteMarkdown) + printed(t, func(w io.Writer) error { return WriteJSON(w, log) })
		if !strings.Contains(text, "Cover holds its width") {
			rt.Fatal("the change is not in the log at all")
		}
		for _, c := range append(secrets, "Canary", "2024-03-", "2024-01", "G54") {
			if strings.Contains(text, c) {
				rt.Fatalf("%q is in the public log", c)
			}
		}
	})
}

// The ledger of the test above fills every key that the record kinds call
// private, so that a new one is not forgotten.
func TestCanariesCoverPrivateKeys(t *testing.T) {
	var all strings.Builder
	for _, text := range canaryShop(func(s string) string { return "X" + s }, func(string) string { return "3.1" }) {
		all.WriteString(text)
	}
	found := 0
	for _, k := range ledger.Kinds() {
		for _, key := range ledger.Keys(k) {
			if !strings.Contains(key.Means, "(private") {
				continue
			}
			found++
			name := key.Path[strings.LastIndex(key.Path, ".")+1:]
			assert.Regexp(t, `(?m)^`+name+` = `, all.String(), "%s: %s", k, key.Path)
		}
	}
	assert.Greater(t, found, 8)
}

// Levels go out only where they are counted from a nominal, or from a zero that
// is the ideal; never where they are the size itself.
func TestPublicLevels(t *testing.T) {
	for _, c := range []struct {
		kind, limits, before, after string
		level                       bool
	}{
		{"step", "0 ±0.0010", "0.0005 0.0006 0.0007", "0.0001 0.0002 0.0001", true},
		{"step", "-0.0010..0.0010", "0.0005 0.0006 0.0007", "0.0001 0.0002 0.0001", true},
		{"step", "1.5000 ±0.0010", "1.5012 1.5013 1.5012", "1.5002 1.5001 1.5003", true},
		{"taper", "<= 0.0010", "0.0005 0.0006 0.0007", "0.0001 0.0002 0.0001", true},
		{"step", "1.4990..1.5010", "1.5012 1.5013 1.5012", "1.5002 1.5001 1.5003", false},
		{"position", "1.4990..1.5010", "1.5012 1.5013 1.5012", "1.5002 1.5001 1.5003", false},
		{"step", "0.0150..0.0160", "0.0165 0.0166 0.0165", "0.0155 0.0156 0.0154", false},
		{"position", "<= 1.5010", "1.5012 1.5013 1.5012", "1.5002 1.5001 1.5003", false},
		{"size", "1.5000 ±0.0010", "1.5012 1.5013 1.5012", "1.5002 1.5001 1.5003", false},
		{"step", "0 ±0.0010", "1.5012 1.5013 1.5012", "0.0002 0.0001 0.0003", false},
	} {
		word, number := func(s string) string { return s }, func(string) string { return "3.1" }
		files := canaryShop(word, number)
		files["p.md"] = strings.NewReplacer(`type = "size"`, `type = "`+c.kind+`"`, `limits = "3.1 ±0.0010 in"`, `limits = "`+c.limits+`"`, `goal = "3.1 ±0.0003 in"`, "").Replace(files["p.md"])
		files["b.md"] = strings.NewReplacer("deviation_in = \"tenths\"\n", "", "5 6 7 6 5", c.before).Replace(files["b.md"])
		files["a.md"] = strings.NewReplacer("deviation_in = \"tenths\"\n", "", "1 2 1 0 1", c.after).Replace(files["a.md"])
		log, err := Changelog(setOf(t, files), LogOptions{Public: true})
		require.NoError(t, err)
		text := printed(t, log.WriteMarkdown) + printed(t, func(w io.Writer) error { return WriteJSON(w, log) })
		name := c.kind + " " + c.limits
		require.Contains(t, text, "CH-1", name)
		require.Len(t, log.Groups[0].Entries[0].Results, 1, name)
		r := log.Groups[0].Entries[0].Results[0]
		assert.Equal(t, c.level, !r.Before.IsZeroValue(), "%s: %s", name, r.Text)
		assert.Equal(t, c.level, strings.Contains(r.Text, "→"), "%s: %s", name, r.Text)
		absent(t, text, "1.50", "150", "3.1", "0.01", "165", "155")
	}
}

// The id of a change is printed too.
func TestPublicIDs(t *testing.T) {
	files := canaryShop(func(s string) string { return "Canary-" + s }, func(string) string { return "3.1" })
	files["tenths.toml"] = strings.Replace(files["tenths.toml"], "Canary-private", "Smithers", 1)
	files["c.md"] = strings.Replace(files["c.md"], `id = "CH-1"`, `id = "CH-Smithers"`, 1)
	_, err := Changelog(setOf(t, files), LogOptions{Public: true})
	var private *PrivateError
	require.ErrorAs(t, err, &private)
	assert.Contains(t, err.Error(), `c.md:3:6: "Smithers" is a private word`)
	files["c.md"] = strings.Replace(files["c.md"], `id = "CH-Smithers"`, `id = "CH-2024-03-11"`, 1)
	log, err := Changelog(setOf(t, files), LogOptions{Public: true})
	require.NoError(t, err)
	assert.Equal(t, []string{"CH-2024-03"}, entries(log), "without the day")
}

// Every text that a public list prints may hold a private word or a size in any
// guise: then the list is refused, or goes out without it.
func TestPublicTextsLeakNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		files := canaryShop(func(s string) string { return "Canary-" + s }, func(string) string { return "3.1417" })
		files["b.md"] = strings.Replace(files["b.md"], `by = "Canary-person"`, `by = "Jim Doe, owner"`, 1)
		files["m.md"] = strings.Replace(files["m.md"], "Canary-machineserial", "KX 8812", 1)
		hidden := rapid.SampledFrom([]string{"Jim Doe", "Jim", "Doe", "KX 8812", "Canary-serial", "Canary-certificate", "Canary-gauge", "Canary-private", "Canary-program", "Canary-surveyor",
			"3.1417", "3.1417 in", "79.8 mm", "79,8 mm", "3.1417 ±0.0005", "80 mm H7", "80H7", "3142 thou", "31417 tenths", "pitch 3.1", "45 EUR", "$45", "G 54", "O 4012", "program 4012", "3 May 2026", "2026-05-03", "May 3, 2026", "serial 61"}).Draw(rt, "hidden")
		guise := hidden
		if rapid.Bool().Draw(rt, "case") && !strings.ContainsAny(hidden, "0123456789") {
			guise = strings.ToUpper(guise)
		}
		guise = strings.ReplaceAll(guise, " ", rapid.SampledFrom([]string{" ", "  ", "\\n", "\\t", " "}).Draw(rt, "space"))
		if strings.HasPrefix(hidden, "Canary") {
			guise = strings.ReplaceAll(guise, "-", rapid.SampledFrom([]string{"-", " ", "", "‑", "\\n"}).Draw(rt, "hyphen"))
		}
		text := rapid.SampledFrom([]string{"%s", "it is %s.", "(%s)", "so %s, then", "%s it was"}).Draw(rt, "around")
		text = strings.Replace(text, "%s", guise, 1)
		key := rapid.SampledFrom([]string{"title", "notice", "factor", "lesson", "side_effects", "cause", "part", "characteristic", "fixture"}).Draw(rt, "key")
		switch key {
		case "title":
			files["c.md"] = strings.Replace(files["c.md"], "Cover holds its width", text, 1)
		case "part":
			files["p.md"] = strings.Replace(files["p.md"], `title = "Cover"`, `title = "`+text+`"`, 1)
		case "characteristic":
			files["p.md"] = strings.Replace(files["p.md"], `title = "Width"`, `title = "`+text+`"`, 1)
		case "fixture":
			files["f.md"] = strings.Replace(files["f.md"], `title = "Plate"`, `title = "`+text+`"`, 1)
		case "cause":
			files["c.md"] = strings.Replace(files["c.md"], "public = true", "cause = { text = \""+text+"\" }\npublic = true", 1)
		case "factor":
			files["c.md"] = strings.Replace(files["c.md"], "one thing", text, 1)
		default:
			files["c.md"] = strings.Replace(files["c.md"], "public = true", key+" = \""+text+"\"\npublic = true", 1)
		}
		log, err := Changelog(setOf(t, files), LogOptions{Public: true, By: rapid.SampledFrom([]By{ByMonth, ByPart, ByFixture}).Draw(rt, "by"), Percent: rapid.Bool().Draw(rt, "percent")})
		var private *PrivateError
		if errors.As(err, &private) {
			return
		}
		require.NoError(rt, err)
		out := strings.ToLower(printed(t, log.WriteMarkdown) + printed(t, func(w io.Writer) error { return WriteJSON(w, log) }))
		for _, w := range []string{"jim", "doe", "kx", "8812", "canary", "1417", "79.8", "79,8", "h7", "3142", "45", "54", "4012", "may 3", "3 may", "05-03", "serial 61", "0005", "3.1", "80 mm"} {
			if i := strings.Index(out, w); i >= 0 {
				rt.Fatalf("%s = %q: %q is in ...%s...", key, text, w, out[max(0, i-60):min(len(out), i+60)])
			}
		}
	})
}
