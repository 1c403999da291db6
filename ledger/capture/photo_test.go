//go:build unix

package capture

import (
	"bytes"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
)

// picture is a small PNG.
func picture(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewGray(image.Rect(0, 0, 2, 2))))
	return b.Bytes()
}

func keepFile(t *testing.T, name string, data []byte) string {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
	require.NoError(t, os.WriteFile(name, data, 0o644))
	return name
}

func ask(line string, photos ...string) Ask {
	return Ask{Words: strings.Fields(line), On: day, By: "owner", Clock: "14:05", Photos: photos}
}

// picturesIn lists those of the folder of readings.
func picturesIn(t *testing.T, root string) []string {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(root, Folder, "2026", "*.png"))
	require.NoError(t, err)
	return names
}

// A picture is named by its day and minute and never written over; each is named
// by one line.
func TestPhotosBesideEachOther(t *testing.T) {
	root := shop(t, nil)
	from := keepFile(t, filepath.Join(t.TempDir(), "IMG.JPEG"), picture(t)) // the name lies: its bytes say PNG
	want := map[string]bool{}
	for _, line := range []string{"WIDTH +1", "WIDTH +2 +3", "WIDTH 3 of 20 tight", "nothing of the kind", "WIDTH +4"} {
		k, err := Record(root, open(root), ask(line, from))
		require.NoError(t, err)
		require.Len(t, k.Photos, 1, line)
		assert.False(t, want[k.Photos[0]], "%s is used twice", k.Photos[0])
		want[k.Photos[0]] = true
	}
	assert.Len(t, want, 5)
	assert.Len(t, picturesIn(t, root), 5)
	s := open(root)
	require.Empty(t, s.L.Problems)
	for name := range want {
		assert.True(t, s.L.Named(name), "%s is named by no record", name)
		got, err := os.ReadFile(filepath.Join(root, name))
		require.NoError(t, err)
		assert.Equal(t, picture(t), got)
	}
	_, err := os.Stat(from)
	assert.NoError(t, err, "the picture it came from stays")
}

// What cannot be kept never costs a reading.
func TestPhotosThatCannotBeKept(t *testing.T) {
	root := shop(t, nil)
	dir := t.TempDir()
	huge := keepFile(t, filepath.Join(dir, "huge.png"), append(picture(t), make([]byte, maxPhoto)...))
	text := keepFile(t, filepath.Join(dir, "text.jpg"), []byte("no picture"))
	empty := keepFile(t, filepath.Join(dir, "empty.png"), nil)
	for _, from := range []string{huge, text, empty, dir, filepath.Join(dir, "gone.png"), filepath.Join(dir, "a\x1b[31m\n.png")} {
		k, err := Record(root, open(root), ask("WIDTH +1", from))
		require.NoError(t, err)
		assert.False(t, k.Unsorted)
		assert.Len(t, k.Values, 1)
		assert.Empty(t, k.Photos)
		require.NotEmpty(t, k.Warnings)
		assert.Contains(t, k.Warnings[len(k.Warnings)-1], "was not kept: ")
		assert.NotContains(t, k.Warnings[len(k.Warnings)-1], "\x1b")
	}
	s := open(root)
	require.Empty(t, s.L.Problems)
	assert.Empty(t, picturesIn(t, root))
	_, err := Attach(root, s, ask("", text))
	assert.ErrorContains(t, err, "it is no picture")
}

// A line that the disk does not take leaves no picture behind.
func TestPhotoGoesWithItsLine(t *testing.T) {
	root := shop(t, nil)
	from := keepFile(t, filepath.Join(t.TempDir(), "IMG.png"), picture(t))
	_, err := Record(root, open(root), ask(strings.Repeat("nothing ", maxLine/8+1), from))
	require.Error(t, err)
	assert.Empty(t, picturesIn(t, root))
}

