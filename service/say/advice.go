package say

import (
	"slices"

	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// What to do next, as it is read out on the phone.

// FirstLine is what to do, with direction and amount.
func (w Words) FirstLine(a *advise.Advice) message.Message {
	d := &a.Decision
	switch d.Do {
	case advise.DoStop:
		return toStop(d)
	case advise.DoCheck:
		return message.New("decision.check", checkShort(d.Check).Beside(), message.Number("minutes", minutesOf(a))).As(again(a))
	case advise.DoChange:
		return w.toChange(a)
	}
	return toCut(a)
}

// toStop keeps a depth at which a joint fitted, with what limit it breaks.
func toStop(d *advise.Decision) message.Message {
	return withLimit(message.New("decision.stop", message.Length("depth", d.Depth).Beside()), d.Limit)
}

// withLimit adds to a sentence on a depth the limit that is broken there, if it is.
func withLimit(m message.Message, l joint.Limit) message.Message {
	if !l.Broken() {
		return m
	}
	return m.With(message.Said("limit", BrokenLimit(l)))
}

// toChange is the first sentence of the first step or, where there is no joint,
// why: what would help is told by the step.
func (w Words) toChange(a *advise.Advice) message.Message {
	first := &a.Steps[0]
	if first.Fix == advise.FixReaches {
		short := &a.Shortfall
		return message.New("decision.change", message.Word("limit", "no_joint_limit", codes.Limits[short.Limit]), message.Length("by", short.By)).As("no_joint")
	}
	return w.Step(first, a).First()
}

// checkShort is a check in a few words.
func checkShort(c belief.Check) message.Param {
	return message.Word("check", "check_short", codes.Checks[c])
}

// again is the state of a check whose reading is doubted.
func again(a *advise.Advice) string {
	if a.NextCheck != nil && a.NextCheck.Again {
		return "again"
	}
	return "once"
}

func minutesOf(a *advise.Advice) float64 {
	if a.NextCheck != nil {
		return a.NextCheck.Minutes
	}
	return 0
}

func toCut(a *advise.Advice) message.Message {
	m := message.New("decision.cut", message.Length("depth", a.Decision.Depth).Beside()).As("at")
	for i := range a.Steps {
		switch s := &a.Steps[i]; s.Action {
		case advise.LowerCutter:
			m = m.With(message.Length("by", s.Amount)).As("deeper")
		case advise.RaiseCutter:
			m = m.With(message.Length("by", s.Amount)).As("shallower")
		}
	}
	furthest, _ := a.Limits.Furthest()
	return withLimit(m, furthest)
}

// Summary is the first line, how sure it is, and what the joint is like now.
func (w Words) Summary(a *advise.Advice) message.Message {
	return message.Sentences(w.FirstLine(a), now(a), nextChance(a))
}

// nextChance is how sure it is that the next joint fits.
func nextChance(a *advise.Advice) message.Message {
	d := &a.Decision
	m := message.New("next_chance", message.Chance("chance", d.Chance))
	switch {
	case d.Do == advise.DoStop, d.Do != advise.DoCut && d.Why == advise.WhyNoJoint:
		return message.Message{}
	case d.Do != advise.DoCut:
		return m.As("afterwards")
	case d.Why == advise.WhyFirst:
		return m.As("first")
	}
	return m.As("next")
}

// now is what the joint last cut is like.
func now(a *advise.Advice) message.Message {
	code := "joint_now"
	if a.ByHand {
		code = "joint_now_by_hand"
	}
	m := message.New(code).As(codes.Verdicts[a.Verdict])
	switch a.Verdict {
	case advise.NotYetCut, advise.CannotReach:
		return message.Message{}
	case advise.Fits, advise.TooLoose, advise.TooTight:
		return m.With(message.Length("play", a.Current))
	}
	return m
}

// DecidedBy says what decided.
func DecidedBy(a *advise.Advice) message.Message {
	d := &a.Decision
	m := message.New("decided_by." + codes.Whys[d.Why])
	switch d.Why {
	case advise.WhyCause:
		return m.With(causeName(d.Cause))
	case advise.WhyLimit:
		return m.With(message.Said("limit", BrokenLimit(d.Limit)))
	case advise.WhyDoubted:
		return m.With(message.Said("reading", Evidence(d.Doubt.Evidence)))
	}
	return m
}

// causeName names a cause without its size.
func causeName(c belief.Code) message.Param {
	return message.Word("cause", "cause_name", codes.Causes[c])
}

// Doubt asks to read again what is probably misread.
func Doubt(d *advise.Doubt) message.Message {
	return message.New("doubt", message.Said("reading", Evidence(d.Evidence)), message.Chance("chance", d.Chance).Beside())
}

// Corners says which corners differ, and what that points to.
func Corners(c *advise.CornerDifference) message.Message {
	return message.New("corners_differ", message.Word("of", "corners_differ_of", codes.Seen[c.Seen]).Beside(),
		message.Length("by", max(c.Amount, -c.Amount)), message.Length("within", 2*c.Error)).As(codes.Between[c.Sides])
}

// DiagnosisSummary is what to do, and what is likely wrong.
func (w Words) DiagnosisSummary(a *advise.Advice, seen bool) message.Message {
	if !seen {
		first := &a.Causes[0]
		return message.Sentences(message.New("nothing_seen", message.Said("cause", Cause(first)), message.Chance("chance", first.Probability)), w.FirstLine(a))
	}
	return message.Sentences(w.FirstLine(a), likely(a))
}

func likely(a *advise.Advice) message.Message {
	first := &a.Answers[0]
	m := message.New("likely_cause", message.Said("cause", Answer(a, first)), message.Chance("chance", first.Probability))
	switch {
	case a.Unexplained:
		return m.As("unexplained")
	case first.Probability >= 0.5 || len(a.Answers) < 2:
		return m.As("clear")
	}
	second := &a.Answers[1]
	return m.With(message.Said("second", Answer(a, second)), message.Chance("second_chance", second.Probability)).As("open")
}

// groups are the causes by which those that are told as one are named.
var groups = [...]belief.Code{belief.CauseDepthOff, belief.CauseTemplatePosition, belief.CauseChipsUnder}

// Answer names causes that are told as one.
func Answer(a *advise.Advice, g *advise.Answer) message.Message {
	if len(g.Codes) > 1 {
		for _, code := range groups {
			if slices.Contains(g.Codes, code) {
				return message.New("cause_group." + codes.Causes[code])
			}
		}
	}
	for i := range a.Causes {
		if a.Causes[i].Code == g.Codes[0] {
			return Cause(&a.Causes[i])
		}
	}
	return CauseName(g.Codes[0])
}

// Unexplained says what follows from readings that no cause agrees with.
func Unexplained(misfits int) message.Message {
	if misfits == 0 {
		return message.New("unexplained").As("taken_together")
	}
	return message.New("unexplained").As("by_the_likeliest")
}
