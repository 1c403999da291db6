// Package weld computes what it takes to fill holes with weld metal: volume, wire,
// time, and the heat that goes into the work.
//
// Every result carries the usual cautions with their sources. They are a reminder
// and not complete: local codes and licensed practice decide. Nothing here says
// that a job may be done.
//
// Package quantity has no units of mass and energy of its own, so a mass is in
// N·s²/m, which is exactly the kilogram, or lbf·s²/in, and an energy in N·m, which
// is the joule. Text shows them in grams, pounds and kilojoules. Volts and amperes
// are plain numbers. Volumes hold π and carry its error bound.
package weld
