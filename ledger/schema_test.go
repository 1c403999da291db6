package ledger

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/source"
)

// load reads a ledger from texts; a config is added if there is none.
func load(t *testing.T, texts map[string]string) *Ledger {
	t.Helper()
	if _, ok := texts[ConfigName]; !ok {
		texts[ConfigName] = "units = \"in\"\n"
	}
	l, err := Load(source.Map(texts))
	require.NoError(t, err)
	return l
}

// TestEveryKeyHasAMeaning fails for a key without a meaning or without an
// example, and for an example that its own loader does not take.
func TestEveryKeyHasAMeaning(t *testing.T) {
	for _, k := range Kinds() {
		seen := map[string]bool{}
		for _, key := range Keys(k) {
			name := string(k) + "." + key.Path
			assert.NotEmpty(t, key.Means, "%s has no meaning", name)
			assert.NotEmpty(t, key.Example, "%s has no example", name)
			assert.False(t, seen[key.Path], "%s is there twice", name)
			seen[key.Path] = true
			if key.Path == "kind" {
				assert.Equal(t, strconv.Quote(string(k)), key.Example)
			}
			if strings.HasPrefix(key.Example, "see ") {
				continue
			}
			assert.Empty(t, problemsOf(t, k, key), name)
		}
	}
	for _, key := range ConfigKeys() {
		assert.NotEmpty(t, key.Means, key.Path)
		assert.NotEmpty(t, key.Example, key.Path)
		_, problems := parseConfig([]byte(key.Path + " = " + key.Example))
		assert.Empty(t, problems, key.Path)
	}
}

// problemsOf writes a record that holds one key with its example and gives
// what the loader says of it, gaps of other keys left out.
func problemsOf(t *testing.T, k Kind, key Key) []string {
	t.Helper()
	var b strings.Builder
	fmt.Fprintf(&b, "+++\n")
	segs := strings.Split(key.Path, ".")
	for i := 1; i < len(segs); i++ {
		if i == len(segs)-1 && segs[i-1] == "cause" {
			fmt.Fprintf(&b, "[%s]\n", strings.Join(segs[:i], "."))
		} else {
			fmt.Fprintf(&b, "[[%s]]\n", strings.Join(segs[:i], "."))
		}
	}
	fmt.Fprintf(&b, "%s = %s\n+++\n", segs[len(segs)-1], key.Example)
	text := b.String()
	if key.Path != "kind" {
		text = strings.Replace(text, "+++\n", fmt.Sprintf("+++\nkind = %q\n", k), 1)
	}
	l := load(t, map[string]string{"a.md": text})
	var out []string
	for _, p := range l.Problems {
		if !p.Gap {
			out = append(out, p.Msg)
		}
	}
	return out
}

// TestScaffolds checks that every scaffold loads, and still loads when each
// key that it offers as a comment is used.
func TestScaffolds(t *testing.T) {
	for _, units := range []string{"in", "mm"} {
		for _, k := range Kinds() {
			name, text, err := Scaffold(k, "X-1", "", units, time.Date(2026, 1, 2, 0, 0, 0, 0, time.UTC))
			require.NoError(t, err)
			for _, variant := range []string{text, strings.ReplaceAll(text, "\n# ", "\n")} {
				l := load(t, map[string]string{name: variant})
				for _, p := range l.Problems {
					assert.True(t, p.Gap, "%s: %s", name, p.Msg)
				}
				rec := l.Record("X-1")
				require.NotNil(t, rec)
				assert.True(t, rec.Quiet(), "%s is not a draft", k)
			}
		}
	}
	_, _, err := Scaffold("fixtre", "A", "", "", time.Time{})
	assert.ErrorContains(t, err, "one of: part, fixture")
	_, _, err = Scaffold(KindPart, "a b", "", "", time.Time{})
	assert.ErrorContains(t, err, "cannot be an id")
}

func TestBadPatternIsSaid(t *testing.T) {
	_, problems := parseConfig([]byte("plain = [\"notes/*.md\", \"[\"]\n"))
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].Msg, "[ is no pattern")
	assert.Equal(t, len("plain = [\"notes/*.md\", "), problems[0].Span.Start)
}
