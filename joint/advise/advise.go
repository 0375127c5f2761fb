package advise

import (
	"fmt"
	"math"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/joint/setting"
)

// Verdict on the set-up as it stands.
type Verdict uint8

// Verdicts.
const (
	NotYetCut     Verdict = iota // no test joint at this setting
	Fits                         // stop adjusting
	TooLoose                     // play above the target's range
	TooTight                     // play below it
	SeatOff                      // play right, seat not
	EdgesOff                     // play right, edges out of line
	DepthsUnequal                // play right, boards cut to different depths
	CannotReach                  // the step that is asked for breaks a limit
)

// Tolerated errors, mm. Judgement.
const (
	SameSetting   = 0.02 // depths that count as one setting
	SeatProud     = 0.15 // planes off
	SeatInside    = 0.05
	EdgeTolerated = 0.15
	DepthsAlike   = 0.15 // difference of depths that is not worth a step
	// TooProud: from here on new boards are cut instead of planing.
	TooProud = 0.5
)

// Costs are minutes where the caller's differ from the observer's; 0 is not
// stated.
type Costs struct {
	Joint  float64
	Checks [belief.CheckCount]float64
}

// Case is a case and what its caller pays for a test joint and for checks.
type Case struct {
	belief.Case
	Costs Costs
}

// Advice is the answer.
type Advice struct {
	Posterior *belief.Posterior
	Missing   belief.Missing
	Verdict   Verdict
	Decision  Decision
	Steps     []Step
	// NextDepth is the depth with the best chance if a joint is cut now, and
	// ChanceNext that chance; not Known where too little of the set-up is.
	NextDepth  length.Length
	ChanceNext float64
	NextKnown  bool
	DepthNow   length.Length // the depth set now
	// Set is how NextDepth is set, and what chance that loses.
	Set       setting.Best
	Next      joint.Joint // at NextDepth, template moved
	Predicted joint.Fit   // after the steps
	Limits    joint.Limits
	// Stated is the play that the sizes as stated give, where they all are.
	Stated      length.Length
	StatedKnown bool
	Current     length.Length // play of the joint as last cut, or as predicted
	ByHand      bool          // the verdict is the hand's alone: by all else the play is another
	// MoveIn is how far the template is moved onto the pin board.
	MoveIn    length.Length
	NextCheck *CheckAdvice // nil where all that are open have been made
	Causes    []Cause      // the likeliest first
	Answers   []Answer     // causes that one cure puts right, told as one
	Doubts    []Doubt      // readings that are probably misread, the worst first
	Corners   []CornerDifference
	PartsOff  []PartOff
	Salvage   []Salvage
	Drift     Drift
	// Unexplained: no single cause, of whatever size, agrees with what was seen.
	Unexplained bool
	Misfits     []belief.Evidence
	OnlyFelt    bool                       // test joints were felt, and nothing of them measured
	Minutes     [belief.CheckCount]float64 // what each check costs
	// Deeper is by how much more than set joints are believed to be cut, 0 where
	// that is not likely.
	Deeper length.Length
	// SeatOffset is how much further inside the latest joint sits than the sizes
	// stated give.
	SeatOffset      length.Length
	SeatOffsetKnown bool
	// Shortfall is why there is no joint at all, with WhyNoJoint. ReachesDoubted
	// says that the template's reaches leave none, but that one was seen.
	Shortfall      joint.Shortfall
	ReachesDoubted bool
}

// On returns the advice on a case. Errors are those of belief.Observer.Of.
func On(o *belief.Observer, c *Case) (*Advice, error) {
	p, err := o.Of(&c.Case)
	if err != nil {
		return nil, fmt.Errorf("weighing what was told: %w", err)
	}
	w := newWork(o, c, p)
	w.findDepth()
	w.judge()
	w.doubts()
	w.decide()
	w.settle()
	w.settleChance()
	w.predict()
	w.withoutJoint()
	w.steps()
	w.causes()
	w.Corners = cornerDifferences(c.Cuts)
	w.PartsOff = partsOff(w.setup, c.Cuts)
	w.salvage()
	w.Drift = w.drift()
	w.DepthNow = w.depthNow
	w.Minutes, w.Deeper = w.minutes(), w.deeper
	w.SeatOffset, w.SeatOffsetKnown = w.seatOffset()
	return &w.Advice, nil
}

// work is advice in the making.
type work struct {
	Advice
	observer *belief.Observer
	given    *Case
	cuts     []belief.Cut
	target   joint.Target
	bands    joint.Bands
	setup    joint.Setup // gaps filled
	now      joint.Joint // at the depth set now
	last     *belief.Cut // the latest, nil without
	depthNow length.Length
	// current says that the latest joint was cut at the depth set now.
	current  bool
	outlooks []belief.Outlook
	spoiltBy []float64 // chance that an outlook's joint is spoilt by more than play
	playNow  float64   // as stated, at the depth set now
	// deeper is by how much more than set joints are believed to be cut.
	deeper   length.Length
	setting  float64 // standard uncertainty of play from setting the depth
	tilting  float64 // and from each mm off the latest joint's depth
	perDepth float64
	limited  limited
	planned  plan // what the decision carries out
	// placed is the chance that an outlook's joint comes out flush, aligned that its
	// edges are in line, next to that of the best.
	placed, aligned []float64
	depthOfLast     length.Length
	options         options
	// room for looking ahead
	foreseen prospects
	shares   shares
}

func newWork(o *belief.Observer, c *Case, p *belief.Posterior) *work {
	w := &work{observer: o, given: c, cuts: c.Cuts, target: c.Target, bands: c.Bands}
	w.Posterior = p
	w.setup, w.Missing = p.Setup()
	w.now, _ = joint.New(w.setup) // geometry answers even where limits are broken
	w.perDepth = w.now.PlayPerDepth()
	w.depthNow = w.setup.Depth.Deeper().Length
	w.setting, w.tilting = p.SettingPlay()
	w.Stated, w.StatedKnown = w.now.Play(), !w.Missing.Any()
	if n := len(c.Cuts); n > 0 {
		w.last = &c.Cuts[n-1]
		w.current = !w.last.Depth.PinBoard.Given || sameDepth(w.last.Depth.Deeper().Length, w.depthNow)
	}
	w.engaged()
	w.outlooks = p.Outlooks(mostOutlooks)
	w.playNow = w.now.Play().MM()
	w.deeper = w.cutDeeper()
	w.depthOfLast = w.depthNow
	if w.last != nil && w.last.Depth.PinBoard.Given {
		w.depthOfLast = w.last.Depth.Deeper().Length
	}
	n := len(w.outlooks)
	w.spoiltBy, w.placed, w.aligned = make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range w.outlooks {
		w.spoiltBy[i] = w.spoilt(&w.outlooks[i])
	}
	w.inPlace()
	w.OnlyFelt = onlyFelt(c.Cuts)
	return w
}

// mostOutlooks is how many ways in which things may be are looked ahead from.
const mostOutlooks = 16

func sameDepth(a, b length.Length) bool { return math.Abs((a - b).MM()) <= SameSetting }

// onlyFelt: how far a joint went in is no more than a feel.
func onlyFelt(cuts []belief.Cut) bool {
	felt := false
	for i := range cuts {
		m := &cuts[i].Measured
		if cuts[i].PulledGap.Given || m.PinSocketWidest.Given || m.TailSocketWidest.Given {
			return false
		}
		felt = felt || cuts[i].Feel != belief.FeelNone || cuts[i].WentIn.Given
	}
	return felt
}
