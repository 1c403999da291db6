package main

import (
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write what the commands print into the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"tenths": main})
}

// TestScripts runs the stories in testdata/script. Each is a file of commands
// and the files that they find.
func TestScripts(t *testing.T) {
	examples, err := filepath.Abs("../../examples")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			// A suite that is started from a git hook must not touch that
			// repository, and no setting of the machine may change a result.
			local, err := exec.Command("git", "rev-parse", "--local-env-vars").Output()
			if err != nil {
				return err
			}
			for _, name := range strings.Fields(string(local)) {
				e.Vars = append(e.Vars, name+"=")
			}
			clean := e.Vars[:0]
			for _, v := range e.Vars {
				if !strings.HasPrefix(v, "GIT_") {
					clean = append(clean, v)
				}
			}
			e.Vars = append(clean,
				"GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_SYSTEM="+os.DevNull,
				"GIT_AUTHOR_NAME=a", "GIT_AUTHOR_EMAIL=a@example.org", "GIT_COMMITTER_NAME=a", "GIT_COMMITTER_EMAIL=a@example.org",
				"GIT_AUTHOR_DATE=2026-01-02T03:04:05Z", "GIT_COMMITTER_DATE=2026-01-02T03:04:05Z",
				"EXAMPLES="+examples,
			)
			return nil
		},
	})
}
