package say

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/joint/run"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// printers write in every language, of a bushing and of a bearing.
func printers(t *testing.T) []message.Printer {
	t.Helper()
	all, err := message.Load()
	require.NoError(t, err)
	var out []message.Printer
	for _, c := range all.All() {
		out = append(out, message.Printer{Catalogue: c}, message.Printer{Catalogue: c, Unit: length.UnitInch, Variant: Bearing})
	}
	return out
}

// assertSaid: there is a sentence for it in every language, and all that the
// sentence names is known.
func assertSaid(t *testing.T, all []message.Printer, m message.Message) {
	t.Helper()
	for _, p := range all {
		text := p.Text(m)
		assert.NotEmpty(t, text, "%s: %+v", p.Language, m)
		assert.NotContains(t, text, "[", p.Language)
	}
}

// Every step is said in every language, whatever is known for it.
func TestStepsAreSaid(t *testing.T) {
	all, w := printers(t), Words{}
	a := &advise.Advice{}
	for action := range advise.StopAdjusting + 1 {
		for _, known := range []bool{false, true} {
			for _, size := range []length.Length{-2, 2} {
				if action != advise.Measure && action != advise.StopAndFix {
					assertSaid(t, all, w.Step(&advise.Step{
						Action: action, Amount: 0.5, AmountKnown: known, Depth: 11, DepthKnown: known, Turns: 0.4, TurnsKnown: known, Size: size, SizeKnown: known,
					}, a))
				}
			}
		}
	}
	assertSaid(t, all, w.Step(&advise.Step{Action: advise.ChangeCutter, Angle: 14}, a))
	assertSaid(t, all, w.Step(&advise.Step{Action: advise.Measure, Reason: advise.ReasonSetting}, a))
	assertSaid(t, all, w.Step(&advise.Step{Action: advise.StopAndFix, Reason: advise.ReasonHalfPitch, Fix: advise.FixFace}, a))
	assertSaid(t, all, w.Step(&advise.Step{Action: advise.RecutTest, Depth: 11, DepthKnown: true}, &advise.Advice{Deeper: 0.2}))
	for fix := advise.FixLimit; fix < advise.FixReaches; fix++ {
		assertSaid(t, all, w.Step(&advise.Step{Action: advise.StopAndFix, Fix: fix, Limit: joint.Limit{Margin: -1}}, a))
	}
	twice := &advise.Advice{Next: twoPositions(t)}
	for _, action := range []advise.Action{advise.MoveTemplateIn, advise.MoveTemplateOut} {
		m := w.Step(&advise.Step{Action: action, Amount: 0.5}, twice)
		assert.Equal(t, "each_pass", m.State)
		assertSaid(t, all, m)
	}
}

func twoPositions(t *testing.T) joint.Joint {
	t.Helper()
	size := func(x length.Length) length.Size { return length.Size{Length: x, Given: true} }
	pass := joint.Pass{Opening: size(14), Finger: size(8)}
	j, err := joint.New(joint.Setup{
		Template: joint.Template{Kind: joint.TwoPosition, Pitch: size(22), Pin: pass, Tail: pass}, Bushing: joint.Bushing{Diameter: size(11)},
		Cutter: joint.Cutter{Diameter: size(12.7), Angle: 14}, Depth: joint.EqualDepth(size(9)),
	})
	require.NoError(t, err)
	return j
}

// What is done stands alone as a decision, without what comes with it.
func TestFirstSentenceOfAStep(t *testing.T) {
	p, w := printers(t)[0], Words{}
	a := &advise.Advice{Decision: advise.Decision{Do: advise.DoChange}}
	for want, step := range map[string]advise.Step{
		"Lower the cutter (deeper) by about 0.5 mm from where it is set now.":                                     {Action: advise.LowerCutter, Amount: 0.5},
		"Fit a cutter (bit) of 12 mm at its tip, measured.":                                                       {Action: advise.ChangeCutter, Size: 12, SizeKnown: true},
		"Set the tail board's side stop 1 mm closer to the pin board's: half a pitch apart, no more and no less.": {Action: advise.SetSideStop, Amount: 1, Size: 1},
		"Fit a sharp cutter.": {Action: advise.StopAndFix, Fix: advise.FixDullCutter},
		"The edges are off by about half a pitch: a board was at the wrong stop or turned round.": {Action: advise.StopAndFix, Reason: advise.ReasonHalfPitch},
	} {
		a.Steps = []advise.Step{step}
		assert.Equal(t, want, p.Text(w.FirstLine(a)))
		assert.Greater(t, len(p.Text(w.Step(&step, a))), len(want))
	}
}

