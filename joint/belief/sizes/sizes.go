// Package sizes is by how much a size may be another than it is told to be:
// distributions for every fault (sizes.go), and what sizes tools are sold in, so
// which one may have been taken instead of another (tools.go).
package sizes

import "slices"

// Lump is one part of a distribution of sizes: a normal one, mm or degrees.
type Lump struct{ Weight, Mean, SD float64 }

// List names a distribution of sizes.
type List uint8

// The distributions of sizes. Each is that of a fault that somebody would call
// for; what is smaller is tolerance.
const (
	Uneven  List = iota // one board cut deeper than the other
	Slip                // the depth moved
	Depth               // the depth scale is off what is cut
	Ground              // what a cutter lost by grinding
	Angle               // an angle off the one marked
	Axes                // bushing's axis off the cutter's
	Turned              // play gained or lost by turning the router
	Missed              // openings cut narrower
	Tilt                // one end of the template higher
	Place               // seat off, twice the template's place
	Stop                // edges off
	Hollow              // hollow or crown of a board
	Thick               // tail board thicker
	Square              // shoulder held open at one end
	Chip                // chips' thickness
	Fuzz                // play that fuzz takes from the hand
	Moved               // boards out of step over their width
	Mixed               // two set-ups' difference
	Tip                 // the cutter's stand-out from the bushing: T - L, unknown
	Base                // the template's thickness T, unknown
	Tool                // a tool off by any amount
	Opening             // opening or finger not as stated
	Skew                // seat off at one end against the middle
	Swelled             // play that swelling takes
	Lists
)

// Either mirrors lumps: the size may as well be the other way.
func Either(lumps ...Lump) []Lump {
	all := make([]Lump, 0, 2*len(lumps))
	for _, l := range lumps {
		all = append(all, Lump{l.Weight / 2, l.Mean, l.SD}, Lump{l.Weight / 2, -l.Mean, l.SD})
	}
	return all
}

// mixed is a distribution of spikes but for a share that is broad.
func mixed(spikes, broad []Lump, share float64) []Lump {
	all := make([]Lump, 0, len(spikes)+len(broad))
	for _, l := range spikes {
		all = append(all, Lump{(1 - share) * l.Weight, l.Mean, l.SD})
	}
	for _, l := range broad {
		all = append(all, Lump{share * l.Weight, l.Mean, l.SD})
	}
	return all
}

// scaled is a distribution that is so many times as likely.
func scaled(sizes []Lump, by float64) []Lump {
	all := slices.Clone(sizes)
	for i := range all {
		all[i].Weight *= by
	}
	return all
}

// Defaults are the distributions where no other is given: judgement, no source.
func Defaults() [Lists][]Lump {
	return [Lists][]Lump{
		Uneven:  {{0.5, 0.3, 0.12}, {0.5, 0.8, 0.3}},
		Slip:    {{0.5, 0.4, 0.2}, {0.5, 1.2, 0.5}},
		Depth:   Either(Lump{0.45, 0.5, 0.2}, Lump{0.40, 1.2, 0.45}, Lump{0.15, 2.5, 1.2}), // up to 1/16 in and more
		Ground:  {{0.5, 0.16, 0.07}, {0.4, 0.3, 0.09}, {0.1, 0.5, 0.12}},
		Angle:   Either(Lump{0.8, 0.8, 0.35}, Lump{0.2, 2, 1}),
		Axes:    Either(Lump{0.6, 0.2, 0.08}, Lump{0.4, 0.4, 0.15}),
		Turned:  {{0.4, 0.3, 0.15}, {0.3, 0.7, 0.3}, {0.3, -0.3, 0.15}},
		Missed:  {{0.5, 0.25, 0.12}, {0.5, 0.7, 0.3}},
		Tilt:    Either(Lump{0.6, 0.45, 0.15}, Lump{0.4, 1.0, 0.35}),
		Place:   Either(Lump{0.5, 0.5, 0.2}, Lump{0.5, 1.2, 0.45}),
		Stop:    Either(Lump{0.5, 0.5, 0.2}, Lump{0.5, 1.2, 0.45}),
		Hollow:  {{0.6, 0.45, 0.18}, {0.4, 0.9, 0.3}},
		Thick:   {{0.5, 3.5, 0.6}, {0.35, 6.35, 0.6}, {0.15, -3, 1}},
		Square:  Either(Lump{0.6, 0.4, 0.18}, Lump{0.4, 1.0, 0.4}),
		Chip:    {{0.6, 0.35, 0.12}, {0.4, 0.7, 0.2}},
		Fuzz:    {{0.6, 0.12, 0.05}, {0.4, 0.25, 0.08}},
		Moved:   {{0.6, 0.25, 0.1}, {0.4, 0.55, 0.2}},
		Mixed:   Either(Lump{0.5, 0.4, 0.2}, Lump{0.5, 1.0, 0.4}),
		Tip:     {{0.2, 1.8, 0.6}, {0.4, 3.2, 0.9}, {0.4, 5.5, 1.6}},
		Base:    {{0.34, 6.5, 1}, {0.33, 9.5, 1.5}, {0.33, 13.5, 1.8}}, // 5 to 16 mm
		Tool:    Either(Lump{0.7, 0.35, 0.2}, Lump{0.3, 1.0, 0.6}),
		Opening: Either(Lump{0.6, 0.15, 0.08}, Lump{0.4, 0.4, 0.2}),
		Skew:    Either(Lump{0.6, 0.35, 0.15}, Lump{0.4, 0.8, 0.3}),
		Swelled: {{0.6, 0.12, 0.05}, {0.4, 0.25, 0.08}},
	}
}
