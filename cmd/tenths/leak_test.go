package main

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"image"
	"image/jpeg"
	"image/png"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
)

// salted is a ledger in which every text has a word that stands nowhere else,
// made from the table of keys, so that a new key is salted too. Sizes have digits
// of their own.
type salted struct {
	words map[string]string // by where it was put
	files map[string]string
}

// salt gives the word of a place: letters only, all of one length, so that none
// is a part of another.
func (s *salted) salt(place string) string {
	if w, ok := s.words[place]; ok {
		return w
	}
	n, w := len(s.words), ""
	for range 4 {
		w = string(rune('a'+n%26)) + w
		n /= 26
	}
	s.words[place] = "qx" + w + "zu"
	return s.words[place]
}

// digits gives a size that stands nowhere else.
func (s *salted) digits(place string) string {
	if w, ok := s.words[place]; ok {
		return w
	}
	s.words[place] = fmt.Sprintf("7.%05d", 31000+7*len(s.words))
	return s.words[place]
}

var saltedPlace = regexp.MustCompile(`\{[\w.]+\}`)

// record writes a record of a kind under a name, with every key of the kind. set
// gives values instead of salted ones, as TOML, by the path of the key; {place}
// in one stands for the word that was put there, and an empty one leaves the key
// out. in is what stands before each table, for a set in a file of several.
func (s *salted) record(t *testing.T, k ledger.Kind, name, in string, set map[string]string) string {
	t.Helper()
	keys := ledger.Keys(k)
	for path := range set {
		require.True(t, slices.ContainsFunc(keys, func(key ledger.Key) bool { return key.Path == path }), "%s has no key %s", k, path)
	}
	return s.table(t, keys, name, "", in, set)
}

// table writes the keys below a path, then the tables below it.
func (s *salted) table(t *testing.T, keys []ledger.Key, name, path, in string, set map[string]string) string {
	var own, tables strings.Builder
	for _, key := range keys {
		rest, ok := strings.CutPrefix(key.Path, path)
		value, given := set[key.Path]
		if !ok || strings.Contains(rest, ".") || given && value == "" {
			continue
		}
		if key.Holds == "table" || key.Holds == "tables" && strings.HasPrefix(key.Example, "see ") {
			head := "[[" + in + key.Path + "]]"
			if key.Holds == "table" {
				head = "[" + in + key.Path + "]"
			}
			fmt.Fprintf(&tables, "%s # %s\n%s", head, s.salt(name+"."+key.Path+" comment"), s.table(t, keys, name, key.Path+".", in, set))
			continue
		}
		if !given {
			value = s.value(key, name+"."+key.Path)
		}
		value = saltedPlace.ReplaceAllStringFunc(value, func(at string) string { return s.salt(strings.Trim(at, "{}")) })
		fmt.Fprintf(&own, "%s = %s # %s\n", rest, value, s.salt(name+"."+key.Path+" comment"))
	}
	return own.String() + tables.String()
}

// value is the salted value of a key.
func (s *salted) value(key ledger.Key, place string) string {
	switch {
	case key.Path == "kind":
		return key.Example
	case key.Words != nil:
		return fmt.Sprintf("%q", key.Words[0])
	case key.Holds == "text" || key.Holds == "path":
		return fmt.Sprintf("%q", s.salt(place))
	case key.Holds == "list of text" || key.Holds == "list of path":
		return fmt.Sprintf("[%q]", s.salt(place))
	case key.Holds == "names with paths":
		return fmt.Sprintf("{ %s = %q }", s.salt(place+" name"), s.salt(place))
	case key.Holds == "length" || key.Holds == "quantity":
		return fmt.Sprintf(`"%s in"`, s.digits(place))
	case key.Holds == "pair" && strings.Contains(key.Example, "tenths"):
		return key.Example
	case key.Holds == "pair" || key.Holds == "two or three numbers":
		return fmt.Sprintf(`["%s", "%s"]`, s.digits(place), s.digits(place+" y"))
	}
	return key.Example
}

