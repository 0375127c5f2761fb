package formula

import (
	"slices"
	"strings"
)

// shared are the symbols that mean the same in every chapter.
var shared = []Symbol{
	{"d", "mm", "diameter that the cutter's tip sweeps, runout included"},
	{"a", "deg", "cutter angle between flank and axis, one side"},
	{"g", "mm", "bushing diameter, outside"},
	{"P", "mm", "pitch of the template's openings"},
	{"S", "mm", "opening of a one-piece template"},
	{"S_t", "mm", "opening of the tail pass"},
	{"S_p", "mm", "opening of the pin pass"},
	{"F_t", "mm", "finger of the tail pass"},
	{"F_p", "mm", "finger of the pin pass"},
	{"K", "mm", "template allowance, S_t - F_p"},
	{"h", "mm", "depth of cut, the deeper of both boards'"},
	{"h_p", "mm", "depth of cut into the pin board"},
	{"h_t", "mm", "depth of cut into the tail board"},
	{"u", "mm", "height above the tip, which cuts the socket's floor"},
	{"c", "mm", "play, both flanks together; < 0: interference"},
	{"c*", "mm", "play that is wanted"},
	{"b", "mm", "what test cuts taught to add to play"},
	{"q", "mm", "seat offset: inside (+) or proud (-)"},
	{"s0", "mm", "opening reach: y of the opening's deepest point"},
	{"f0", "mm", "finger reach: how far the finger's tip stands out"},
	{"ex", "mm", "offset of the cutter's axis from the bushing's, along the joint"},
	{"ey", "mm", "the same, towards the pin board"},
	{"t_p", "mm", "thickness of the pin board"},
	{"t_t", "mm", "thickness of the tail board"},
	{"W", "mm", "width of the boards, across the joint"},
	{"m", "mm", "error of the side stop"},
	{"T", "mm", "thickness of the template"},
	{"L", "mm", "length of the bushing's barrel"},
	{"CL", "mm", "cutting length: height of the flank above the tip"},
	{"n", "1", "how many"},
	{"mu", "1", "coefficient of friction"},
	{"u_c", "mm", "standard uncertainty of play"},
	{"c_lo", "mm", "least play that is good"},
	{"c_hi", "mm", "most play that is good"},
}

// Shared returns the symbols that every chapter shares.
func Shared() []Symbol { return slices.Clone(shared) }

// Symbols returns shared symbols by their names, one space between, and after
// them those of the formula's own.
func Symbols(names string, own ...Symbol) []Symbol {
	var all []Symbol
	for _, name := range strings.Fields(names) {
		at := -1
		for i := range shared {
			if shared[i].Name == name {
				at = i
			}
		}
		if at < 0 { // Check says so
			all = append(all, Symbol{Name: name})
			continue
		}
		all = append(all, shared[at])
	}
	return append(all, own...)
}

// Own returns a symbol of a formula's own.
func Own(name, unit, meaning string) Symbol { return Symbol{Name: name, Unit: unit, Meaning: meaning} }
