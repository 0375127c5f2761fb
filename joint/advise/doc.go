// Package advise is what to do next about a set-up, given what is believed of
// it: cut at a depth, make a check, change something else, or stop.
//
// The action with the least expected minutes until a joint fits is taken. All
// answers about one case come from one posterior (package belief) and one
// decision, so no two of them contradict each other.
//
//	advise.go    the answer as a whole
//	adviser.go   the same, nothing told being answered once
//	decide.go    which action, and its chance and minutes
//	actions.go   plans: what is put right, moved and cut
//	place.go     whether seat and edges come out right
//	checks.go    which checks are open, what they read
//	value.go     what a check is worth
//	prospect.go  what it is likely to read
//	ahead.go     the best action once it is read
//	chance.go    the normal distribution, roughly
//	outcomes.go  what a check may show
//	depth.go     the depth: best chance within all limits
//	nojoint.go   whether there is a joint at all
//	settable.go  the depths that the router can be set to
//	steps.go     the steps that carry the decision out
//	cure.go      causes, and what would put each right
//	doubt.go     readings that are probably misread
//	corners.go   corners that differ
//	salvage.go   what can be done with boards already cut, drift and grinding
//	told.go      figures told beside
//
// The source of the method is joint/model.md, One belief.
package advise