// notes are notes with a word in every form that text takes there.
func (s *salted) notes(name, photo string) string {
	w := func(what string) string { return s.salt(name + " notes " + what) }
	return fmt.Sprintf("\n# %s\n\n%s *%s* `%s` <!-- %s -->\n\n- [ ] %s\n- [%s](%s.md \"%s\")\n\n![%s](%s)\n\n| %s |\n| --- |\n| %s |\n\n```\n%s\n```\n",
		w("heading"), w("text"), w("emphasis"), w("code"), w("comment"), w("task"), w("link"), w("target"), w("link title"), w("alt"), photo, w("table head"), w("cell"), w("fence"))
}

func (s *salted) file(t *testing.T, k ledger.Kind, name string, set map[string]string) {
	t.Helper()
	photo := s.salt(name+" photo") + ".png"
	s.put(name, "+++\n"+s.record(t, k, name, "", set)+"+++\n"+s.notes(name, photo))
	s.files[filepath.Dir(s.path(name))+"/"+photo] = s.png(t, name)
}

func (s *salted) put(name, text string) { s.files[s.path(name)] = text }

// path is the file of a record; its name and its folder are salted too.
func (s *salted) path(name string) string {
	return s.salt(name+" folder") + "/" + s.salt(name+" file") + ".md"
}

// png is a picture with a text in it (PNG, W3C Recommendation, 11.3.3.2), and jpg
// one with a comment and camera data (ITU-T T.81, B.2.4.5 and B.2.4.6).
func (s *salted) png(t *testing.T, name string) string {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewGray(image.Rect(0, 0, 4, 4))))
	chunk := "tEXtComment\x00" + s.salt(name+" picture text")
	sum := crc32.ChecksumIEEE([]byte(chunk))
	n := len(chunk) - 4
	chunk = string([]byte{0, 0, byte(n >> 8), byte(n)}) + chunk + string([]byte{byte(sum >> 24), byte(sum >> 16), byte(sum >> 8), byte(sum)})
	const head = 8 + 12 + 13 // signature and IHDR
	return b.String()[:head] + chunk + b.String()[head:]
}

func (s *salted) jpg(t *testing.T, name string) string {
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 4, 4)), nil))
	segment := func(kind byte, text string) string {
		return string([]byte{0xff, kind, 0, byte(len(text) + 2)}) + text
	}
	return b.String()[:2] + segment(0xe1, "Exif\x00\x00MM\x00*"+s.salt(name+" camera")) + segment(0xe1, "http://ns.adobe.com/xap/1.0/\x00"+s.salt(name+" camera words")) +
		segment(0xe2, "ICC_PROFILE\x00"+s.salt(name+" colours")) + segment(0xfe, s.salt(name+" comment")) + b.String()[2:] + s.salt(name+" behind the end")
}

// before and after are the readings of the salted change.
func saltedInspection(on, readings string) map[string]string {
	return map[string]string{
		"state": `"valid"`, "on": on, "part": `"{part.id}"`, "characteristic": `"{part.id}/{part.characteristic.id}"`, "gauge": `"{gauge.id}"`, "picked": `"consecutive"`,
		"points": `["{part.characteristic.point.id}"]`, "deviation_in": `"tenths"`, "nominal_is": "", "readings": readings, "reading": "", "count": "", "touch": "", "pass": "", "readings_from": "", "entry": "", "unsorted": "", "corrects": "",
		"temperature": `"68 F"`, "derived": "", "concession": "",
	}
}

func saltedChange(more map[string]string) map[string]string {
	set := map[string]string{
		"state": `"rolled back"`, "opened": "2024-03-01", "done": "2024-03-11", "rolled_back": "2024-05-11", "characteristic": `"{part.id}/{part.characteristic.id}"`, "points": "", "claim": `"level"`,
		"touches": `["{fixture.id}/{fixture.station.id}/{fixture.station.locator.id}"]`, "before": `"{b.id}"`, "after": `"{a.id}"`, "after_roll_back": `"{r.id}"`, "paired": "false", "predicted": `"-4 tenths"`,
		"also.characteristic": `"{part.id}/{part.characteristic.id}"`, "also.points": "", "also.claim": `"spread"`, "also.before": `"{b.id}"`, "also.after": `"{a.id}"`, "also.paired": "false",
		"correction.on": "2024-06-07", "public": "true", "step.does": `"bore"`,
	}
	maps.Copy(set, more)
	return set
}

