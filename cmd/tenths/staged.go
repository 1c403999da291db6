package main

import (
	"context"
	"errors"
	"fmt"
	"path"
	"strings"
	"time"

	"tenths/ledger"
	"tenths/ledger/history"
	"tenths/ledger/source"
	"tenths/ledger/study"
	"tenths/lint"
	"tenths/lint/rules"
)

// staged checks what git would commit: the ledger around the working folder,
// or, at the top of a repository that keeps its ledgers in folders, each of
// them.
func (c lintCmd) staged(e env) ([]linted, error) {
	if len(c.Paths) > 0 {
		return nil, errors.New("--staged checks what git would commit and takes no paths")
	}
	day, err := parseDay(c.AsOf, e.today)
	if err != nil {
		return nil, err
	}
	dir := e.path(c.Ledger)
	root, err := ledger.FindRoot(dir)
	if err == nil {
		dir = root
	} else if !errors.Is(err, ledger.ErrNoLedger) {
		return nil, err
	}
	repo, err := history.Open(context.Background(), dir)
	if err != nil {
		return nil, err
	}
	prefixes := []string{repo.Prefix()}
	if root == "" {
		if prefixes, err = ledgersIn(repo); err != nil {
			return nil, err
		}
	}
	var out []linted
	for _, p := range prefixes {
		res, err := c.stagedIn(e, repo, p, day)
		if err != nil {
			return nil, err
		}
		if res != nil {
			out = append(out, linted{res, e.prefix(path.Join(repo.Top(), p))})
		}
	}
	return out, nil
}

// ledgersIn lists the folders of the repository whose ledger would be
// committed, or is taken away by the commit.
func ledgersIn(repo *history.Repo) ([]string, error) {
	src, err := repo.Index("")
	if err != nil {
		return nil, err
	}
	files, err := src.Files()
	if err != nil {
		return nil, err
	}
	_, deleted, err := repo.Staged("")
	if err != nil {
		return nil, err
	}
	var out []string
	add := func(name string) {
		if path.Base(name) == ledger.ConfigName {
			out = append(out, strings.TrimSuffix(strings.TrimSuffix(name, ledger.ConfigName), "/"))
		}
	}
	for _, f := range files {
		add(f.Path)
	}
	for _, name := range deleted {
		add(name)
	}
	return out, nil
}

// stagedIn checks one ledger of the index; nil if nothing of it is staged.
func (c lintCmd) stagedIn(e env, repo *history.Repo, prefix string, day time.Time) (*lint.Result, error) {
	changed, deleted, err := repo.Staged(prefix)
	if err != nil {
		return nil, err
	}
	if len(changed)+len(deleted) == 0 {
		return nil, nil
	}
	src, err := repo.Index(prefix)
	if err != nil {
		return nil, err
	}
	l, err := ledger.Load(src)
	if errors.Is(err, ledger.ErrNoLedger) {
		return nil, c.noLedger(e, deleted)
	}
	if err != nil {
		return nil, err
	}
	only := map[string]bool{}
	for _, p := range append(changed, deleted...) {
		only[p] = true
	}
	gone := goneIDs(l, repo, prefix, only)
	set := study.New(l, day)
	set.Past = repo.Past(prefix, l)
	return lint.Run(l, set, rules.All(), lint.Options{Only: only, Referring: true, Gone: gone})
}

// noLedger is for an index without tenths.toml: an error if the commit takes it
// away, since nothing would be checked from then on.
func (c lintCmd) noLedger(e env, deleted []string) error {
	for _, name := range deleted {
		if name == ledger.ConfigName {
			return hinted{fmt.Errorf("the commit takes %s away; nothing of the ledger would be checked any more", ledger.ConfigName),
				"git restore --staged " + ledger.ConfigName + ", or git commit --no-verify if that is meant"}
		}
	}
	if c.Hook {
		fmt.Fprintf(e.err, "tenths: nothing was checked: %s is not in what git would commit\n", ledger.ConfigName)
		return nil
	}
	return hinted{ledger.ErrNoLedger, "git add " + ledger.ConfigName}
}

// goneIDs lists the ids that files had in the last commit and that the ledger no
// longer holds.
func goneIDs(l *ledger.Ledger, repo *history.Repo, prefix string, files map[string]bool) []string {
	before, err := repo.At("HEAD", prefix)
	if err != nil {
		return nil // before the first commit nothing can be gone
	}
	texts := map[string]string{ledger.ConfigName: ""}
	for name := range files {
		if text, err := before.Read(name); err == nil && name != ledger.ConfigName {
			texts[name] = string(text)
		}
	}
	old, err := ledger.Load(source.Map(texts))
	if err != nil {
		return nil
	}
	var gone []string
	for _, id := range old.IDs() {
		if l.Record(id) == nil {
			gone = append(gone, id)
		}
	}
	return gone
}
