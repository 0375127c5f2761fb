package say

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/length"
	"snugtail/joint/setting"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// How a joint fits, and what would fit better.

// Likely says which band is the likeliest, or between which it is a toss-up.
func Likely(f *joint.Fit) message.Message {
	bands := f.Likeliest()
	if len(bands) == 1 {
		return withChance("likely", "band_likely", f, bands[0]).As("one")
	}
	named := make([]message.Message, len(bands))
	for i, band := range bands {
		named[i] = withChance("band_chance", "band", f, band)
	}
	return message.New("likely", message.List("bands", named...)).As("toss_up")
}

func withChance(code, words string, f *joint.Fit, band joint.Band) message.Message {
	return message.New(code, message.Word("band", words, codes.Bands[band]), message.Chance("chance", f.Probability[band]))
}

// Seat says where the side ends; it says nothing where that is not known.
func Seat(s joint.Seat) message.Message {
	state := codes.Seat(s)
	if !s.Known {
		return message.Message{}
	}
	return message.New("seat", message.Length("by", max(s.Offset, -s.Offset))).As(state)
}

// seated is the seat of boards that were pushed together, in a sentence of its own.
func seated(state string, s joint.Seat) message.Message {
	if !s.Known {
		return message.Message{}
	}
	return message.New("fit_seat", message.Said("seat", Seat(s))).As(state)
}

// NoJoint says why there is no joint at all, by how much, and what would help.
func NoJoint(s *joint.Shortfall) message.Message {
	m := message.New("no_joint",
		message.Word("limit", "no_joint_limit", codes.Limits[s.Limit]).Beside(), message.Length("by", s.By).Beside(),
		message.Length("finger_reach_by", s.FingerReach).Beside(), message.Length("opening_reach_by", s.OpeningReach).Beside())
	fingers, openings := s.FingerReach.Rounded() > 0, s.OpeningReach.Rounded() > 0
	switch {
	case fingers && openings:
		return m.As("both")
	case fingers:
		return m.As("fingers")
	case openings:
		return m.As("openings")
	}
	return m.As("template")
}

// FitSummary says how it fits; best is the depth to set instead, nil where none is
// advised.
func FitSummary(p *joint.Prediction, best *setting.Best) message.Message {
	return fitText(p, best, betterDepth(p, best))
}

// FitDrawn is FitSummary of the joint as it is drawn: it names no other depth.
func FitDrawn(p *joint.Prediction) message.Message { return fitText(p, nil, message.Message{}) }

// fitText says how the joint fits; depth is what it says of another one.
func fitText(p *joint.Prediction, best *setting.Best, depth message.Message) message.Message {
	f := &p.Fit
	if f.Shortfall.NoJoint {
		return message.Sentences(NoJoint(&f.Shortfall), seated("pushed", f.Seat), message.New("fit_nothing"))
	}
	limit, broken := p.Limits.Broken()
	elsewhere := best != nil && Better(p, best)
	return message.Sentences(
		howItFits(p), seated("home", f.Seat),
		notHere("at_this_depth", limit, broken && elsewhere), depth,
		depthGap("shoulder", f.ShoulderGap), depthGap("floor", f.FloorGap), unglued(f),
		notHere("yet", limit, broken && !elsewhere),
	)
}

// howItFits goes by sizes as stated, or by what test joints taught: a correction of
// the same set-up doubts its labels, and says less.
func howItFits(p *joint.Prediction) message.Message {
	f := &p.Fit
	return message.New("fit", message.Said("likely", Likely(f)), message.Length("play", f.Play),
		message.Chance("sure", joint.RangeHolds), message.Length("low", f.Low), message.Length("high", f.High),
		message.Chance("chance", f.InTarget)).As(RestsOn(&p.Joint))
}

// What a chance rests on: sizes as stated, or test joints.
const (
	SizesAsStated = "as_stated"
	TestJoints    = "learned"
)