// Every code of advice and of what is heard has its sentences.
func TestAdviceIsSaid(t *testing.T) {
	all, w := printers(t), Words{}
	limit := joint.Limit{Margin: -1}
	for why := range advise.Why(len(codes.Whys)) {
		if why != advise.WhyCause && why != advise.WhyDoubted {
			assertSaid(t, all, DecidedBy(&advise.Advice{Decision: advise.Decision{Why: why, Limit: limit}}))
		}
	}
	for verdict := range advise.Verdict(len(codes.Verdicts)) {
		for _, do := range []advise.Do{advise.DoCut, advise.DoStop} {
			a := &advise.Advice{Verdict: verdict, Decision: advise.Decision{Do: do, Depth: 11, Chance: 0.7, Why: advise.WhyBestChance}}
			assertSaid(t, all, w.Summary(a))
		}
	}
	for code := range advise.SalvageCode(len(codes.Salvages)) {
		for _, possible := range []bool{false, true} {
			assertSaid(t, all, Salvage(&advise.Salvage{Code: code, Possible: possible, Amount: 1, AmountKnown: true, Limit: limit}))
		}
	}
	for part := range advise.Part(len(codes.Measured)) {
		assertSaid(t, all, PartOff(&advise.PartOff{Part: part, Measured: 1, Expected: 2}))
	}
	for sides := range advise.CornerSides(len(codes.Between)) {
		for _, seen := range []belief.Seen{belief.SeenSeat, belief.SeenEdgeStep, belief.SeenPulledGap} {
			assertSaid(t, all, Corners(&advise.CornerDifference{Seen: seen, Sides: sides, Amount: -1, Error: 0.1}))
		}
	}
	for _, known := range []bool{false, true} {
		assertSaid(t, all, Drift(advise.Drift{Known: known, Shallower: 0.1, Deeper: 0.2, Joints: 1}))
	}
	for _, code := range groups {
		assertSaid(t, all, Answer(&advise.Advice{}, &advise.Answer{Codes: []belief.Code{code, code}}))
	}
	for _, misfits := range []int{0, 1} {
		assertSaid(t, all, Unexplained(misfits))
	}
}

func TestHeard(t *testing.T) {
	all := printers(t)
	assertSaid(t, all, Heard(&belief.Case{}))
	gap := length.Size{Length: 0.1, Given: true}
	for feel := belief.FeelNone + 1; int(feel) <= len(codes.Feels); feel++ {
		seen := belief.Sight{Feel: feel, PulledGap: gap, ShoulderGap: gap, WentIn: gap, Seat: gap, EdgeStep: gap, Measured: belief.Measured{PinWidest: gap}}
		c := &belief.Case{Cuts: []belief.Cut{{Sight: seen, Along: make([]belief.Place, 2)}}}
		c.Setup.Bushing.Diameter, c.Setup.Cutter.Diameter, c.Setup.Cutter.Angle = gap, gap, 14
		c.Setup.Depth.PinBoard, c.Cuts[0].Depth.PinBoard = gap, gap
		assertSaid(t, all, Heard(c))
	}
	c := &belief.Case{Cuts: make([]belief.Cut, 3)}
	c.Cuts[2].Sight = belief.Sight{Feel: belief.FeelRattles, PulledGap: gap}
	assert.Equal(t, "Heard: test joint 3, rattles, gap 0.1 mm.", all[0].Text(Heard(c)))
}

func TestRunsAreSaid(t *testing.T) {
	all := printers(t)
	for i := range 16 {
		r := &Run{TrendKnown: i&1 != 0, LookAgain: i&2 != 0, LookAgainAt: 40}
		r.Chart.Limited, r.Chart.Firm, r.Trend.Seen = i&4 != 0, i&8 != 0, i&2 != 0
		r.Chart.Readings = i
		assertSaid(t, all, RunText(r))
		r.Chart.Signals = make([]run.Signal, 1)
		assertSaid(t, all, RunText(r))
	}
	for code := range codes.Signals {
		assertSaid(t, all, Signal(&run.Signal{Code: run.SignalCode(code), Joint: 12, Value: 0.4}))
	}
	assertSaid(t, all, ChartRange(&ChartToFill{From: 0.1, To: 0.3, Aim: 0.2}))
}
