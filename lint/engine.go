package lint

import (
	"cmp"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"tenths/ledger"
	"tenths/ledger/study"
)

// Finding is one thing that a rule found.
type Finding struct {
	Rule       string
	Severity   Severity
	File       string
	Span       ledger.Span
	Start, End ledger.Position
	Record     string // id, empty if the file is no record
	Message    string
	Why        string
	Fix        string
	Numbers    []Number
	Related    []Related
	// Conceded is the concession that silences the finding, or nil.
	Conceded *ledger.Concession

	rec    *ledger.Record
	softer bool // the rule itself made it a note
}

// Related is another place that belongs to a finding.
type Related struct {
	File    string
	Line    int
	Column  int
	Message string
}

// Result is what a run found.
type Result struct {
	AsOf     time.Time
	Records  int
	Findings []Finding // those that count, in the order of files and lines
	Conceded []Finding // those that a concession silences
}

// Options says how to run.
type Options struct {
	// Only limits the report to these files; nil reports all. The rules always
	// see the whole ledger.
	Only map[string]bool
	// Referring adds the records that refer to one in these files.
	Referring bool
	// Gone lists ids that the ledger no longer holds, because a file is gone or
	// its id was changed. What refers to them is reported whatever file it
	// stands in.
	Gone []string
}

// Run applies the rules to a ledger. The order of the rules does not matter.
func Run(l *ledger.Ledger, set *study.Set, rules []*Rule, opt Options) (*Result, error) {
	seen := map[string]bool{}
	for _, r := range rules {
		if err := r.Validate(); err != nil {
			return nil, err
		}
		if seen[r.Name] {
			return nil, fmt.Errorf("rule %s is there twice", r.Name)
		}
		seen[r.Name] = true
	}
	var first, last []*Rule
	for _, r := range rules {
		if r.Last {
			last = append(last, r)
		} else {
			first = append(first, r)
		}
	}
	res := &Result{AsOf: set.AsOf, Records: len(l.Records)}
	silenced := map[*ledger.Concession]int{}
	findings := runAll(l, set, first, seen, nil)
	e := &engine{l: l, asOf: set.AsOf, rules: rules, silenced: silenced}
	counted, conceded := e.settle(findings)
	findings = runAll(l, set, last, seen, silenced)
	more, moreConceded := e.settle(findings)
	res.Findings = append(counted, more...)
	res.Conceded = append(conceded, moreConceded...)
	res.Findings = only(l, res.Findings, opt)
	res.Conceded = only(l, res.Conceded, opt)
	sortFindings(res.Findings)
	sortFindings(res.Conceded)
	return res, nil
}

// runAll runs rules side by side; the ledger and the studies may be read so.
func runAll(l *ledger.Ledger, set *study.Set, rules []*Rule, known map[string]bool, silenced map[*ledger.Concession]int) []Finding {
	outs := make([][]Finding, len(rules))
	next := make(chan int)
	var wg sync.WaitGroup
	for range max(1, runtime.GOMAXPROCS(0)) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				p := &Pass{L: l, S: set, AsOf: set.AsOf, Rules: known, Silenced: silenced, rule: rules[i]}
				rules[i].Check(p)
				outs[i] = p.out
			}
		}()
	}
	for i := range rules {
		next <- i
	}
	close(next)
	wg.Wait()
	return slices.Concat(outs...)
}

type engine struct {
	l        *ledger.Ledger
	asOf     time.Time
	rules    []*Rule
	silenced map[*ledger.Concession]int
}

