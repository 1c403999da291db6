package gauge_test

import (
	"fmt"

	"tenths/calc/gauge"
	"tenths/calc/quantity"
)

// mustRead reads a toleranced size of an example.
func mustRead(text string) quantity.Toleranced {
	t, err := quantity.ParseToleranced(text, quantity.Inch)
	if err != nil {
		fmt.Println(err)
	}
	return t
}

func mustReadOne(text string) quantity.Quantity {
	q, err := quantity.Parse(text, quantity.Inch)
	if err != nil {
		fmt.Println(err)
	}
	return q
}

// A reamed locating hole: what a pair of class X costs, and which class keeps
// the ten percent rule.
func ExamplePairFor() {
	hole := mustRead("0.1875 +0.0005/-0 in")
	p, err := gauge.PairFor(gauge.Plug, hole, gauge.X)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("GO %s, NOT GO %s: %s, %s\n", p.Go, p.NotGo, p.Share.Percent, p.Share.Verdict)
	best, err := gauge.Coarsest(gauge.Plug, hole)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("coarsest class:", best.Class)
	// Output:
	// GO 0.1875 +0.00004/-0.00000 in, NOT GO 0.1880 +0.00000/-0.00004 in: 16 %, over 10 %
	// coarsest class: XX
}

// A minus pin used as GO passes holes under the limit.
func ExampleBracketOf() {
	b, err := gauge.BracketOf(gauge.Plug, mustRead("0.1875 +0.0005/-0 in"), mustRead("0.1875 +0/-0.0002 in"), mustRead("0.1880 +0/-0.0002 in"))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(b.Brackets(), "- a hole may be passed", b.PassesBelow, "under its limit")
	// Output: false - a hole may be passed 0.0002 in under its limit
}

// GO goes in and NOT GO refuses: the hole lies between, and that is all.
func ExampleProve() {
	r, err := gauge.Prove(gauge.Plug, quantity.Quantity{},
		gauge.Trial{Gauge: mustRead("0.1875 +0.00004/-0 in"), Goes: true},
		gauge.Trial{Gauge: mustRead("0.1880 +0/-0.00004 in"), Goes: false})
	if err != nil {
		fmt.Println(err)
		return
	}
	verdict, err := r.Against(mustRead("0.1875 +0.0005/-0 in"))
	fmt.Println(r, verdict, err)
	// Output: from 0.18750 in to 0.18800 in accept <nil>
}

// Outside the limit, but by less than the uncertainty.
func ExampleDecide() {
	d, err := gauge.Decide(mustReadOne("1.5011 in"), mustReadOne("0.00015 in"), mustRead("1.5000 ±0.0010 in"))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s; accepted from %s to %s\n", d.Verdict, d.AcceptFrom, d.AcceptTo)
	// Output: doubtful; accepted from 1.49915 in to 1.50085 in
}

func ExampleConformity() {
	p, err := gauge.Conformity(mustReadOne("0.7504 in"), mustReadOne("0.00005 in"), mustRead("0.7500..0.7505 in"))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f %%\n", 100*p)
	// Output: 97.7 %
}
