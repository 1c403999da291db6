// Package boring computes helical boring and the dialogue of boring to size by
// steps: what the plug gauges prove of a hole, what the cutter really takes off,
// and the next pass that cannot go over.
//
// Two ways of feeding a helix are told apart, because the machine moves the
// centre of the cutter while the chip is made at the wall: CentreFeed and
// WallFeed. Lengths are exact rationals as long as no root or angle comes in;
// what does carries the error bound of package quantity.
//
// A plug or pin gauge never gives a size, only a limit: what enters is smaller
// than the hole, what refuses is larger than it is where the gauge was held,
// usually at the mouth. Neither says anything of taper, bell mouth or
// out-of-round, and a warm hole is larger than it will be.
package boring