// settle leaves drafts in peace, applies the ledger's own severities, keeps
// the gaps of legacy records as notes and takes out what is conceded. What
// makes all other rules blind (Always) stays an error.
func (e *engine) settle(in []Finding) (counted, conceded []Finding) {
	onDrafts, always, gap := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, r := range e.rules {
		onDrafts[r.Name], always[r.Name], gap[r.Name] = r.OnDrafts, r.Always, r.Gap
	}
	severity := map[string]string{}
	for _, s := range e.l.Config.Rules {
		severity[s.Rule] = s.Severity
	}
	for _, f := range dedupe(in) {
		switch severity[f.Rule] {
		case "off":
			if !always[f.Rule] {
				continue
			}
		case "":
		default:
			if f.softer {
				break // what the rule itself lowered stays a note
			}
			f.Severity, _ = ParseSeverity(severity[f.Rule])
		}
		if f.rec != nil {
			if f.rec.Quiet() && !onDrafts[f.Rule] {
				continue
			}
			if f.rec.Common.Legacy.B && !always[f.Rule] && (f.Severity < Error || gap[f.Rule]) {
				f.Severity = Note
			}
			if c := e.concession(f); c != nil {
				e.silenced[c]++
				f.Conceded = c
				conceded = append(conceded, f)
				continue
			}
		}
		counted = append(counted, f)
	}
	return counted, conceded
}

// concession finds the one in the finding's own record that silences it.
func (e *engine) concession(f Finding) *ledger.Concession {
	for i := range f.rec.Common.Concessions {
		c := &f.rec.Common.Concessions[i]
		if c.Rule.S == f.Rule && strings.TrimSpace(c.Reason.S) != "" && (!c.Until.Set() || !e.asOf.After(c.Until.T)) {
			return c
		}
	}
	return nil
}

func dedupe(in []Finding) []Finding {
	type key struct {
		rule, file, message string
		at                  ledger.Span
	}
	seen := map[key]bool{}
	var out []Finding
	for _, f := range in {
		k := key{f.Rule, f.File, f.Message, f.Span}
		if !seen[k] {
			seen[k] = true
			out = append(out, f)
		}
	}
	return out
}

// only keeps the findings about the files asked for, about records that refer to
// them, and those to which one of them belongs, such as the first of two records
// with one id. A change of the config concerns everything.
func only(l *ledger.Ledger, in []Finding, opt Options) []Finding {
	if opt.Only == nil || opt.Only[ledger.ConfigName] {
		return in
	}
	changed := map[string]bool{}
	for _, rec := range l.Records {
		if opt.Only[rec.Path] {
			changed[rec.ID()] = true
		}
	}
	for _, id := range opt.Gone {
		changed[id] = true
	}
	refers := map[*ledger.Record]bool{}
	var out []Finding
	for _, f := range in {
		keep := opt.Only[f.File]
		if !keep && opt.Referring && f.rec != nil {
			yes, known := refers[f.rec]
			if !known {
				for _, r := range l.References(f.rec) {
					id, _, _ := strings.Cut(r.Path, "/")
					yes = yes || !r.File && changed[id] || r.File && opt.Only[r.Path]
				}
				refers[f.rec] = yes
			}
			keep = yes
		}
		for _, r := range f.Related {
			keep = keep || opt.Referring && opt.Only[r.File]
		}
		if keep {
			out = append(out, f)
		}
	}
	return out
}

func sortFindings(f []Finding) {
	slices.SortStableFunc(f, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Span.Start, b.Span.Start), cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.Message, b.Message))
	})
}

// Worst is the highest severity among the findings; ok is false without any.
func (r *Result) Worst() (s Severity, ok bool) {
	for _, f := range r.Findings {
		s, ok = max(s, f.Severity), true
	}
	return s, ok
}

// Count gives the number of findings of a severity.
func (r *Result) Count(s Severity) int {
	n := 0
	for _, f := range r.Findings {
		if f.Severity == s {
			n++
		}
	}
	return n
}

// ByImportance gives the findings with the worst first, else in their order.
func (r *Result) ByImportance() []Finding {
	out := slices.Clone(r.Findings)
	slices.SortStableFunc(out, func(a, b Finding) int { return cmp.Compare(b.Severity, a.Severity) })
	return out
}
