package report

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// What study.Publishing finds in a change, and the rule private-in-public says, is
// what the public list refuses: a program's number is put into one text after the
// other, in the change and in what the list names.
func TestPublishingIsWhatTheListRefuses(t *testing.T) {
	const salt = "as program 4011 does"
	part := "kind = \"part\"\nid = \"P-1\"\ntitle = %q\n[[characteristic]]\nid = \"W\"\ntitle = %q\nlimits = \"1.5000 ±0.0010\"\nmethod = %q\n"
	fixture := "kind = \"fixture\"\nid = \"FX1\"\ntitle = %q\n[[station]]\nid = \"A\"\npart = \"P-1\"\ntitle = %q\n"
	change := "kind = \"change\"\nid = \"CH-1\"\nstate = \"done\"\ndone = 2025-01-08\ncharacteristic = \"P-1/W\"\nbefore = \"IN-B\"\nafter = \"IN-A\"\ntouches = [\"FX1/A\"]\npublic = true\n"
	reading := "kind = \"inspection\"\nid = %q\ntitle = \"width\"\non = 2025-01-%s\ncharacteristic = \"P-1/W\"\ngauge = \"G1\"\ndeviation_in = \"tenths\"\nreadings = %q\n"
	gauge := "micrometer"
	load := func(title, change, part, fixture string) *study.Set {
		files := map[string]string{ledger.ConfigName: "units = \"in\"\n", "G1.md": fmt.Sprintf("+++\nkind = \"gauge\"\nid = \"G1\"\ntitle = \"g\"\ntype = %q\nresolution = \"0.0001\"\n+++\n", gauge)}
		for name, keys := range map[string]string{
			"P-1.md": part, "FX1.md": fixture, "CH-1.md": change,
			"IN-B.md": fmt.Sprintf(reading, "IN-B", "05", "12 11 12.5 11.5 12 11"), "IN-A.md": fmt.Sprintf(reading, "IN-A", "09", "4 5 4.5 5 4 5.5"),
		} {
			files[name] = "+++\n" + keys + "+++\n"
		}
		l, err := ledger.Load(source.Map(files))
		require.NoError(t, err)
		require.Empty(t, l.Problems, title)
		return study.New(l, time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC))
	}
	check := func(title string, s *study.Set) bool {
		refused := false
		for _, opt := range []LogOptions{{Public: true}, {Public: true, Serials: true}, {Public: true, By: ByPart}, {Public: true, By: ByFixture}, {Public: true, For: Customers}} {
			_, err := Changelog(s, opt)
			private := &PrivateError{}
			if errors.As(err, &private) {
				refused = true
			} else {
				require.NoError(t, err, title)
			}
		}
		p := s.Publishing(s.L.Record("CH-1"))
		assert.True(t, p.Told, title)
		assert.Equal(t, refused, len(p.Leaks) > 0, title)
		return refused
	}
	plainPart, plainFixture := fmt.Sprintf(part, "Plate", "Width", "micrometer"), fmt.Sprintf(fixture, "Two stations", "first")
	require.False(t, check("nothing", load("nothing", change+"title = \"t\"\n", plainPart, plainFixture)))
	refused := map[string]bool{}
	salted := func(title, change, part, fixture string) {
		refused[title] = check(title, load(title, change, part, fixture))
	}
	for i := range 3 {
		words := []any{"Plate", "Width", "micrometer"}
		words[i] = salt
		salted([]string{"part", "characteristic", "method"}[i], change+"title = \"t\"\n", fmt.Sprintf(part, words...), plainFixture)
	}
	gauge = salt
	salted("gauge", change+"title = \"t\"\n", plainPart, plainFixture)
	gauge = "micrometer"
	salted("fixture", change+"title = \"t\"\n", plainPart, fmt.Sprintf(fixture, salt, "first"))
	salted("station", change+"title = \"t\"\n", plainPart, fmt.Sprintf(fixture, "Two stations", salt))
	for i := range reflect.TypeFor[ledger.Change]().NumField() {
		f := reflect.TypeFor[ledger.Change]().Field(i)
		key := f.Tag.Get("key")
		if f.Type != reflect.TypeFor[ledger.Text]() || f.Tag.Get("words") != "" {
			continue
		}
		notice := "notice = \"n\"\n" // without it customers hear nothing of the change
		if key == "notice" {
			notice = ""
		}
		salted(key, change+"title = \"t\"\n"+notice+fmt.Sprintf("%s = %q\n", key, salt), plainPart, plainFixture)
	}
	salted("title", change+fmt.Sprintf("title = %q\n", salt), plainPart, plainFixture)
	salted("cause", change+fmt.Sprintf("title = \"t\"\ncause = { text = %q }\n", salt), plainPart, plainFixture)
	salted("also", change+fmt.Sprintf("title = \"t\"\n[[also]]\ncharacteristic = \"P-1/W\"\nclaim = \"spread\"\nbefore = \"IN-B\"\nafter = \"IN-A\"\nnote = %q\n", salt), plainPart, plainFixture)

	salted("correction", change+fmt.Sprintf("title = \"t\"\nnotice = \"n\"\n[[correction]]\non = 2025-02-01\ntext = %q\n", salt), plainPart, plainFixture)

	for _, must := range strings.Fields("correction part characteristic gauge fixture title cause also notice factor lesson side_effects applies_from older_units") {
		assert.True(t, refused[must], must)
	}
	for _, mustNot := range strings.Fields("complaint cost goal criterion roll_back method") {
		assert.False(t, refused[mustNot], mustNot)
	}
}
