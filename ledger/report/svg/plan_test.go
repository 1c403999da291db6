package svg

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPlanPicture: each deed has a shape of its own, so that a print without colour
// tells them apart; the picture is sound XML and speaks for itself.
func TestPlanPicture(t *testing.T) {
	p := Plan{ID: "p", Title: "Operations <of> PL", Desc: "H1 made in OP10.",
		Rows: []PlanRow{{"OP10", "a title that is far too long to stand beside the lanes"}, {"OP20", "rough & finish"}},
		Lanes: []PlanLane{
			{"H1", []PlanMark{{0, Makes, false}, {0, Checks, false}, {1, Locates, false}}},
			{"OUT", []PlanMark{{1, Roughs, false}, {1, Alters, true}}},
			{"none", nil},
		},
		Foot: "2 more features are not drawn"}
	text := p.Draw()
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		if _, err := d.Token(); err == io.EOF {
			break
		} else {
			require.NoError(t, err)
		}
	}
	legend := len(deeds) // one of each shape
	assert.Equal(t, 1+1+1+1, strings.Count(text, `class="solid"`), "makes and locates, in the legend and on a lane")
	assert.Equal(t, legend-3+2, strings.Count(text, `class="open"`), "roughs and checks")
	assert.Equal(t, 4, strings.Count(text, `class="cross"`), "two strokes in the legend, two on the lane")
	assert.Equal(t, 2, strings.Count(text, `class="odd"`), "one on the lane, one in the legend")
	assert.Contains(t, text, "Operations &lt;of&gt; PL</title>")
	assert.Contains(t, text, "a title that is far too long to s…")
	p.Lanes[1].Marks[1].Odd = false
	assert.NotContains(t, p.Draw(), `class="odd"`, "the legend says only what is drawn")
	assert.NotEmpty(t, Plan{}.Draw())
}
