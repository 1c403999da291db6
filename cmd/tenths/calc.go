package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/alecthomas/kong"

	"tenths/calc/bench"
	"tenths/ledger/report"
)

// calcCmd holds the bench calculators. They need no ledger.
type calcCmd struct {
	Limits     calcSubject[bench.Limits]     `cmd:"" help:"Limits of a tolerance class."`
	Fit        calcSubject[bench.Fit]        `cmd:"" help:"Clearance of a hole and a shaft."`
	Choose     calcSubject[bench.Choose]     `cmd:"" help:"Which classes keep a wanted clearance."`
	Pins       calcSubject[bench.Pins]       `cmd:"" help:"Two locating pins: will the part go on, and how far can it move."`
	Dowel      calcSubject[bench.Dowel]      `cmd:"" help:"Standard dowel pins, and why one slips or not."`
	Plug       calcSubject[bench.Plug]       `cmd:"" help:"GO and NOT GO gauges: sizes, share of the tolerance, what they prove."`
	Accept     calcSubject[bench.Accept]     `cmd:"" help:"Accept, doubtful or reject: a reading with its uncertainty."`
	Guard      calcSubject[bench.Guard]      `cmd:"" help:"How far readings must stay inside the limits, and what is sorted wrongly."`
	Budget     calcSubject[bench.Budget]     `cmd:"" help:"Uncertainty of a result: what each input adds."`
	Repeat     calcSubject[bench.Repeat]     `cmd:"" help:"How far a measurement repeats, and people among each other."`
	Bias       calcSubject[bench.Bias]       `cmd:"" help:"What lies between two people or two gauges."`
	Chart      calcSubject[bench.Chart]      `cmd:"" help:"Short-run chart in words: did the process move."`
	Drift      calcSubject[bench.Drift]      `cmd:"" help:"Drift of a tool, and the parts left to a limit."`
	Ream       calcSubject[bench.Ream]       `cmd:"" help:"Size of a reamer for a hole, and the stock to leave."`
	Bore       calcSubject[bench.Bore]       `cmd:"" help:"Helical boring: path and feeds, or the next pass to size."`
	Press      calcSubject[bench.Press]      `cmd:"" help:"Press fit: pressure, stresses, forces."`
	Shrink     calcSubject[bench.Shrink]     `cmd:"" help:"Shrink fit: temperature to put it together."`
	Seat       calcSubject[bench.Seat]       `cmd:"" help:"Pin in a blind hole: trapped air and liquid."`
	Bond       calcSubject[bench.Bond]       `cmd:"" help:"Pin held by adhesive."`
	Clamp      calcSubject[bench.Clamp]      `cmd:"" help:"Clamp force against a cut, and what a strap clamp presses with."`
	Thermal    calcSubject[bench.Thermal]    `cmd:"" help:"Away from 20 C: growth, pitch against a fixture, a reading corrected."`
	Weld       calcSubject[bench.Weld]       `cmd:"" help:"Filling a hole with weld metal: volume, wire, heat."`
	Stack      calcSubject[bench.Stack]      `cmd:"" help:"A formula with tolerances: worst case, root sum square, shares."`
	Summary    calcSubject[bench.Summary]    `cmd:"" help:"What a group of readings says: mean, spread, the next part, what rounding hides."`
	Compare    calcSubject[bench.Compare]    `cmd:"" help:"Before and after: did it change."`
	Same       calcSubject[bench.Same]       `cmd:"" help:"Are two groups the same but for a margin that does not matter."`
	Looks      calcSubject[bench.Looks]      `cmd:"" help:"Stop or go on, while readings come in."`
	Touch      calcSubject[bench.Touch]      `cmd:"" help:"Did it change to the touch: grades 0, 1, 2."`
	Count      calcSubject[bench.Count]      `cmd:"" help:"What 7 of 20 says of all parts; blind calls."`
	Parts      calcSubject[bench.Parts]      `cmd:"" help:"How many parts it takes to show it."`
	Tolerance  calcSubject[bench.Tolerance]  `cmd:"" help:"Between which sizes nearly all parts lie."`
	Capability calcSubject[bench.Capability] `cmd:"" help:"How a spread fits its limits: Pp, Ppk, Cp, Cpk."`

	Subjects calcListCmd `cmd:"" default:"1" hidden:"" help:"List the subjects."`
}

func (calcCmd) Help() string {
	return "Values carry their unit: 0.1875in, 4.7625mm, 125thou, 2tenths, 68F. Sizes may carry a tolerance: '0.1875 +0.0005/-0 in', '2.4000 ±0.0005 in', 0.1875..0.1880in, '4 mm H7'. A value with spaces stands between quotes. Without a subject, the subjects are listed with an example of each."
}

// calcSubject is one question with the options of all.
type calcSubject[Q bench.Question] struct {
	Question Q `embed:""`

	Units  string `placeholder:"UNIT" help:"Unit of the answer: in, mm, thou, tenths, um, uin; that of the question if not given."`
	Format string `enum:"text,json" default:"text" help:"text or json."`
}

func (c calcSubject[Q]) Help() string {
	return c.Question.About() + "\n\nFor example:\n\n  " + strings.Join(c.examples(), "\n  ")
}

// examples are the command lines that help, list and errors show.
func (c calcSubject[Q]) examples() []string {
	name := fmt.Sprintf("%T", c.Question)
	subject := strings.ToLower(name[strings.LastIndex(name, ".")+1:])
	var out []string
	for _, words := range c.Question.Examples() {
		out = append(out, "tenths calc "+subject+" "+words)
	}
	return out
}

func (c calcSubject[Q]) Run(e env) error {
	answer, err := c.Question.Ask(bench.Options{Units: c.Units})
	if err != nil {
		return hinted{err, "for example: " + c.examples()[0]}
	}
	if c.Format == "json" {
		return report.WriteJSON(e.out, answer)
	}
	return answer.WriteText(e.out)
}

// calcListCmd lists the subjects.
type calcListCmd struct{}

func (calcListCmd) Run(e env, ctx *kong.Context) error {
	var b strings.Builder
	b.WriteString("tenths calc SUBJECT ... answers at the bench, without a ledger. tenths calc SUBJECT --help says what it takes.\n")
	for _, subject := range ctx.Selected().Parent.Children {
		if s, ok := subject.Target.Interface().(interface{ examples() []string }); ok {
			fmt.Fprintf(&b, "\n%-10s  %s\n            %s\n", subject.Name, subject.Help, s.examples()[0])
		}
	}
	_, err := io.WriteString(e.out, b.String())
	return err
}

// minusNumbers keeps a reading such as -0.0003in from being taken for an option:
// no option begins with a digit, and a number may begin with a space.
func minusNumbers(args []string) []string {
	out := make([]string, len(args))
	for i, a := range args {
		if len(a) > 1 && a[0] == '-' && (a[1] == '.' || a[1] >= '0' && a[1] <= '9') {
			a = " " + a
		}
		out[i] = a
	}
	return out
}
