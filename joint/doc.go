// Package joint is the textbook of the router-cut half-blind dovetail joint:
// one cutter, one guide bushing and one finger template make both halves.
//
// The chapters, each a file or a package:
//
//	length       lengths as written, held and printed
//	cutter.go    the dovetail cutter: diameter, angle, radius at a height
//	bushing.go   the guide bushing, or a bearing instead
//	template.go  the finger template, in the four ways it may be known
//	setup.go     everything a joint is cut with, and what cannot be cut
//	play.go      play, depth for a wanted play, pulled gap, bands
//	widths.go    widths of pins, tails and sockets
//	seat.go      where the tail board comes to rest
//	engage.go    is there a joint at all: what stands in what once it is home
//	section.go   the closed joint cut level, and its round ends
//	limits.go    what a set-up must stay within
//	router.go    depth of cut as projection and as turns of the adjuster
//	best.go      the depth with the best chance, and those that keep the limits
//	sure.go      how sure a prediction is (law of propagation)
//	vary.go      how surely limits are kept by boards and templates that vary
//	predict.go   all of that for one set-up
//	stock        the built-in cutters and bushings
//	setting      which depths can be set, and how
//	hold         what a joint holds: slope, friction, glue, half pins
//	recommend    which cutter with which bushing, at which depth
//	run          a job of many joints: wear, control charts
//	belief       what is believed of a set-up after all that was told
//	advise       what to do next, what is wrong, what to check
//	layout       where pins and tails fall across a board
//	parts        which parts, of which sizes, make these drawers
//	shape        the joint as outlines and dimensions to draw
//	wood         species, moisture, movement, closing effort
//	effort       the joint in its wood: bands of play, closing, settling
//	seasons      a joint taken through the climates of a year
//	formula      how a formula is written down once: text, example, function
//	model        all formulas, as joint/model.md tells them
//	jointtest    the solid cases, for tests
//
// Records of this package's own formulas are in formulas_*.go.
//
// # Axes and symbols
//
// While cutting, x runs along the joint across both boards' width, y from the
// operator into the pin board, z up; y = 0 is the pin board's end. Inside
// functions lengths are plain millimetres named by these symbols:
//
//	d    cutter diameter at the tip, runout included
//	a    cutter angle between flank and axis
//	g    bushing diameter
//	P    pitch
//	St   opening width of the tail pass      Sp  of the pin pass
//	Fp   finger width of the pin pass        Ft  of the tail pass
//	K    template allowance St - Fp
//	hp   depth of cut into the pin board     ht  into the tail board
//	h    the larger of the two
//	c    play: sideways clearance, both flanks together; < 0 is interference
//	q    seat offset: inside (+) or proud (-)
//	s0   opening reach                       f0  finger reach
//
// The package is pure: no clock, no state, no text for people. Answers are
// codes and numbers. Errors are of type *Impossible.
package joint
