// Package wood is the chapter on wood: its species, how much moisture it holds
// in a room's air, how it swells and shrinks, what that does to a joint, and
// how hard a tight joint is to close.
//
// Start with [ByID] for a species, [Air.Moisture] for what a room's air makes
// of it, [Movement] for a joint that was cut at one moisture and is used at
// another, and [Closing] for a joint with interference.
//
//	species.go   the species table and its sources
//	notes.go     what is noted of its figures, as codes and values
//	table.go     reading the embedded table
//	nearest.go   the species id that was probably meant
//	moisture.go  equilibrium moisture content, a heated home's year
//	strain.go    swelling by species, grain and direction
//	sheet.go     plywood and fiberboard, which hardly move in their plane
//	middle.go    middle values where the species is not known
//	movement.go  play, seat and shoulder of a joint after moisture has changed
//	advice.go    what to do about it
//	closing.go   pressure, push and crush limit of a joint with interference
//
// Sources are the Wood Handbook of the Forest Products Laboratory, FPL-GTR-190
// (2010) and FPL-GTR-282 (2021), by equation and table; the table says of each
// number whether it was read or is from memory. Its numbers are averages of
// clear wood and single boards scatter: see ShrinkageScatter and its like.
// Where nothing was published the comment says "judgement".
//
// Moisture content is percent of oven-dry mass, strain a plain fraction (0.01
// is one percent), positive when the wood swells. Inside functions lengths are
// plain millimetres named by the model's symbols; pin stands for the pin board
// (the drawer front), tail for the tail board (the side).
//
// A species that is not known is the zero Wood: it takes middle values with
// their spread. A property that a known species lacks is never borrowed: what
// needs it says so.
//
// The package is pure: no clock, no state, no text for people. Errors are of type *RangeError and *MissingError; a function that
// checks several quantities joins their errors (errors.Join).
package wood