func newSalted(t *testing.T) *salted {
	s := &salted{words: map[string]string{}, files: map[string]string{}}
	s.file(t, ledger.KindPart, "part", map[string]string{
		"state": `"in use"`, "characteristic.type": `"step"`, "characteristic.limits": `"0 ±10 tenths"`, "characteristic.goal": `"0 ±5 tenths"`, "characteristic.was": "", "characteristic.better": `"nearer"`, "characteristic.judge": `"each"`,
		"feature.at": `["7.30177 ±0.0005", 0.0]`, "film": `"0.0004"`,
	})
	s.file(t, ledger.KindFixture, "fixture", map[string]string{"station.part": `"{part.id}"`, "station.locator.engages": `"{part.feature.id}"`})
	s.file(t, ledger.KindTool, "tool", nil)
	s.file(t, ledger.KindGauge, "gauge", map[string]string{"state": `"in service"`, "resolution": `"0.0001 in"`, "reads_to": "", "uncertainty": `"0.0001 in"`, "since": "2020-01-01", "until": "", "calibration.on": "2024-01-17", "calibration.due": "2026-01-17", "calibration.as_found": `"0 in"`, "calibration.as_left": `"0 in"`, "consumed": ""})
	s.file(t, ledger.KindMachine, "machine", nil)
	s.file(t, ledger.KindPlan, "plan", map[string]string{"part": `"{part.id}"`})
	s.file(t, ledger.KindInspection, "b", saltedInspection("2024-03-05", `"9 10 9 8 9 10"`))
	s.file(t, ledger.KindInspection, "a", saltedInspection("2024-03-15", `"1 2 1 0 1 2"`))
	s.file(t, ledger.KindInspection, "r", saltedInspection("2024-05-15", `"9 9 10 8 9 10"`))
	full := map[string]string{"on": "2024-07-01", "deviation_in": `"tenths"`, "entry": "", "readings_from": `"{csv file}.csv"`, "readings": "", "reading": "", "corrects": ""}
	s.file(t, ledger.KindInspection, "full", full)
	s.files[s.salt("full folder")+"/"+s.salt("csv file")+".csv"] = "piece,value\n" + s.salt("csv piece") + ",0.0003\n"
	in := saltedInspection("2024-08-01", `"1 2"`)
	in["units"], in["legacy"], in["rev"], in["photos"] = "", "", "", ""
	in["kind"], in["derived"], in["concession"] = "", "", ""
	s.put("entries", "+++\nkind = \"inspection\"\nid = \""+s.salt("entries.id")+"\"\ntitle = \""+s.salt("entries.title")+"\"\nby = \""+s.salt("entries.by")+"\"\non = 2024-08-01\n\n[[entry]]\n"+s.record(t, ledger.KindInspection, "entry", "entry.", in)+
		"[[unsorted]]\nid = \""+s.salt("unsorted.id")+"\"\nline = \""+s.salt("unsorted.line")+"\"\n+++\n")
	s.file(t, ledger.KindChange, "change", saltedChange(nil))
	s.file(t, ledger.KindChange, "private", saltedChange(map[string]string{"public": "false"}))
	s.file(t, ledger.KindChange, "planned", saltedChange(map[string]string{"state": `"agreed"`}))
	s.file(t, ledger.KindChange, "later", saltedChange(map[string]string{"done": "2029-01-01"}))
	s.file(t, ledger.KindChange, "withdrawn", saltedChange(nil))

	config := "# " + s.salt("config comment") + "\n"
	for _, key := range ledger.ConfigKeys() {
		value := key.Example
		switch {
		case key.Holds == "text" && key.Words == nil || key.Holds == "list of text":
			value = s.value(key, "config."+key.Path)
		case key.Holds == "table":
			continue
		}
		switch key.Path {
		case "plain":
			value = `["` + s.salt("config.plain") + `*"]`
		case "public.feed_id":
			value = `"tag:example.org,2024:` + s.salt("config.public.feed_id") + `"`
		case "public.site":
			value = `"https://example.org/` + s.salt("config.public.site") + `/"`
		}
		config += key.Path + " = " + value + "\n"
	}
	s.files["tenths.toml"] = config
	s.files["README.md"] = s.salt("readme") + "\n"
	s.files[s.salt("jpg folder")+"/"+s.salt("jpg file")+".jpg"] = s.jpg(t, "jpg")
	s.files[".hidden/"+s.salt("hidden file")] = s.salt("hidden text")
	return s
}

