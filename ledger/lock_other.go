//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd)

package ledger

import (
	"errors"
	"os"
)

// tryLock reports that folders have no locks here.
func tryLock(*os.File) (bool, error) { return false, errors.ErrUnsupported }
