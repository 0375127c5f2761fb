// Package recommend answers: which cutter with which bushing, at which depth? It
// ranks the pairs at hand for a template and its boards by one sum in test
// joints, and says what stands in the way of the rest.
//
//	recommend.go  the question and the answer, pair by pair
//	toset.go      the depth to set for a set-up's own pair
//	window.go     which difference of cutter and bushing can serve at all
//	cost.go       the sum in test joints, the order, the break-even
//	moved.go      another depth within the target, where a limit moves it
//	changes.go    what to change where no pair serves
//	judged.go     which of that does serve
//
// Source: joint/model.md, section 14.
package recommend

import (
	"errors"
	"fmt"

	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/hold"
	"snugtail/joint/length"
	"snugtail/joint/setting"
)

// Preference is what counts most.
type Preference uint8

// Preferences.
const (
	Balance    Preference = iota // the whole sum
	LeastTrial                   // the test joints until one fits, alone
	MostHold                     // what the joint holds, among those that end up flush
)

// Query is what is asked.
type Query struct {
	// Setup holds template, boards and router; its cutter and depth do not count.
	Setup joint.Setup
	// Cutters and Bushings are tried each with each; no bushing stands for the
	// set-up's own.
	Cutters  []joint.Cutter
	Bushings []joint.Bushing
	Target   joint.Target
	Bands    joint.Bands
	Prefer   Preference
	// DepthNow is the depth that the router is set to; not stated, its zero was set
	// on the wood.
	DepthNow length.Size
	// Earlier sessions with the same template, oldest first, count for what they
	// share with each pair's set-up.
	Earlier []belief.Session
	// Observer learns from them, and says when to stop; nil is the default one.
	Observer *belief.Observer
	// Most choices are predicted and answered; 0 for all.
	Most int
	// exact takes the depth that gives the target's play, whether it can be set or
	// not.
	exact bool
}

// asked is a query with what is the same for all its pairs.
type asked struct {
	*Query
	woods  hold.Woods
	record *belief.Record // Earlier, weighed
}

// Choice is a pair that serves, at the depth to set.
type Choice struct {
	Cutter     joint.Cutter
	Bushing    joint.Bushing
	Prediction joint.Prediction // of the joint at the depth to set
	Set        setting.Best
	Hold       hold.Hold
	Cost       Cost
	// Cautions are the limits that are kept with little to spare, and those broken
	// that do not forbid the joint.
	Cautions []joint.LimitCode
	// Moved is what keeps the depth from being the one that gives the target's play,
	// so that another one within the target is taken; nil where nothing does.
	Moved *Refusal
}

// LeastDepth is the depth, mm, below which a tail holds nothing. Judgement.
const LeastDepth = 3

// Obstacle says what keeps a pair from serving.
type Obstacle uint8

// Obstacles.
const (
	ObstacleLimit      Obstacle = iota // a limit is broken at the fitting depth
	ObstacleNoDepth                    // no depth above 0 gives the target play
	ObstacleTooShallow                 // it fits only above LeastDepth
	ObstacleImpossible                 // no such joint can be cut
	ObstacleNoSetting                  // no depth that keeps every limit can be set
)

// Refusal is a pair that does not serve.
type Refusal struct {
	Cutter     joint.Cutter
	Bushing    joint.Bushing
	Obstacle   Obstacle
	Depth      length.Length     // at which the target play would be met
	PlayAtNone length.Length     // ObstacleNoDepth: all the play there can be
	Limit      joint.Limit       // ObstacleLimit: the one broken furthest
	Impossible *joint.Impossible // ObstacleImpossible
	// Outside says that the pair was refused for its difference of diameters alone.
	Outside bool
	Window  Window
}

// Result is the answer: best choice first; refusals in the order of the cutters,
// and for each in that of the bushings.
type Result struct {
	Choices []Choice
	Refused []Refusal
	Changes []Change // where nothing serves
	// Unlisted is how many pairs would serve that are not among the choices.
	Unlisted int
	// BreakEven is between the first two choices, with Balance.
	BreakEven BreakEven
}

