package joint

import (
	"cmp"
	"math"
	"slices"

	"snugtail/joint/length"
)

// Fit is what a joint is expected to be like.
type Fit struct {
	Play            length.Length
	Band            Band
	Standard        length.Length // standard uncertainty of play
	Low, High       length.Length // the 95 % range
	Probability     BandProbability
	InTarget        float64
	PulledGap       length.Length
	PulledGapKnown  bool
	Seat            Seat
	EdgeStep        length.Length
	ShoulderGap     length.Length
	FloorGap        length.Length
	FirstTouch      length.Length
	FirstTouchKnown bool
	Budget          Budget
	// Shortfall says whether there is no joint at all. Then Band is NoJoint, its
	// probability 1, InTarget 0 and no depth worth trying; play and gaps are what
	// the formulas say, and mean nothing.
	Shortfall Shortfall
}

// Prediction is everything that follows from a set-up before wood is cut.
type Prediction struct {
	Joint          Joint
	Fit            Fit
	Widths         Widths
	WidthsKnown    bool
	Limits         Limits
	DepthForTarget length.Length // not worth trying where Fit.Shortfall.NoJoint
	PlayPerTenth   length.Length // change of play for 0.1 mm of depth
	Projection     Projection
}

// Predict predicts the joint that s cuts. Errors are those of New.
func Predict(s Setup, target Target, bands Bands) (Prediction, error) {
	j, err := New(s)
	if err != nil {
		return Prediction{}, err
	}
	return j.Predict(target, bands), nil
}

// Predict predicts the joint.
func (j *Joint) Predict(target Target, bands Bands) Prediction {
	p := Prediction{
		Joint:          *j,
		Fit:            j.Fit(target, bands),
		Limits:         j.Limits(),
		DepthForTarget: j.DepthFor(target.Play),
		PlayPerTenth:   length.Length(0.1 * j.PlayPerDepth()),
		Projection:     j.Projection(),
	}
	p.Widths, p.WidthsKnown = j.Widths()
	return p
}

// AtTarget returns the joint at the depth for the target, whether it can be cut
// or not: see its Limits.
func (p *Prediction) AtTarget() Joint { return p.Joint.atDepth(p.DepthForTarget.MM()) }

// Fit returns what the joint is expected to be like, before any test cut.
func (j *Joint) Fit(target Target, bands Bands) Fit {
	f := j.rigidFit(j.Play(), bands)
	f.Budget = j.Budget()
	spread := j.spread(f.Budget, true)
	low, high := spread.Range95()
	f.Standard, f.Low, f.High = length.Length(spread.SD()), length.Length(low), length.Length(high)
	chances(&f, spread, target, bands)
	return f
}

// chances sets the probabilities, with a distribution of play, unless there is
// no joint.
func chances[D Distribution](f *Fit, d D, target Target, bands Bands) {
	if f.Shortfall.NoJoint {
		f.Probability[NoJoint] = 1
		return
	}
	f.Probability = Probabilities(d, bands)
	f.InTarget = InTarget(d, target)
}

// PlayDistribution is a distribution of play with its mean and spread.
type PlayDistribution interface {
	Distribution
	SD() length.Length
	Range95() (low, high length.Length)
}

// FitWith returns what the joint is expected to be like when the distribution
// of its play is not that of its Spread but has been learned.
func (j *Joint) FitWith(d PlayDistribution, target Target, bands Bands) Fit {
	f := j.rigidFit(j.Play(), bands)
	f.Budget = j.Budget()
	f.Standard = d.SD()
	f.Low, f.High = d.Range95()
	chances(&f, d, target, bands)
	return f
}

// rigidFit returns the part of the fit that play c alone decides.
func (j *Joint) rigidFit(c length.Length, bands Bands) Fit {
	f := Fit{
		Play:        c,
		Band:        bands.Of(c),
		EdgeStep:    j.EdgeStep(),
		ShoulderGap: j.ShoulderGap(),
		FloorGap:    j.FloorGap(),
		Seat:        j.Seat(),
	}
	f.PulledGap, f.PulledGapKnown = j.PulledGap()
	f.FirstTouch, f.FirstTouchKnown = j.FirstTouchProud()
	if f.Shortfall = j.Shortfall(); f.Shortfall.NoJoint {
		f.Band = NoJoint
	}
	return f
}

// LeastGain is the rise in the chance of a first-time fit from which measuring
// an input first is worth the while. Judgement.
const LeastGain = 0.02

// Gain is the rise in the chance that the first joint fits, cut at the depth
// for the target, if one source of uncertainty were measured.
type Gain struct {
	Source Source
	Rise   float64
}

// tossUp is how near two chances are that are told as alike. Judgement.
const tossUp = 0.1

// Likeliest returns the band with the highest probability, and after it those
// within ten points of it, likeliest first.
func (f *Fit) Likeliest() []Band {
	all := make([]Band, 0, bandCount)
	for b := range bandCount {
		all = append(all, b)
	}
	slices.SortStableFunc(all, func(a, b Band) int { return cmp.Compare(f.Probability[b], f.Probability[a]) })
	n := 1
	for n < len(all) && f.Probability[all[n]] >= f.Probability[all[0]]-tossUp {
		n++
	}
	return all[:n]
}

// MeasureFirst returns what measuring each input would gain: a caliper on
// bushing, cutter and template, a test slot for the angle, a depth read in
// the wood instead of trusted as set. Sources not worth it have a Rise of 0.
func (j *Joint) MeasureFirst(target Target) [SourceCount]Gain {
	budget := j.Budget()
	now := j.chanceAtTarget(budget, target, false)
	var gains [SourceCount]Gain
	for i := range gains {
		source := Source(i)
		gains[i].Source = source
		measured := j.measuredVariance(source)
		if source == SourceLearned || measured >= budget[i] && source != SourceCutter {
			continue // it would leave what there is, but for a cutter's history
		}
		after := budget
		after[i] = math.Min(budget[i], measured)
		if rise := j.chanceAtTarget(after, target, source == SourceCutter) - now; rise >= LeastGain {
			gains[i].Rise = rise
		}
	}
	return gains
}

// measuredVariance is the variance of play that a source keeps once measured.
func (j *Joint) measuredVariance(source Source) float64 {
	caliper := ToleranceCaliper / 2.0
	switch source {
	case SourceAngle:
		const measuredAngle = 0.1 / 2.0 // degrees: two widths of a scrap slot, judgement
		return square(j.setup.Cutter.PlayPerAngle(j.h) * measuredAngle)
	case SourceDepth:
		return square(2 * j.tanA * ToleranceDepthMeasured / 2)
	case SourceTemplate:
		if j.setup.Template.Kind == TwoPosition {
			return 2 * square(caliper)
		}
		return square(2 * caliper)
	default:
		return square(2 * caliper)
	}
}

// chanceAtTarget is the chance of a fit when the depth is set for the target.
// cutterKnown leaves no second history to weigh.
func (j *Joint) chanceAtTarget(b Budget, target Target, cutterKnown bool) float64 {
	spread := j.spread(b, false)
	if cutterKnown {
		spread = NormalSpread(0, math.Sqrt(b.Total()))
	}
	return InTarget(spread.shifted(target.Play.MM()), target)
}
