// Command tenths keeps a small machine shop's process as a ledger of plain text
// in git, and checks it.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"
	"time"

	"github.com/alecthomas/kong"

	"tenths/ledger"
)

// Exit codes.
const (
	exitOK       = 0 // nothing at or above the threshold
	exitFindings = 1 // findings at or above it
	exitFailed   = 2 // the command could not do its work
)

// env is what a command gets from outside.
type env struct {
	out, err io.Writer
	dir      string    // working folder
	today    time.Time // for --as-of
}

// errFindings ends a command with exitFindings, without a message.
var errFindings = errors.New("findings")

// hinted is an error with what to do about it.
type hinted struct {
	error
	hint string
}

func (h hinted) Unwrap() error { return h.error }

type cli struct {
	Init      initCmd      `cmd:"" help:"Start a ledger: its config, its folders, and the git hook on request."`
	New       newCmd       `cmd:"" help:"Write a new record from its scaffold."`
	Lint      lintCmd      `cmd:"" help:"Check the ledger."`
	Derive    deriveCmd    `cmd:"" help:"Recompute the values that follow from others."`
	Record    recordCmd    `cmd:"" help:"Append readings at the machine; a line is never refused or lost."`
	Inbox     inboxCmd     `cmd:"" help:"List the notes and pictures that were dropped into inbox/, and take the notes over as readings."`
	Import    importCmd    `cmd:"" help:"Import a table of readings from a gauge or a spreadsheet; shows it first."`
	Show      showCmd      `cmd:"" help:"Show one record or value with everything computed from it."`
	Trace     traceCmd     `cmd:"" help:"Follow what depends on a record or value; with --suspect, what is in doubt if a gauge was out."`
	Sheet     sheetCmd     `cmd:"" help:"Print the setup sheets of a plan, one page an operation."`
	Compare   compareCmd   `cmd:"" help:"Show what was not the same on two days, for two lots, or in two git revisions; with --for, what of it can act on a characteristic."`
	Due       dueCmd       `cmd:"" help:"List what falls due."`
	Diagnose  diagnoseCmd  `cmd:"" help:"Find what makes a step at a seam, and the cheapest cure."`
	Predict   predictCmd   `cmd:"" help:"Foretell what the readings after a change will show, point by point."`
	Report    reportCmd    `cmd:"" help:"Print the before/after report of a change."`
	Changelog changelogCmd `cmd:"" help:"List the shop's improvements."`
	Calc      calcCmd      `cmd:"" help:"Answer at the bench, without a ledger: limits, fits, pins, gauges, reamers, bores, joints, evidence."`
	Explain   explainCmd   `cmd:"" help:"Explain a rule, or the keys of a kind of record."`
	Hook      hookCmd      `cmd:"" help:"Install or remove the git pre-commit hook."`

	Version kong.VersionFlag `help:"Print the version."`
}

// inLedger is shared by the commands that read a ledger.
type inLedger struct {
	Ledger string `short:"C" placeholder:"DIR" help:"A folder of the ledger; the working folder if not given."`
	AsOf   string `placeholder:"DATE" help:"Answer as on this day (year-month-day); today if not given."`
}

func main() {
	// A run is short and a ledger of many years is large: half the slack in
	// memory for about a sixth more time.
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(50)
	}
	dir, err := os.Getwd()
	if err != nil {
		fmt.Fprintln(os.Stderr, "tenths:", err)
		os.Exit(exitFailed)
	}
	os.Exit(run(os.Args[1:], env{os.Stdout, os.Stderr, dir, time.Now()}))
}

// run is the whole program but for the process around it.
func run(args []string, e env) int {
	exited, code := false, exitOK
	parser, err := kong.New(&cli{},
		kong.Name("tenths"),
		kong.Description("Keeps a small machine shop's process as a ledger of plain text in git, and checks it. Begin with: tenths init"),
		kong.Writers(e.out, e.err),
		kong.Exit(func(c int) { exited, code = true, c }),
		kong.Vars{"version": version()},
		kong.ConfigureHelp(kong.HelpOptions{Compact: true}),
		kong.ShortUsageOnError(),
	)
	if err != nil {
		fmt.Fprintln(e.err, "tenths:", err)
		return exitFailed
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	typed := args
	if args[0] == "record" {
		for _, node := range parser.Model.Children {
			if node.Name == "record" {
				args = append([]string{"record"}, wordsLast(args[1:], append(node.Flags, parser.Model.Flags...))...)
			}
		}
	}
	ctx, err := parser.Parse(minusNumbers(args))
	if exited {
		return code
	}
	if err != nil && args[0] == "record" {
		// What was typed at the machine is kept, however it was typed.
		return finish(e, refusedLine(e, typed[1:], err))
	}
	if err != nil {
		fmt.Fprintf(e.err, "tenths: %s\n", ledger.PrintableLines(err.Error()))
		fmt.Fprintln(e.err, "tenths: hint: tenths --help lists the commands; tenths COMMAND --help its options")
		return exitFailed
	}
	return finish(e, ctx.Run(e))
}

// finish prints what stopped a command and gives its exit code.
func finish(e env, err error) int {
	switch {
	case err == nil:
		return exitOK
	case errors.Is(err, errFindings):
		return exitFindings
	default:
		fmt.Fprintf(e.err, "tenths: %s\n", ledger.PrintableLines(err.Error()))
		if h := (hinted{}); errors.As(err, &h) {
			fmt.Fprintf(e.err, "tenths: hint: %s\n", ledger.PrintableLines(h.hint))
		} else if errors.Is(err, ledger.ErrNoLedger) {
			fmt.Fprintln(e.err, "tenths: hint: go to a ledger's folder, name one with -C, or start one with: tenths init")
		}
		return exitFailed
	}
}

// version is the module version that the program was built from.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "unknown"
	}
	return strings.Trim(info.Main.Version, "()")
}

func parseDay(text string, otherwise time.Time) (time.Time, error) {
	if text == "" {
		return otherwise, nil
	}
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return t, fmt.Errorf("cannot read %q as a day; write year-month-day like 2025-11-25", text)
	}
	return t, nil
}
