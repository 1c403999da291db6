package report

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

func diagnosisOf(t *testing.T, dir, id string) *DiagnosisSheet {
	t.Helper()
	src, err := source.Dir("../../examples/" + dir)
	require.NoError(t, err)
	l, err := ledger.Load(src)
	require.NoError(t, err)
	d, err := study.New(l, time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)).Diagnose(l.Record(id))
	require.NoError(t, err)
	return DiagnosisOf(d)
}

func TestDiagnosisHTML(t *testing.T) {
	for _, c := range []struct {
		dir, id  string
		pictures int
	}{{"focuser", "IN-2024-03-09", 1}, {"focuser", "IN-2024-03-13", 1}, {"focuser", "IN-2024-10-16", 0}, {"instruments", "IN-2024-05-06", 0}} {
		sh := diagnosisOf(t, c.dir, c.id)
		var b bytes.Buffer
		require.NoError(t, sh.WriteHTML(&b))
		pictures := 0
		for _, e := range checkPage(t, b.String()) {
			if e.name == "svg" {
				pictures++
			}
		}
		assert.Equal(t, c.pictures, pictures, c.id)
		assert.NotContains(t, b.String(), "NaN")
		var again bytes.Buffer
		require.NoError(t, diagnosisOf(t, c.dir, c.id).WriteHTML(&again))
		assert.Equal(t, b.String(), again.String(), "the same to the byte")
	}
}

// TestDiagnosisIsOneScreen: the answer stands in the first three lines, and what
// a person needs fits on a screen of forty before what was taken for granted.
func TestDiagnosisIsOneScreen(t *testing.T) {
	for dir, ids := range map[string][]string{"focuser": {"IN-2024-03-09", "IN-2024-03-13", "IN-2024-10-05", "IN-2024-10-16"}, "instruments": {"IN-2024-05-06", "IN-2024-05-14"}} {
		for _, id := range ids {
			var b strings.Builder
			sh := diagnosisOf(t, dir, id)
			require.NoError(t, sh.WriteText(&b))
			head, _, ok := strings.Cut(b.String(), "\nTaken for granted\n")
			require.True(t, ok)
			assert.LessOrEqual(t, strings.Count(head, "\n"), 40, id)
			first := strings.SplitN(head, "\n", 4)
			assert.Equal(t, []string{sh.Answer, sh.Do, sh.Spread}, first[:3])
		}
	}
}

// TestDiagnosisJSON: lengths carry their unit, probabilities add up, and lists
// are never null.
func TestDiagnosisJSON(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteJSON(&b, diagnosisOf(t, "focuser", "IN-2024-03-13")))
	assert.NotContains(t, b.String(), "null")
	var got struct {
		Answer string `json:"answer"`
		Traits []struct {
			Trait string `json:"trait"`
			Value struct {
				Value float64 `json:"value"`
				Unit  string  `json:"unit"`
			} `json:"value"`
			Shown    bool `json:"shown"`
			Suspects []struct {
				Source      string   `json:"source"`
				Probability float64  `json:"probability"`
				Alike       []string `json:"not_told_from"`
			} `json:"suspects"`
		} `json:"traits"`
		States []struct {
			Probability float64 `json:"probability"`
		} `json:"states"`
		Cures []struct {
			Kind string `json:"kind"`
			Risk string `json:"risk"`
			Work struct {
				Unit string `json:"unit"`
			} `json:"work"`
		} `json:"cures"`
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	require.Len(t, got.Traits, 4)
	assert.Equal(t, "shift in x", got.Traits[0].Trait)
	assert.Equal(t, 3.5, got.Traits[0].Value.Value)
	assert.Equal(t, "tenths", got.Traits[0].Value.Unit)
	assert.Empty(t, got.Traits[2].Suspects, "the turn is inside 2 s")
	size := got.Traits[3].Suspects
	require.GreaterOrEqual(t, len(size), 2)
	assert.Equal(t, []string{size[1].Source}, size[0].Alike)
	sum := 0.0
	for _, s := range got.States {
		sum += s.Probability
	}
	assert.InDelta(t, 1, sum, 0.1, "what is under 2 % is left out")
	require.NotEmpty(t, got.Cures)
	assert.Equal(t, "work offset", got.Cures[0].Kind)
	assert.Equal(t, "h", got.Cures[0].Work.Unit)
	assert.NotEmpty(t, got.Cures[0].Risk)
}