// RestsOn is what a chance of a joint rests on.
func RestsOn(j *joint.Joint) string {
	if setup := j.Setup(); setup.Offset.Known {
		return TestJoints
	}
	return SizesAsStated
}

// notHere says which limit forbids to cut.
func notHere(state string, l joint.Limit, broken bool) message.Message {
	if !broken {
		return message.Message{}
	}
	return message.New("fit_do_not_cut", message.Said("limit", BrokenLimit(l))).As(state)
}

// depthGap is a gap where tails and sockets differ in depth.
func depthGap(where string, gap length.Length) message.Message {
	if gap <= 0 {
		return message.Message{}
	}
	return message.New("fit_gap", message.Length("gap", gap)).As(where)
}

func unglued(f *joint.Fit) message.Message {
	if codes.Glue(f.Play) != "not_bridged" {
		return message.Message{}
	}
	return message.New("fit_no_glue")
}

// worthTelling is the rise of the chance from which another depth is named.
// Judgement.
const worthTelling = 0.01

// betterDepth names the depth to set, where it is another than the one asked
// about.
func betterDepth(p *joint.Prediction, best *setting.Best) message.Message {
	now := p.Joint.Setup().Depth.Deeper().Length
	if best != nil {
		if !Better(p, best) {
			return message.Message{}
		}
		depth := best.Setting.Depth
		return message.New("fit_best_depth", append(changedTo(depth, depth-now), message.Chance("chance", best.Chance))...)
	}
	change := p.DepthForTarget - now
	if math.Abs(change.MM()) <= advise.SameSetting {
		return message.Message{}
	}
	m := message.New("fit_target_depth", changedTo(p.DepthForTarget, change)...)
	at := p.AtTarget()
	limits := at.Limits()
	if l, broken := limits.Furthest(); broken {
		return m.With(message.Said("limit", BrokenLimit(l)))
	}
	return m
}

// changedTo is a depth, and by how much it is another than the present one.
func changedTo(depth, change length.Length) []message.Param {
	return []message.Param{message.Length("depth", depth), message.Length("by", max(change, -change)), Way("way", change)}
}

// Way is the word for a change of depth.
func Way(name string, change length.Length) message.Param {
	return message.Word(name, "way", deeperOrShallower(change))
}

// deeperOrShallower is the code of a change of depth.
func deeperOrShallower(change length.Length) string {
	if change < 0 {
		return "shallower"
	}
	return "deeper"
}

// Better is whether another depth than the one asked about is worth setting. One
// that breaks a limit as well is not.
func Better(p *joint.Prediction, best *setting.Best) bool {
	setup := p.Joint.Setup()
	change := best.Setting.Depth - setup.Depth.Deeper().Length
	if math.Abs(change.MM()) <= advise.SameSetting {
		return false
	}
	if _, broken := p.Limits.Broken(); broken {
		return keepsLimits(setup.AtDepth(best.Setting.Depth))
	}
	return best.Chance >= p.Fit.InTarget+worthTelling
}

func keepsLimits(s joint.Setup) bool {
	j, err := joint.New(s)
	if err != nil {
		return false
	}
	limits := j.Limits()
	_, broken := limits.Broken()
	return !broken
}

// MeasureFirst says how to measure what is worth it, and what that gains.
func MeasureFirst(g joint.Gain) message.Message {
	return message.New("measure_first", message.Word("quantity", "measured_first", codes.Quantities[g.Source]).Beside(),
		message.Count("points", int(math.Round(100*g.Rise))))
}

// Regrind says what grinding costs a cutter.
func Regrind(g advise.Regrind) message.Message {
	m := message.New("regrind", message.Length("finished_below", g.FinishedBelow).Beside())
	if g.Finished {
		return m.As("finished")
	}
	return m.With(message.Length("lost", tenth), message.Length("depth_per_tenth", g.DepthPerTenth).Beside()).As("goes_on")
}
