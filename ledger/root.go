package ledger

import (
	"os"
	"path/filepath"
)

// FindRoot looks for the folder with tenths.toml, from dir upwards.
func FindRoot(dir string) (string, error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	if info, err := os.Stat(abs); err == nil && !info.IsDir() {
		abs = filepath.Dir(abs)
	}
	for {
		if info, err := os.Stat(filepath.Join(abs, ConfigName)); err == nil && info.Mode().IsRegular() {
			return abs, nil
		}
		up := filepath.Dir(abs)
		if up == abs {
			return "", ErrNoLedger
		}
		abs = up
	}
}
