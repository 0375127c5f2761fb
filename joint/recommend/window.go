package recommend

import (
	"snugtail/joint"
	"snugtail/joint/length"
)

// Window is which differences of diameters, d - g, can serve with a cutter's
// angle, a template and a pin board, whatever else they are:
//
//	d - g >= c* + 2 m - K                          the flare clear of the template by m
//	d - g <= (c* - K)/2 + (t_p - 1/8 in) tan a     enough lap
//	d - g <= F_p - 3 and d - g <= P - S_t - 3      enough of pin and tail at their roots
//
// the bushing's eccentricity, where it is known, taken off the flare's room.
// Source: joint/model.md, section 14, from the limits of section 7.
type Window struct {
	Difference  length.Length // of the pair, d - g
	Least, Most length.Length // Most of all that are known
	MostKnown   bool
}

// windowOf returns the window of a pair whose joint j is cut as deep as gives the
// target's play, and the limit that the pair breaks if it is outside: the one by
// which its difference is out furthest. Every mm of d - g moves the flare's room
// by 1/2 and the depth by 1/tan a.
func windowOf(j *joint.Joint, depth length.Length) (w Window, broken joint.Limit, outside bool) {
	s := j.Setup()
	w.Difference = s.Cutter.TipDiameter() - s.Bushing.Diameter.Length
	worst := length.Length(0)
	bound := func(code joint.LimitCode, margin length.Length, perDifference float64) {
		room := margin / length.Length(perDifference) // < 0: out by so much
		if code == joint.LimitFlareInTemplate {
			w.Least = w.Difference - room
		} else if most := w.Difference + room; !w.MostKnown || most < w.Most {
			w.Most, w.MostKnown = most, true
		}
		if room.Rounded() < 0 && (!outside || room < worst) {
			worst, outside = room, true
			broken = joint.Limit{Code: code, Known: true, Margin: margin}
		}
	}
	bound(joint.LimitFlareInTemplate, j.FlareClearance(depth)-joint.FlareClearance, 0.5)
	if lap, known := j.Lap(); known {
		bound(joint.LimitLap, lap-joint.LeastLap, 1/s.Cutter.Angle.Tan())
	}
	if widths, known := j.Widths(); known {
		bound(joint.LimitPinRoot, widths.PinRoot-joint.LeastRoot, 1)
		bound(joint.LimitTailRoot, widths.TailRoot-joint.LeastRoot, 1)
	}
	return w, broken, outside
}
