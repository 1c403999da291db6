package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"tenths/ledger"
	"tenths/ledger/history"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// opened is a ledger of the working tree with its studies.
type opened struct {
	root string
	l    *ledger.Ledger
	set  *study.Set
}

// path resolves a path as typed against the working folder.
func (e env) path(p string) string {
	if filepath.IsAbs(p) {
		return p
	}
	return filepath.Join(e.dir, p)
}

// open loads the ledger around the folder that was named, or the working one.
func (in inLedger) open(e env) (*opened, error) {
	day, err := parseDay(in.AsOf, e.today)
	if err != nil {
		return nil, err
	}
	return e.openAt(in.Ledger, day)
}

func (e env) openAt(dir string, day time.Time) (*opened, error) {
	at := e.path(dir)
	if _, err := os.Stat(at); err != nil {
		return nil, fmt.Errorf("there is no %s", dir)
	}
	root, err := ledger.FindRoot(at)
	if err != nil {
		return nil, err
	}
	src, err := source.Dir(root)
	if err != nil {
		return nil, err
	}
	l, err := ledger.Load(src)
	if err != nil {
		return nil, err
	}
	set := study.New(l, day)
	set.Past = history.PastOf(context.Background(), root, l)
	return &opened{root, l, set}, nil
}

// prefix is what stands before a path of the ledger as seen from the working
// folder: empty, or a folder with a slash.
func (e env) prefix(root string) string {
	rel, err := filepath.Rel(resolved(e.dir), resolved(root))
	if err != nil || rel == "." {
		return ""
	}
	return filepath.ToSlash(rel) + "/"
}

func resolved(p string) string {
	if r, err := filepath.EvalSymlinks(p); err == nil {
		return r
	}
	return p
}