// write lays the ledger into a new repository: first with a change that is taken
// away afterwards, tagged; then without it.
func (s *salted) write(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), s.salt("root folder"))
	for name, text := range s.files {
		file := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	}
	git := func(args ...string) {
		cmd := exec.Command("git", args...)
		cmd.Dir = dir
		who := s.salt("git person")
		for _, v := range os.Environ() {
			if !strings.HasPrefix(v, "GIT_") {
				cmd.Env = append(cmd.Env, v)
			}
		}
		cmd.Env = append(cmd.Env, "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_NOSYSTEM=1", "GIT_AUTHOR_NAME="+who, "GIT_COMMITTER_NAME="+who, "GIT_AUTHOR_EMAIL="+who+"@example.org", "GIT_COMMITTER_EMAIL="+who+"@example.org",
			"GIT_AUTHOR_DATE=2024-02-03T04:05:06Z", "GIT_COMMITTER_DATE=2024-02-03T04:05:06Z")
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
	git("init", "-q", "-b", s.salt("git branch"))
	git("add", "-A")
	git("commit", "-qm", s.salt("git message"))
	git("tag", s.salt("git tag"))
	git("rm", "-q", s.path("withdrawn"))
	git("commit", "-qm", s.salt("git message 2"))
	return dir
}

// texts collects what the loaded records hold as text.
func texts(v reflect.Value, out map[string]bool) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			texts(v.Elem(), out)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				texts(v.Field(i), out)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			texts(v.Index(i), out)
		}
	case reflect.String:
		for _, w := range regexp.MustCompile(`qx[a-z]{4}zu`).FindAllString(v.String(), -1) {
			out[w] = true
		}
	}
}

// publicOutputs are all forms of the lists that may leave the shop.
func publicOutputs(tag string) map[string][][]string {
	out := map[string][][]string{}
	for _, whom := range []string{"makers", "customers"} {
		for _, format := range []string{"md", "json", "html", "atom"} {
			list := []string{"changelog", "--for", whom, "--format", format}
			out[whom] = append(out[whom], list, append(slices.Clone(list), "--since", tag), append(slices.Clone(list), "--since", "2024-03-01", "--until", "2024-12-31"), append(slices.Clone(list), "--percent"))
			if format == "atom" {
				continue
			}
			out[whom] = append(out[whom], append(slices.Clone(list), "--by", "part"))
			if whom == "makers" {
				out[whom] = append(out[whom], append(slices.Clone(list), "--by", "fixture"), []string{"changelog", "--public", "--format", format})
			}
		}
		out[whom+" with serials"] = [][]string{{"changelog", "--for", whom, "--serials"}, {"changelog", "--for", whom, "--serials", "--format", "html"}}
	}
	return out
}

