// Package run is the chapter on a job of many joints: what the pulled gap of one
// joint after the other tells of the cutter's wear, and whether something has
// changed.
//
//	run.go     wear as a slope with its standard error; when to look again
//	chart.go   control charts: individuals and EWMA
//
// A cutter that wears loses diameter, k for each metre cut, l metres a joint, so
// with joint number n
//
//	c(n) = c0 - 2 k l n       w(n) = w0 - (k l / tan a) n       seat: - k l n
//
// Wear tightens. There is no source for k: it is learned from the readings,
// never assumed. A dull edge crushes and fuzzes too, which no line here shows. A
// resharpened cutter is a new one.
//
// Source: joint/model.md, section 16.
package run

import (
	"cmp"
	"math"
	"slices"

	"snugtail/joint"
	"snugtail/joint/length"
)

// Reading is what was read of one joint of a run, all at one depth of cut that
// was not touched in between.
type Reading struct {
	Joint int // its number in the run
	Gap   length.Length
	// FromWidths says that the gap follows from measured widths, w = c/(2 tan a),
	// and may be 0 or below. A pulled gap reads no less than 0: a 0 says "no play",
	// which is a signal by itself and no number to take a mean of.
	FromWidths bool
}

// Closed reports whether the reading is a signal and not a number.
func (r *Reading) Closed() bool { return !r.FromWidths && r.Gap.Rounded() <= 0 }

// inOrder returns the readings that are numbers, by joint.
func inOrder(readings []Reading) []Reading {
	numbers := slices.DeleteFunc(slices.Clone(readings), func(r Reading) bool { return r.Closed() })
	slices.SortStableFunc(numbers, func(a, b Reading) int { return cmp.Compare(a.Joint, b.Joint) })
	return numbers
}

// SeenFrom is the least number of standard errors of a slope that is seen.
const SeenFrom = 2

// Trend is the slope of the gap on the joint's number, by least squares.
type Trend struct {
	Slope         length.Length // for each joint; < 0: the gap closes, as by wear
	StandardError length.Length
	Scatter       length.Length // of one reading about the line, standard deviation
	Readings      int
	joint         float64 // the mean of both, on the line
	gap           length.Length
	// Seen says that there is wear to be seen: a slope below 0 by SeenFrom standard
	// errors or more.
	Seen bool
}

// TrendOf returns the trend of a run of readings, whose own standard uncertainty
// is u; ok is false with fewer than three that are numbers, or all of one joint.
// A line through few readings has less scatter than it should by chance: below
// LeastReadings of them the scatter counts as no less than u (judgement).
//
// slope = sum (n - n-bar)(w - w-bar) / S,  error = s / sqrt(S),
// S = sum (n - n-bar)^2,  s^2 = sum (w - line)^2 / (N - 2): any textbook of
// statistics.
func TrendOf(readings []Reading, u length.Length) (t Trend, ok bool) {
	all := inOrder(readings)
	n, w := means(all)
	var spread, together float64
	for i := range all {
		dn := float64(all[i].Joint) - n
		spread += dn * dn
		together += dn * (all[i].Gap.MM() - w)
	}
	if len(all) < 3 || spread == 0 {
		return Trend{}, false
	}
	slope, squares := together/spread, 0.0
	for i := range all {
		off := all[i].Gap.MM() - w - slope*(float64(all[i].Joint)-n)
		squares += off * off
	}
	scatter := math.Sqrt(squares / float64(len(all)-2))
	if len(all) < LeastReadings {
		scatter = math.Max(scatter, u.MM())
	}
	t = Trend{
		Slope: length.Length(slope), StandardError: length.Length(scatter / math.Sqrt(spread)),
		Scatter: length.Length(scatter), Readings: len(all), joint: n, gap: length.Length(w),
	}
	t.Seen = -t.Slope.Rounded() > 0 && -slope >= SeenFrom*t.StandardError.MM()
	return t, true
}

func means(all []Reading) (n, w float64) {
	for i := range all {
		n += float64(all[i].Joint)
		w += all[i].Gap.MM()
	}
	count := float64(max(1, len(all)))
	return n / count, w / count
}

// GapAt returns the gap of a joint on the line.
func (t *Trend) GapAt(n int) length.Length {
	return t.gap + t.Slope*length.Length(float64(n)-t.joint)
}

// Wear returns k l, the diameter that the cutter loses with each joint:
// -slope tan a. Below 0 the joints get looser, which is no wear.
func (t *Trend) Wear(angle joint.Angle) length.Length {
	return -t.Slope * length.Length(angle.Tan())
}

// oneSided is the quantile of the normal distribution that 5 % are beyond.
const oneSided = 1.645

// LookAgainAfter returns after how many joints more to look again,
//
//	n = (c - c_lo - 1.645 u_c) / (2 k l),
//
// where one joint in twenty may have come down to play lo: c the play now, u its
// standard uncertainty, wear k l for each joint. 0: at once. ok is false without
// wear.
func LookAgainAfter(c, lo, u, wear length.Length) (joints int, ok bool) {
	if wear.Rounded() <= 0 {
		return 0, false
	}
	n := (c - lo - oneSided*u) / (2 * wear)
	const most = 1e9
	return int(math.Floor(math.Min(most, math.Max(0, float64(n))))), true
}

// Gaps returns the pulled gaps that a target's range of play stands for,
// c/(2 tan a), none below 0. They ask "does it fit?"; a chart's limits ask "has
// something changed?".
func Gaps(t joint.Target, angle joint.Angle) (from, to length.Length) {
	perGap := length.Length(2 * angle.Tan())
	return max(0, t.From/perGap), max(0, t.To/perGap)
}
