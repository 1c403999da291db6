// Package checkvalues reads tables of published values that tests compare with.
package checkvalues

import (
	"encoding/csv"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// Table reads a file of values separated by commas, each row by the names of its
// first line.
func Table(t testing.TB, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.NotEmpty(t, all)
	rows := make([]map[string]string, len(all)-1)
	for i, cells := range all[1:] {
		rows[i] = map[string]string{}
		for j, c := range cells {
			rows[i][all[0][j]] = c
		}
	}
	return rows
}