// Pairs ranks cutters and bushings, each at the depth with the best chance of
// those that can be set within the limits. The error is that of
// belief.Record.Taught for one of the earlier sessions, or belief.ErrStopped.
func Pairs(query *Query) (Result, error) {
	q := asked{Query: query, woods: hold.WoodsOf(query.Setup.PinBoard.Stock, query.Setup.TailBoard.Stock)}
	q.record = q.observer().Record(q.Earlier, q.Target, q.Bands)
	bushings := q.Bushings
	if len(bushings) == 0 {
		bushings = []joint.Bushing{q.Setup.Bushing}
	}
	ladders := make([]setting.Ladder, len(bushings))
	for i, b := range bushings {
		ladders[i] = setting.New(q.Setup.Router, q.Setup.Template, b).At(q.DepthNow.Length)
	}
	var result Result
	var serving []*option
	s := q.Setup
	for _, s.Cutter = range q.Cutters {
		for i := range bushings {
			s.Bushing = bushings[i]
			if q.observer().Stopped() {
				return Result{}, belief.ErrStopped
			}
			if err := q.learned(&s); err != nil {
				return Result{}, err
			}
			if o, refusal := q.judge(&s, ladders[i]); refusal != nil {
				result.Refused = append(result.Refused, *refusal)
			} else {
				serving = append(serving, o)
			}
		}
	}
	result.BreakEven = rank(serving, q.Prefer)
	listed := len(serving)
	if q.Most > 0 {
		listed = min(listed, q.Most)
	}
	result.Choices, result.Unlisted = make([]Choice, listed), len(serving)-listed
	for i := range result.Choices {
		result.Choices[i] = q.choice(serving[i])
	}
	if len(serving) == 0 {
		result.Changes = q.judged(changes(q.Setup, result.Refused))
	}
	return result, nil
}

// Cutters ranks cutters for the set-up s with its bushing, as Pairs does, but each
// at exactly the depth that gives the target's play.
func Cutters(s joint.Setup, cutters []joint.Cutter, target joint.Target, bands joint.Bands, earlier ...belief.Session) (Result, error) {
	return CuttersBy(nil, s, cutters, target, bands, earlier...)
}

// CuttersBy is Cutters by what an observer makes of the earlier sessions.
func CuttersBy(o *belief.Observer, s joint.Setup, cutters []joint.Cutter, target joint.Target, bands joint.Bands, earlier ...belief.Session) (Result, error) {
	return Pairs(&Query{Setup: s, Cutters: cutters, Target: target, Bands: bands, Earlier: earlier, Observer: o, exact: true})
}

// learned sets what earlier sessions taught of the set-up with its pair.
func (q *asked) learned(s *joint.Setup) error {
	if len(q.Earlier) == 0 {
		return nil
	}
	s.Offset = joint.Offset{}
	flat, _ := joint.New(s.AtDepth(0))
	taught, err := q.record.Taught(s.AtDepth(flat.DepthFor(q.Target.Play)))
	if err != nil {
		return fmt.Errorf("learning from earlier sessions: %w", err)
	}
	s.Offset = taught.Offset
	return nil
}

func (q *Query) observer() *belief.Observer {
	if q.Observer == nil {
		return belief.Default()
	}
	return q.Observer
}

// option is a pair that serves, with what it is ranked by.
type option struct {
	cutter   joint.Cutter
	bushing  joint.Bushing
	offset   joint.Offset
	set      setting.Best
	hold     hold.Hold
	cost     Cost
	lap      length.Length
	cautions []joint.LimitCode
	moved    *Refusal
	notFlush int // 1 where a limit is broken that keeps the joint from being flush
}

// choice is the answer for a pair that serves.
func (q *asked) choice(o *option) Choice {
	s := q.Setup.AtDepth(o.set.Setting.Depth)
	s.Cutter, s.Bushing, s.Offset = o.cutter, o.bushing, o.offset
	j, _ := joint.New(s) // looked at before
	return Choice{
		Cutter: o.cutter, Bushing: o.bushing, Prediction: j.Predict(q.Target, q.Bands),
		Set: o.set, Hold: o.hold, Cost: o.cost, Cautions: o.cautions, Moved: o.moved,
	}
}

