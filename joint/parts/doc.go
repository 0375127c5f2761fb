// Package parts answers the planner's question: which parts, of which sizes,
// make these drawers? The cutter decides the depth of cut, and the depth
// decides how long the sides are sawn, so the joint is chosen for all drawers
// of a job before its stock is cut.
//
// New is the whole of it. Its chapters:
//
//	drawer.go   what a drawer is to be: sizes, stock, back, groove, lip
//	refuse.go   what keeps one from being made; the others are answered
//	choose.go   which cutters serve a joint
//	cover.go    the fewest set-ups for all drawers; assign.go who gets which
//	make.go     every part's size, and what is worked on it
//	seasons.go  what the house's year does to a drawer
//	warn.go     what would spoil a drawer that can be made
//	cures.go    what cures that, each tried by making the drawer again
//	sawn.go     the reverse: sides already sawn ask for a depth
//	setups.go   what to set up, in which order, and the test stock
//	totals.go   stock and labour in all
//
// # Formulas
//
// With W, H, D a drawer's outside size across, up and front to back, t the
// measured thickness of front (f), back (b) and sides (s), and h = min(hp, ht)
// the depth that the tails go into the pin board (model, section 12):
//
//	half-blind back   sides = D - (tf - hf) - (tb - hb)     back = W
//	housed back       sides = D - (tf - hf)                 back = W - 2 ts + 2 n
//	butted back       sides = D - (tf - hf)                 back = W - 2 ts
//
// n is the depth of the housings; a housed or butted back stands a setback z
// inside the ends of the sides (z = 0 with a half-blind back):
//
//	inside across = W - 2 ts        inside front to back = D - tf - tb - z
//
// A bottom of free room e in grooves of depth m, all round or slid in under a
// back that is so much lower:
//
//	all round      W - 2 ts + 2 (m - e)  by  D - tf - tb - z + 2 (m - e)
//	under the back W - 2 ts + 2 (m - e)  by  D - tf - z + (m - e)
//
// A lipped front is so much longer, and higher, than the drawer behind it; its
// lip counts to D. Sides sawn L long need, with half-blind joints at both ends
// or at the front alone,
//
//	h = (L - D + tf + tb) / 2       h = L - D + tf
//
// The sides' outside faces are taken flush with the pin boards' ends: a seat
// offset q leaves the drawer 2 q narrower over its sides.
package parts
