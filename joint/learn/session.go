package learn

import (
	"fmt"
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// belief is one normal part of what is known of the unknowns that last, after
// some session.
type belief struct {
	weight float64
	mean   [lastingUnknowns]float64
	cov    [lastingUnknowns][lastingUnknowns]float64
}

// leastWeight is the share below which a part of the distribution is dropped.
const leastWeight = 1e-6

// SessionError says which earlier session cannot have been.
type SessionError struct {
	Session int
	Err     error
}

func (e *SessionError) Error() string {
	return fmt.Sprintf("taking in earlier session %d: %v", e.Session, e.Err)
}

func (e *SessionError) Unwrap() error { return e.Err }

// beliefsAfter learns from the sessions in turn and restates what they leave
// for the set-up s. No sessions leave none.
func beliefsAfter(sessions []Session, s joint.Setup, bands joint.Bands) ([]belief, error) {
	var beliefs []belief
	for i, session := range sessions {
		if _, err := joint.New(session.Setup); err != nil {
			return nil, &SessionError{i, err}
		}
		l, err := newLearner(session, bands, beliefs)
		if err != nil {
			return nil, &SessionError{i, err}
		}
		next := s
		if i+1 < len(sessions) {
			next = sessions[i+1].Setup
		}
		beliefs = restated(l.beliefs(), session.Setup, next)
	}
	return beliefs, nil
}

// beliefs returns the parts of the distribution with the feels taken in as
// what they do to mean and variance of b.
func (l *learner) beliefs() []belief {
	parts := l.components()
	lasting := l.observables.lastingPlay()
	var all []belief
	total := 0.0
	for i := range parts {
		weight := parts[i].weight * l.foldFeels(&parts[i], lasting)
		all = append(all, parts[i].state.lasting(weight))
		total += weight
	}
	kept := all[:0]
	for _, b := range all {
		if b.weight /= total; b.weight >= leastWeight {
			kept = append(kept, b)
		}
	}
	return kept
}

// foldFeels replaces the feels by the one normal reading of b that gives the
// same mean and variance, and returns how likely they were.
func (l *learner) foldFeels(part *component, lasting row) (evidence float64) {
	before, variance := part.state.of(lasting)
	sd := math.Max(math.Sqrt(variance), leastSD)
	given := l.feelsGiven(&part.state, lasting, before, sd)
	if len(given) == 0 {
		return 1
	}
	sum, mean, squares := 0.0, 0.0, 0.0
	const steps = 96
	for k := range steps + 1 {
		z := -8 + 16*float64(k)/steps
		b := before + z*sd
		w := math.Exp(-z * z / 2)
		for _, c := range given {
			w *= c.likelihood(b)
		}
		sum, mean, squares = sum+w, mean+w*b, squares+w*b*b
	}
	if sum <= 0 {
		return 0
	}
	mean /= sum
	after := squares/sum - mean*mean
	if precision := 1/after - 1/(sd*sd); precision > 0 {
		part.state.observe(lasting, (mean/after-before/(sd*sd))/precision, 1/math.Sqrt(precision))
	}
	return sum
}

// lasting returns the part of the state that lasts beyond its test cuts.
func (st *state) lasting(weight float64) belief {
	b := belief{weight: weight}
	for i := range lastingUnknowns {
		b.mean[i] = st.mean[i]
		copy(b.cov[i][:], st.cov[i][:lastingUnknowns])
	}
	return b
}

// carry starts the state from a belief.
func (st *state) carry(b belief) {
	for i := range lastingUnknowns {
		st.mean[i] = b.mean[i]
		copy(st.cov[i][:lastingUnknowns], b.cov[i][:])
	}
}

// restated turns beliefs about one set-up into beliefs about the next, which
// has the same template: a piece of steel of the same id keeps what is known
// of it, any other starts from its own stated size and tolerance.
func restated(beliefs []belief, from, to joint.Setup) []belief {
	sameCutter := joint.SamePiece(from.Cutter.ID, to.Cutter.ID)
	sameBushing := joint.SamePiece(from.Bushing.ID, to.Bushing.ID)
	var all []belief
	for _, b := range beliefs {
		b.forgetPieces(from, to)
		if sameBushing {
			b.mean[unknownBushing] += (from.Bushing.Diameter.Length - to.Bushing.Diameter.Length).MM()
			b.measured(unknownBushing, from.Bushing.Diameter, to.Bushing.Diameter)
		} else {
			b.reset(unknownBushing, 0, square(to.Bushing.Diameter.StandardUncertainty(joint.ToleranceBushing)))
		}
		if sameCutter {
			b.mean[unknownCutter] += (from.Cutter.TipDiameter() - to.Cutter.TipDiameter()).MM()
			b.mean[unknownAngle] += float64(from.Cutter.Angle - to.Cutter.Angle)
			b.measured(unknownCutter, from.Cutter.Diameter, to.Cutter.Diameter)
			all = append(all, b)
			continue
		}
		b.reset(unknownAngle, 0, square(to.Cutter.AngleUncertainty()))
		all = append(all, b.withCutter(to.Cutter)...)
	}
	return all
}

// withCutter returns the belief with a new cutter, in two parts where it may
// have been reground.
func (b belief) withCutter(c joint.Cutter) []belief {
	b.reset(unknownCutter, 0, cutterVariance(c, false))
	if !c.HistoryUnknown() {
		return []belief{b}
	}
	reground := b
	b.weight *= 1 - joint.RegroundShare
	reground.weight *= joint.RegroundShare
	reground.reset(unknownCutter, joint.RegroundShift, cutterVariance(c, true))
	return []belief{b, reground}
}

// forgetPieces: the allowance of a proven template holds the pieces of steel
// that the set-up does not share with the proven joint; a set-up that shares
// fewer holds more.
func (b *belief) forgetPieces(from, to joint.Setup) {
	before, _ := from.Template.Uncertainties(&from.Cutter, &from.Bushing)
	after, _ := to.Template.Uncertainties(&to.Cutter, &to.Bushing)
	if to.Template.Kind == joint.Proven && after > before {
		b.cov[unknownTemplateA][unknownTemplateA] += square(after) - square(before)
	}
}

// measured takes in a caliper reading made since: the size is now stated with
// a tolerance where it was not before.
func (b *belief) measured(i int, before, now length.Size) {
	if before.HasTolerance || !now.HasTolerance {
		return
	}
	u := now.StandardUncertainty(0)
	gain, variance, surprise := b.cov[i], b.cov[i][i]+u*u, -b.mean[i]
	if variance <= 0 {
		return
	}
	for k := range lastingUnknowns {
		b.mean[k] += gain[k] / variance * surprise
		for m := range lastingUnknowns {
			b.cov[k][m] -= gain[k] * gain[m] / variance
		}
	}
}

// reset forgets one unknown.
func (b *belief) reset(i int, mean, variance float64) {
	b.mean[i] = mean
	for k := range lastingUnknowns {
		b.cov[i][k], b.cov[k][i] = 0, 0
	}
	b.cov[i][i] = variance
}