// A picture alone goes to the last line by the clock, or into the inbox.
func TestAttach(t *testing.T) {
	root := shop(t, nil)
	from := keepFile(t, filepath.Join(t.TempDir(), "IMG.png"), picture(t))
	k, err := Attach(root, open(root), ask("", from))
	require.NoError(t, err)
	assert.Equal(t, []string{"inbox/2026-11-25-1405.png"}, k.Photos)
	late := ask("what is this")
	late.Clock = "15:10"
	for _, a := range []Ask{ask("WIDTH +1"), late, ask("WIDTH +2")} {
		_, err := Record(root, open(root), a)
		require.NoError(t, err)
	}
	for range 2 {
		k, err = Attach(root, open(root), ask("", from, from))
		require.NoError(t, err)
		assert.Equal(t, "R-2026-11-25-owner.u1", k.ID)
	}
	last := ask("WIDTH +3")
	last.Clock = "16:00"
	_, err = Record(root, open(root), last)
	require.NoError(t, err)
	// The picture that waited goes with it, and leaves the inbox.
	k, err = Attach(root, open(root), ask("", filepath.Join(root, "inbox", "2026-11-25-1405.png")))
	require.NoError(t, err)
	assert.Equal(t, "R-2026-11-25-owner.1", k.ID)
	s := open(root)
	require.Empty(t, s.L.Problems)
	in := s.L.Record("R-2026-11-25-owner.1").Data.(*ledger.Inspection)
	require.Len(t, in.Pieces, 3)
	assert.Empty(t, in.Pieces[0].Photos)
	require.Len(t, in.Pieces[2].Photos, 1)
	head := s.L.Record("R-2026-11-25-owner").Data.(*ledger.Inspection)
	assert.Len(t, head.Unsorted[0].Photos, 4)
	assert.Empty(t, Look(root, s).Photos)
	assert.NoFileExists(t, filepath.Join(root, "inbox", "2026-11-25-1405.png"))
}

// Notes of the inbox are taken over once, with both times, whatever is in them; a
// link that lies there is not followed.
func TestInbox(t *testing.T) {
	root := shop(t, map[string]string{"inbox/phone_20261120.txt": "\ufeff14:05:33 WIDTH +1 photo: link.png\r\n\r\n# no line\n2026-11-21T09:30 WIDTH -2 note: hot\n\x00\xff odd \x1b[31m line\n", "inbox/deep/x.md": "WIDTH +7\n"})
	secret := keepFile(t, filepath.Join(t.TempDir(), "secret.png"), picture(t))
	require.NoError(t, os.Symlink(secret, filepath.Join(root, "inbox", "link.png")))
	now := time.Date(2026, 11, 26, 8, 10, 0, 0, time.UTC)
	s := open(root)
	require.Empty(t, s.L.Problems, "notes of the inbox are no records")
	box := Look(root, s)
	require.Len(t, box.Lines, 4)
	require.Len(t, box.Problems, 1)
	for _, d := range box.Lines {
		k, err := d.Take(root, open(root), "partner", "", now)
		require.NoError(t, err)
		assert.Empty(t, k.Photos)
		if len(d.Photos) > 0 {
			assert.Contains(t, strings.Join(k.Warnings, ";"), "is a link and is not followed")
		}
		if !d.HasDay {
			assert.Equal(t, now.Format(time.DateOnly), k.On.Format(time.DateOnly))
		}
	}
	s = open(root)
	require.Empty(t, s.L.Problems)
	again := Look(root, s)
	assert.Empty(t, again.Lines)
	assert.Empty(t, again.Changed)
	assert.Equal(t, 4, again.Taken)
	row := s.L.Record("R-2026-11-20-partner.1").Data.(*ledger.Inspection).Pieces[0]
	assert.Equal(t, "14:05", row.Time.S)
	assert.Regexp(t, `^phone_20261120\.txt:1 [0-9a-f]{8}, 2026-11-26 08:10$`, row.TakenFrom.S)
	assert.Empty(t, picturesIn(t, root))
}