// judge looks at the joint that s cuts at the depth for the target's play, and
// sets the depth with the best chance if it serves. A joint of no depth is always
// possible to state, so its geometry answers even where the set-up is not.
func (q *asked) judge(s *joint.Setup, ladder setting.Ladder) (*option, *Refusal) {
	flat, _ := joint.New(s.AtDepth(0))
	r := &Refusal{Cutter: s.Cutter, Bushing: s.Bushing, Depth: flat.DepthFor(q.Target.Play)}
	if r.Depth.Rounded() <= 0 {
		r.Obstacle, r.PlayAtNone = ObstacleNoDepth, flat.Play()
		return nil, r
	}
	j, err := joint.New(s.AtDepth(r.Depth))
	r.Window, r.Limit, r.Outside = windowOf(&j, r.Depth)
	switch {
	case errors.As(err, &r.Impossible):
		r.Obstacle = ObstacleImpossible
	case r.Outside || r.breaks(j.Limits()):
	case r.Depth.Rounded() < LeastDepth:
		r.Obstacle = ObstacleTooShallow
	default:
		return q.choose(s, &j, ladder, r)
	}
	if o := q.elsewhere(s, &flat, ladder, r); o != nil {
		return o, nil
	}
	return nil, r
}

// breaks takes in the limit broken furthest, if any.
func (r *Refusal) breaks(limits joint.Limits) (broken bool) {
	r.Obstacle = ObstacleLimit
	r.Limit, broken = limits.Furthest()
	return broken
}

// choose sets the depth of a pair that serves at the depth for the target's play,
// of the joint j.
func (q *asked) choose(s *joint.Setup, j *joint.Joint, ladder setting.Ladder, r *Refusal) (*option, *Refusal) {
	set, ok := q.set(j, ladder)
	if !ok {
		r.Obstacle = ObstacleNoSetting
		return nil, r
	}
	at, err := joint.New(s.AtDepth(set.Setting.Depth))
	if errors.As(err, &r.Impossible) {
		r.Obstacle = ObstacleImpossible
		return nil, r
	}
	limits := at.Limits()
	if r.breaks(limits) {
		r.Depth = set.Setting.Depth
		return nil, r
	}
	return q.option(s, &at, set, ladder), nil
}

// option is a pair that serves, by the joint that it cuts at the depth to set.
func (q *asked) option(s *joint.Setup, at *joint.Joint, set setting.Best, ladder setting.Ladder) *option {
	o := &option{cutter: s.Cutter, bushing: s.Bushing, offset: s.Offset, set: set, hold: q.woods.Of(at, hold.Friction())}
	o.lap, _ = at.Lap()
	limits := at.Limits()
	o.take(&limits)
	o.cost = q.costOf(at, &set, ladder)
	return o
}

// take takes in the limits that deserve a caution.
func (o *option) take(limits *joint.Limits) {
	for _, l := range limits {
		if l.Tight() || l.Broken() {
			o.cautions = append(o.cautions, l.Code)
		}
		if l.Broken() && l.Code.Severity() == joint.SeverityNotFlush {
			o.notFlush = 1
		}
	}
}

// set returns the depth to set; ok is false where none within the limits can be.
func (q *asked) set(j *joint.Joint, ladder setting.Ladder) (best setting.Best, ok bool) {
	chance := func(h length.Length) float64 { return j.ChanceAt(h, q.Target) }
	if q.exact {
		h := j.DepthFor(q.Target.Play)
		return setting.Best{Setting: setting.Setting{Depth: h}, Ideal: h, Chance: chance(h)}, true
	}
	from, to := within(j)
	return ladder.Best(chance, from, to, j.BestDepth(q.Target))
}

// within is where a depth is looked for: within the limits, and not too shallow.
func within(j *joint.Joint) (from, to length.Length) {
	from, to = j.DepthsWithin()
	from = max(from, LeastDepth)
	return from, max(from, to)
}
