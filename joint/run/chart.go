package run

import (
	"cmp"
	"math"
	"slices"

	"snugtail/joint/length"
)

// Constants of the control charts, from memory of the NIST/SEMATECH e-Handbook
// of Statistical Methods, 6.3.2.2 and 6.3.2.4. A test computes them anew.
const (
	Individuals = 2.66  // 3/d2: limits of one reading, in mean moving ranges
	rangeLimit  = 3.267 // D4: the upper limit of a moving range
	rangePerSD  = 1.128 // d2: mean moving range of two, in standard deviations
	// Weight of the newest reading in the weighted mean.
	Weight = 0.2
	// LeastReadings before there are limits, FirmReadings before they are firm.
	LeastReadings = 8
	FirmReadings  = 20
)

// SignalCode says what in a run is out of the ordinary.
type SignalCode uint8

// Signals: stop, measure depth and widths. Within all limits nothing is
// corrected: correcting every reading by its full gap doubles the variance.
const (
	SignalClosed SignalCode = iota // a pulled gap of 0: no play left
	SignalGap                      // a reading beyond the limits of individuals
	SignalRange                    // a step to the next reading beyond the limit
	SignalMean                     // the weighted mean beyond its limits
)

// Signal is where in a run something is out of the ordinary.
type Signal struct {
	Code  SignalCode
	Joint int
	Value length.Length // the reading, the step or the weighted mean
}

// Chart is a run of readings with its control limits.
type Chart struct {
	Readings int  // that are numbers
	Limited  bool // there are enough of them for limits
	Firm     bool // and for firm ones

	Mean         length.Length
	Lower, Upper length.Length // of a reading: mean -+ 2.66 mean moving range
	Range        length.Length // mean moving range
	RangeUpper   length.Length // of a moving range: 3.267 of them
	Scatter      length.Length // standard deviation of a reading: Range / d2
	// MeanLower and MeanUpper of the exponentially weighted moving average,
	// z = 0.2 w + 0.8 z before, from the mean on: mean -+ 3 s sqrt(0.2/1.8), which
	// is -+ s. It finds a step of one s in about 10 readings, the individuals in
	// about 44.
	MeanLower, MeanUpper length.Length
	Weighted             []length.Length // z, reading by reading
	Signals              []Signal        // in the order of joints, as far as there are limits
}

// ChartOf returns the chart of a run. Without LeastReadings readings that are
// numbers it has no limits, and only closed joints are signals.
func ChartOf(readings []Reading) Chart {
	all := inOrder(readings)
	c := Chart{Readings: len(all), Limited: len(all) >= LeastReadings, Firm: len(all) >= FirmReadings}
	if c.Limited {
		c.limit(all)
	}
	c.watch(readings, all)
	return c
}

func (c *Chart) limit(all []Reading) {
	_, mean := means(all)
	moving := 0.0
	for i := 1; i < len(all); i++ {
		moving += math.Abs((all[i].Gap - all[i-1].Gap).MM())
	}
	moving /= float64(len(all) - 1)
	half := func(x float64) (low, high length.Length) { return length.Length(mean - x), length.Length(mean + x) }
	c.Mean, c.Range, c.Scatter = length.Length(mean), length.Length(moving), length.Length(moving/rangePerSD)
	c.Lower, c.Upper = half(Individuals * moving)
	c.RangeUpper = length.Length(rangeLimit * moving)
	c.MeanLower, c.MeanUpper = half(3 * c.Scatter.MM() * math.Sqrt(Weight/(2-Weight)))
	c.Weighted = weighted(all, c.Mean, Weight)
}

// weighted is the exponentially weighted moving average from start on.
func weighted(all []Reading, start, weight length.Length) []length.Length {
	z := make([]length.Length, len(all))
	for i := range all {
		start = weight*all[i].Gap + (1-weight)*start
		z[i] = start
	}
	return z
}

// watch sets the signals: those of the limits, and each closed joint, which no
// limit is needed for.
func (c *Chart) watch(readings, all []Reading) {
	for i := range all {
		if !c.Limited {
			break
		}
		c.signal(SignalGap, &all[i], all[i].Gap, c.Lower, c.Upper)
		if i > 0 {
			step := length.Length(math.Abs((all[i].Gap - all[i-1].Gap).MM()))
			c.signal(SignalRange, &all[i], step, 0, c.RangeUpper)
		}
		c.signal(SignalMean, &all[i], c.Weighted[i], c.MeanLower, c.MeanUpper)
	}
	for i := range readings {
		if readings[i].Closed() {
			c.Signals = append(c.Signals, Signal{SignalClosed, readings[i].Joint, 0})
		}
	}
	slices.SortStableFunc(c.Signals, func(a, b Signal) int { return cmp.Compare(a.Joint, b.Joint) })
}

func (c *Chart) signal(code SignalCode, r *Reading, value, low, high length.Length) {
	if v := value.Rounded(); v < low.Rounded() || v > high.Rounded() {
		c.Signals = append(c.Signals, Signal{code, r.Joint, value})
	}
}
