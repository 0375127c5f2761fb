package advise

import (
	"cmp"
	"slices"

	"snugtail/joint/belief"
	"snugtail/joint/length"

	"snugtail/joint"
)

// CheckAdvice is the check to make next, and what it may show.
type CheckAdvice struct {
	Check   belief.Check
	Minutes float64
	// Gain is by how many bits the check is expected to shrink the entropy of
	// the causes' probabilities.
	Gain     float64
	Again    bool // it was made, and its reading is doubted
	Outcomes []Outcome
}

// Outcome is what the check may show, and the cause that it would point to.
type Outcome struct {
	Figures     []Told
	Seen        []belief.Evidence // findings, each with its answer
	Cause       belief.Code
	Probability float64 // of that cause, if it is so
	Chance      float64 // that what is shown points to that cause
	likeliest   float64 // chance of the figures told
}

// Told is one figure of an outcome.
type Told struct {
	belief.Figure
	Length length.Length
	Angle  joint.Angle // QuantityAngle
}

// nextCheck tells the decision's check or, where the decision is another, the
// one that tells most.
func (w *work) nextCheck() {
	v, ok := w.telling()
	if w.Decision.Do == DoCheck {
		v, ok = w.check(w.Decision.Check)
	}
	if !ok {
		return
	}
	w.NextCheck = &CheckAdvice{
		Check: v.check, Minutes: v.minutes, Gain: v.bits, Again: w.given.Answered[v.check] || w.doubted(v.check),
		Outcomes: w.outcomes(&v),
	}
}

// Outcomes that are told: the few likeliest.
const (
	mostTold = 4
	tellFrom = 0.02 // chance of a cause whose outcome is told
)

// outcomes returns what the check would typically show under the likely
// causes, and which cause that would point to: one outcome for each.
func (w *work) outcomes(v *valued) []Outcome {
	ps := w.prospects(v)
	var now [belief.CauseCount]float64
	for i := range w.outlooks {
		now[w.outlooks[i].Cause] += w.outlooks[i].Weight
	}
	var all []Outcome
	for i := range w.outlooks {
		if now[w.outlooks[i].Cause] < tellFrom || unmade(ps, v, i) {
			continue
		}
		for _, c := range w.typical(&w.outlooks[i], v.finds) {
			o := w.outcome(ps, v, &now, i, c)
			o.Chance = w.outlooks[i].Weight * ps.answers[i][c]
			all = onePerCause(all, o)
		}
	}
	slices.SortStableFunc(all, func(a, b Outcome) int { return cmp.Compare(b.Chance, a.Chance) })
	return all[:min(len(all), mostTold)]
}

// unmade says that under an outlook a tool would measure what none can.
func unmade(ps *prospects, v *valued, i int) bool {
	for k, f := range v.figures {
		switch f.Quantity {
		case belief.QuantityAngle, belief.QuantityCutter, belief.QuantityBushing:
			if ps.all[i].Mean[k] <= 0 {
				return true
			}
		}
	}
	return false
}

// onePerCause keeps the likeliest outcome that points to a cause, with the
// chance of all.
func onePerCause(all []Outcome, o Outcome) []Outcome {
	for i := range all {
		if all[i].Cause != o.Cause {
			continue
		}
		likeliest, chance := all[i].likeliest, all[i].Chance+o.Chance
		if o.Chance > likeliest {
			likeliest, all[i] = o.Chance, o
		}
		all[i].likeliest, all[i].Chance = likeliest, chance
		return all
	}
	o.likeliest = o.Chance
	return append(all, o)
}

// typical returns the answers to expect under an outlook: no to all, and yes to
// the finding that it shows in.
func (w *work) typical(o *belief.Outlook, finds []belief.Finding) []int {
	all := []int{0}
	for i, f := range finds {
		if w.Posterior.Shows(o, f, belief.Yes) >= 0.4 {
			all = append(all, 1<<i)
		}
	}
	return all
}

// outcome is what a check shows if it reads what it would typically read under
// one outlook. It points to the cause whose probability rises most.
func (w *work) outcome(ps *prospects, v *valued, now *[belief.CauseCount]float64, i, c int) Outcome {
	var mean [mostFigures]float64
	if ps.n > 0 {
		copy(mean[:], ps.all[i].Mean)
	}
	ps.read(w.outlooks, mean)
	ps.posterior(w.outlooks, c, &w.shares)
	var after [belief.CauseCount]float64
	for k := range w.outlooks {
		after[w.outlooks[k].Cause] += w.shares.share[k]
	}
	o := Outcome{Cause: w.outlooks[i].Cause}
	most := -1.0
	for code, p := range after {
		if rise := p - now[code]; rise > most {
			most, o.Cause, o.Probability = rise, belief.Code(code), p
		}
	}
	for k, f := range v.figures {
		told := Told{Figure: f, Length: length.Length(mean[k])}
		if f.Quantity == belief.QuantityAngle {
			told.Angle, told.Length = joint.Angle(mean[k]), 0
		}
		o.Figures = append(o.Figures, told)
	}
	for k, f := range v.finds {
		a := belief.No
		if c>>k&1 == 1 {
			a = belief.Yes
		}
		o.Seen = append(o.Seen, belief.Evidence{Cut: belief.Whole, Place: belief.Whole, Seen: belief.SeenFinding, Finding: f, Answer: a})
	}
	return o
}