// found lists the places whose words stand in what the commands print.
func (s *salted) found(t *testing.T, dir string, commands [][]string) []string {
	t.Helper()
	places := map[string]bool{}
	for _, args := range commands {
		var out, err bytes.Buffer
		code := run(append(slices.Clone(args), "-C", dir, "--as-of", "2025-11-25"), env{&out, &err, dir, time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)})
		require.Equal(t, exitOK, code, "%v: %s", args, err.String())
		text := strings.ToLower(out.String())
		for place, w := range s.words {
			if strings.Contains(text, w) {
				places[place] = true
			}
		}
		assert.NotRegexp(t, `20\d\d-\d\d-(0[2-9]|[123]\d)`, strings.ReplaceAll(text, "-01t00:00:00z", ""), "%v: a day", args)
		assert.NotRegexp(t, `7\.3\d`, text, "%v: a size", args)
	}
	return slices.Sorted(maps.Keys(places))
}

// What may leave the shop, and for whom; nothing else of a salted ledger does.
var (
	toAll       = []string{"change.correction.text", "change.id", "change.notice", "change.also.note", "config.public.feed_id", "config.public.name", "config.public.site", "part.characteristic.title", "part.title", "withdrawn.id"}
	toMakers    = []string{"change.cause.text", "change.factor", "change.lesson", "change.side_effects", "change.title", "fixture.title", "gauge.type"}
	toCustomers = []string{"change.older_units"}
)

func expected(lists ...[]string) []string {
	return slices.Sorted(slices.Values(slices.Concat(lists...)))
}

// Every text of every kind of record, of the notes, of the pictures, of
// tenths.toml, of names of files and of git holds a word of its own, and of all
// of them only those that are meant for the reader come out.
func TestNothingPrivateLeaves(t *testing.T) {
	s := newSalted(t)
	dir := s.write(t)

	// The words are really in the ledger as it is read, so that what does not come
	// out was held back.
	src, err := source.Dir(dir)
	require.NoError(t, err)
	l, err := ledger.Load(src)
	require.NoError(t, err)
	for _, p := range l.Problems {
		t.Errorf("%s: %s", p.File, p.Msg)
	}
	read := map[string]bool{}
	texts(reflect.ValueOf(l.Config), read)
	for _, r := range l.Records {
		texts(reflect.ValueOf(r.Data), read)
	}
	kept := 0
	for place, w := range s.words {
		key := strings.Contains(place, ".") && !strings.Contains(place, " ") && !strings.HasPrefix(place, "withdrawn.") && strings.HasPrefix(w, "qx")
		if key {
			kept++
			if !read[w] {
				t.Errorf("%s was not read", place)
			}
		}
	}
	assert.Greater(t, kept, 400)

	outputs := publicOutputs(s.salt("git tag"))
	assert.Equal(t, expected(toAll, toMakers), s.found(t, dir, outputs["makers"]))
	assert.Equal(t, expected(toAll, toCustomers), s.found(t, dir, outputs["customers"]))
	for _, whom := range []string{"makers", "customers"} {
		assert.Contains(t, s.found(t, dir, outputs[whom+" with serials"]), "change.applies_from", "where it is asked for")
	}
}

// The test above can fail: a private word that stands in a text for the public is
// seen, or the list is refused.
func TestLeakTestSees(t *testing.T) {
	for place, refused := range map[string]bool{"change.roll_back": false, "part.material": false, "b.lot": false, "gauge.serial": true, "gauge.id": true, "config.private": true, "plan.operation.program": true, "a.by": true, "fixture.station.offset": true} {
		s := newSalted(t)
		file := s.path("change")
		s.files[file] = strings.Replace(s.files[file], fmt.Sprintf("%q", s.salt("change.notice")), fmt.Sprintf("%q", "so "+s.salt(place)+", then"), 1)
		dir := s.write(t)
		for _, args := range [][]string{{"--public"}, {"--for", "customers", "--format", "json"}, {"--for", "makers", "--format", "html"}, {"--for", "customers", "--format", "atom"}} {
			args = append([]string{"changelog"}, args...)
			if !refused {
				assert.Contains(t, s.found(t, dir, [][]string{args}), place)
				continue
			}
			var out, err bytes.Buffer
			code := run(append(args, "-C", dir), env{&out, &err, dir, time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)})
			assert.Equal(t, exitFailed, code, "%s", place)
			assert.Empty(t, out.String())
			assert.Contains(t, err.String(), "nothing is published")
		}
	}
}
