package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"tenths/ledger"
	"tenths/ledger/history"
)

type initCmd struct {
	Dir    string `arg:"" optional:"" default:"." help:"Folder of the new ledger."`
	Units  string `enum:"in,mm" default:"in" help:"Unit of lengths that are written without one: in or mm."`
	Shop   string `placeholder:"NAME" help:"Name of the shop, for headings."`
	Hook   bool   `help:"Install the git pre-commit hook too."`
	DryRun bool   `help:"Print what would be written and write nothing."`
}

func (c initCmd) Help() string {
	return "Writes tenths.toml, which marks the folder as a ledger, and a README that says where things go. Nothing that is there already is changed."
}

func (c initCmd) Run(e env) error {
	dir := e.path(c.Dir)
	if root, err := ledger.FindRoot(existing(dir)); err == nil {
		return hinted{fmt.Errorf("%s is a ledger already", root), "tenths hook install adds the git hook to it"}
	} else if !errors.Is(err, ledger.ErrNoLedger) {
		return err
	}
	config, err := ledger.ConfigScaffold(c.Shop, c.Units)
	if err != nil {
		return err
	}
	files := []struct{ name, text string }{
		{ledger.ConfigName, config},
		{"README.md", ledger.ReadmeScaffold(c.Shop)},
	}
	if c.DryRun {
		for _, f := range files {
			fmt.Fprintf(e.out, "would write %s:\n%s\n", f.name, f.text)
		}
		return nil
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for _, f := range files {
		if _, err := os.Lstat(filepath.Join(dir, f.name)); err == nil && f.name != ledger.ConfigName {
			continue
		}
		if err := ledger.CreateFile(dir, f.name, f.text); err != nil {
			return err
		}
		fmt.Fprintln(e.out, ledger.Printable(filepath.ToSlash(filepath.Join(c.Dir, f.name))))
	}
	if c.Hook {
		h, err := installHook(dir, false)
		if errors.Is(err, history.ErrNotARepo) {
			return hinted{fmt.Errorf("the ledger is there, the hook is not: %w", err), "git init, then: tenths hook install"}
		}
		if err != nil {
			return err
		}
		fmt.Fprintln(e.out, ledger.Printable(h.Path))
	}
	return nil
}

// existing goes up to a folder that is there.
func existing(dir string) string {
	for {
		if _, err := os.Stat(dir); err == nil {
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			return dir
		}
		dir = up
	}
}

type hookCmd struct {
	Install hookInstallCmd `cmd:"" help:"Install the pre-commit hook; never over another one."`
	Remove  hookRemoveCmd  `cmd:"" help:"Remove the hook that install wrote, and nothing else."`
}

type hookInstallCmd struct {
	Ledger string `short:"C" placeholder:"DIR" help:"A folder of the ledger; the working folder if not given."`
	DryRun bool   `help:"Print the hook and write nothing."`
}

func (c hookInstallCmd) Help() string {
	return "The hook checks what git would commit. An error that nobody conceded stops the commit; the rest is printed as a short list."
}

func (c hookInstallCmd) Run(e env) error {
	root, err := ledger.FindRoot(e.path(c.Ledger))
	if err != nil {
		return err
	}
	h, err := installHook(root, c.DryRun)
	if err != nil {
		return err
	}
	if c.DryRun {
		fmt.Fprintf(e.out, "%s (%s):\n%s", ledger.Printable(h.Path), h.State, h.Text)
		return nil
	}
	fmt.Fprintf(e.out, "%s: %s\n", h.State, ledger.Printable(h.Path))
	return nil
}

func installHook(root string, dryRun bool) (history.Hook, error) {
	program, err := os.Executable()
	if err != nil {
		return history.Hook{}, err
	}
	repo, err := history.Open(context.Background(), root)
	if err != nil {
		return history.Hook{}, err
	}
	return repo.InstallHook(history.HookOptions{Command: []string{program, "lint", "--hook"}, Root: repo.Prefix(), DryRun: dryRun})
}

type hookRemoveCmd struct {
	Ledger string `short:"C" placeholder:"DIR" help:"A folder of the ledger; the working folder if not given."`
	DryRun bool   `help:"Say what would be removed and remove nothing."`
}

func (c hookRemoveCmd) Run(e env) error {
	repo, err := history.Open(context.Background(), e.path(c.Ledger))
	if err != nil {
		return err
	}
	h, err := repo.RemoveHook(c.DryRun)
	if err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%s: %s\n", h.State, ledger.Printable(h.Path))
	return nil
}
