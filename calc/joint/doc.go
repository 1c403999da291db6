// Package joint computes joints of a pin or shaft in a hole: press and shrink
// fits, the temperature that assembles them, a pin driven into a blind hole, and
// a pin held by adhesive.
//
// Press and shrink fits follow Lamé's thick-walled cylinders in plane stress, with
// both parts elastic and as long as each other. Pressures and stresses are exact
// rationals of their inputs; equivalent stresses come out of a root, and forces
// and torques hold π, so these carry a bound on their error. A stress is a force
// over an area: 1 N/mm² is 1 MPa, 1 lbf/in² is 1 psi.
//
// The arithmetic is far better than its inputs. Friction differs by a factor of
// two between sources, and so does what a pin really takes to come out; the
// package returns what each source says (Materials, Frictions) and chooses none.
package joint
