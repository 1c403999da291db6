package report

import (
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func logPage(t *testing.T, files map[string]string, opt LogOptions) string {
	t.Helper()
	log, err := Changelog(setOf(t, files), opt)
	require.NoError(t, err)
	text := printed(t, log.WriteHTML)
	assert.Equal(t, text, printed(t, log.WriteHTML))
	return text
}

func TestLogPagesAreValid(t *testing.T) {
	for _, opt := range []LogOptions{
		{}, {By: ByPart}, {By: ByFixture}, {Public: true}, {Public: true, By: ByPart, Percent: true}, {For: Customers, Public: true, Serials: true}, {Until: setOf(t, shopFiles(t)).AsOf.AddDate(-9, 0, 0)},
	} {
		text := logPage(t, shopFiles(t), opt)
		checkPage(t, text)
		if opt.Until.IsZero() {
			for _, e := range elements(t, text) {
				if e.name == "table" {
					assert.NotContains(t, e.in, "p")
				}
			}
			assert.Contains(t, text, "<th scope=\"row\">")
		} else {
			assert.Contains(t, text, "No change was carried out in this time.")
		}
	}
	files := shopFiles(t)
	files["tenths.toml"] += publishing
	text := logPage(t, files, LogOptions{Public: true})
	checkPage(t, text, "https://example.org/a%20b/makers.atom")
	assert.Contains(t, text, "<h1>Improvements by Invented &lt;Focusers&gt; &amp; sons</h1>")
	assert.Less(t, strings.Index(text, ">2025-01<"), strings.Index(text, ">2024-03<"), "the newest first")
	body := func(text string) string { return text[strings.Index(text, "<body>"):] }
	golden(t, "log-makers.html", body(text))
	golden(t, "log-customers.html", body(logPage(t, files, LogOptions{Public: true, For: Customers})))
}

func TestNoMarkupFromTheLedgerInALog(t *testing.T) {
	files := shopFiles(t)
	files["changes/CH-01.md"] = strings.Replace(files["changes/CH-01.md"], "The pattern named the pins.", `<script>alert(1)</script><img src=x onerror=y> [a](javascript:z) \"`, 1)
	for _, opt := range []LogOptions{{}, {Public: true}} {
		checkPage(t, logPage(t, files, opt))
	}
}

// Customers are told what they notice and what came of it, not how the shop
// works; makers the other way round. Both are told what did not work.
func TestAudiences(t *testing.T) {
	files := shopFiles(t)
	for _, id := range []string{"CH-02", "CH-03", "CH-05"} {
		files["changes/"+id+".md"] = strings.Replace(files["changes/"+id+".md"], "public = true", "notice = \"Notice of "+id+"\"\nolder_units = \"Older than "+id+"\"\npublic = true", 1)
	}
	files["changes/CH-02.md"] = strings.Replace(files["changes/CH-02.md"], "public = true", "public = true\n[[correction]]\non = 2025-02-03\ntext = \"the gauge was off\"\n[[correction]]\non = 2029-02-03\ntext = \"not yet\"\n", 1)
	text := func(whom Audience) (string, *Log) {
		log, err := Changelog(setOf(t, files), LogOptions{Public: true, For: whom})
		require.NoError(t, err)
		return printed(t, log.WriteMarkdown) + printed(t, func(w io.Writer) error { return WriteJSON(w, log) }), log
	}
	makers, log := text(Makers)
	assert.Equal(t, []string{"CH-01", "CH-02", "CH-03", "CH-05"}, entries(log))
	for _, want := range []string{"Reach costs taper.", "change -1.2 tenths (95 % -4.8 … 2.3); 4 + 4 pieces: not shown", "**inconclusive**", "**rolled back**", "correction 2025-02: the gauge was off", "Notice of CH-03", "Same gauge before and after", "after it was undone, against before: restored, to within half of what the change had moved"} {
		assert.Contains(t, makers, want)
	}
	absent(t, makers, "Older than", "not yet")
	customers, log := text(Customers)
	assert.Equal(t, []string{"CH-01", "CH-02", "CH-03", "CH-05"}, entries(log))
	for _, want := range []string{"Notice of CH-05", "**tried, and we cannot tell whether it helps**", "**tried and taken back**", "Older than CH-02", "correction 2025-02: the gauge was off", "measured: Hole to edge: 4 + 4 pieces: not shown."} {
		assert.Contains(t, customers, want)
	}
	absent(t, customers, "Reach costs taper.", "95 %", "tenths", "drilled", "re-set", "finisher", "Same gauge", "not yet")

	files["changes/CH-03.md"] = strings.Replace(files["changes/CH-03.md"], "notice = ", "# notice = ", 1)
	customers, log = text(Customers)
	assert.Equal(t, []string{"CH-01", "CH-02", "CH-05"}, entries(log))
	assert.Equal(t, 1, log.LeftOut)
	assert.Contains(t, customers, "Left out here: 1 more change in the workshop")

	_, err := Changelog(setOf(t, files), LogOptions{Public: true, For: Customers, By: ByFixture})
	assert.ErrorContains(t, err, "by month or part")
	_, err = Changelog(setOf(t, files), LogOptions{Public: true, For: "all"})
	assert.Error(t, err)
}

// The list never claims more than its readings.
func TestNoOverclaim(t *testing.T) {
	for _, c := range []struct{ id, old, new, makers, customers string }{
		{"CH-05", `state = "inconclusive"`, `state = "verified effective"`, "but: the readings by themselves: not shown", "**done; readings before and after do not show by themselves that it helped**"},
		{"CH-05", `state = "inconclusive"`, `state = "harmful"`, "but: the readings by themselves: not shown", "**tried, and it made things worse**"},
		{"CH-05", `state = "inconclusive"`, `state = "done"`, "but: no verdict yet", "**done; whether it helped is not known yet**"},
		{"CH-01", `state = "verified effective"`, `state = "not effective"`, "but: the readings by themselves: shown better", "**tried, and it did not help**"},
		{"CH-01", "also_changed = []", `also_changed = ["x", "y"]`, "not alone: 2 other things", "**better, and readings before and after show it; whether by this alone is not sure**"},
		{"CH-01", "before = \"IN-01B\"\nafter = \"IN-01A\"\n", "", "judged by: no readings before and after", "**done; judged without readings before and after**"},
		{"CH-03", "after_roll_back = ", "# ", "but: no readings show that all is again as it was", "**tried and taken back**"},
	} {
		files := shopFiles(t)
		name := "changes/" + c.id + ".md"
		require.Contains(t, files[name], c.old)
		files[name] = strings.Replace(files[name], c.old, c.new, 1)
		if !strings.Contains(files[name], "\nnotice = ") {
			files[name] = strings.Replace(files[name], "public = true", "notice = \"N\"\npublic = true", 1)
		}
		for whom, want := range map[Audience]string{Makers: c.makers, Customers: c.customers} {
			log, err := Changelog(setOf(t, files), LogOptions{Public: true, For: whom})
			require.NoError(t, err)
			assert.Contains(t, printed(t, log.WriteMarkdown), want, "%s %s", c.id, c.new)
		}
	}
}

// What tenths.toml says of the publisher goes out too, so it holds no private
// word either; its own addresses are meant to be told.
func TestPublisherIsLookedThrough(t *testing.T) {
	for public, word := range map[string]string{
		`name = "Shop beside Invented Supply Co"`:                             "Invented Supply Co",
		`name = "write to a@example.org"`:                                     "a@example.org",
		`feed_id = "tag:invented-supply-co.example,2024:x"`:                   "Invented Supply Co",
		`site = "https://example.org/G4/"`:                                    "G4",
		`feed_id = "tag:a@example.org,2024:x"` + "\nsite = \"https://a.org\"": "",
	} {
		files := shopFiles(t)
		files["tenths.toml"] += "\n[public]\n" + public + "\n"
		_, err := Changelog(setOf(t, files), LogOptions{Public: true})
		if word == "" {
			assert.NoError(t, err)
			continue
		}
		assert.ErrorContains(t, err, word)
		assert.ErrorContains(t, err, "tenths.toml:")
		_, err = Changelog(setOf(t, files), LogOptions{})
		assert.NoError(t, err)
	}
}
