package learn

import (
	"math"

	"snugtail/joint"
)

// The unknowns that a set-up's test joints have in common, in the order of
// the state vector: the true cutter and bushing diameters, the template (for
// a one-piece one its opening and its pitch, for a two-position one the tail
// pass's opening and the pin pass's finger, otherwise K alone) and the
// cutter's angle, each as its deviation from what was stated, mm and degrees.
// After them comes, for every test cut, how much deeper it was cut than set.
const (
	unknownCutter = iota
	unknownBushing
	unknownTemplateA
	unknownTemplateB
	unknownAngle
	lastingUnknowns
)

// state is a normal distribution of all unknowns.
type state struct {
	mean []float64
	cov  [][]float64
	gain []float64 // of the reading at hand, kept between readings
	// logEvidence is the log density of all readings taken in so far.
	logEvidence float64
}

// row is one linear observable: its derivative by each unknown.
type row []float64

// prior returns the state before any test cut. deviant picks the second
// history of a cutter that may have been reground.
func prior(s joint.Setup, cuts []TestCut, deviant bool) state {
	n := lastingUnknowns + len(cuts)
	cells := make([]float64, n*n+2*n)
	st := state{mean: cells[n*n : n*n+n], cov: make([][]float64, n), gain: cells[n*n+n:]}
	for i := range st.cov {
		st.cov[i] = cells[i*n : (i+1)*n]
	}
	st.cov[unknownCutter][unknownCutter] = cutterVariance(s.Cutter, deviant)
	if deviant {
		st.mean[unknownCutter] = joint.RegroundShift
	}
	st.cov[unknownBushing][unknownBushing] = square(s.Bushing.Diameter.StandardUncertainty(joint.ToleranceBushing))
	a, b := s.Template.Uncertainties(&s.Cutter, &s.Bushing)
	st.cov[unknownTemplateA][unknownTemplateA] = square(a)
	st.cov[unknownTemplateB][unknownTemplateB] = square(b)
	st.cov[unknownAngle][unknownAngle] = square(s.Cutter.AngleUncertainty())
	for i, cut := range cuts {
		u := cut.Depth.Deeper().StandardUncertainty(joint.ToleranceDepthSet)
		st.cov[lastingUnknowns+i][lastingUnknowns+i] = square(u)
	}
	return st
}

func cutterVariance(c joint.Cutter, deviant bool) float64 {
	switch {
	case deviant:
		return square(joint.ToleranceReground / 2.0)
	case c.HistoryUnknown():
		return square(joint.ToleranceNewCutter / 2.0)
	}
	return c.DiameterVariance()
}

// observe takes in a reading of the observable r that was off its prediction
// from the stated sizes by off, with standard uncertainty u (Kalman update of
// one scalar reading).
func (st *state) observe(r row, off, u float64) {
	n := len(st.mean)
	gain := st.gain
	for i := range n {
		gain[i] = 0
		for j, x := range r {
			gain[i] += st.cov[i][j] * x
		}
	}
	expected, variance := st.of(r)
	variance += u * u
	if variance <= 0 {
		return
	}
	surprise := off - expected
	st.logEvidence -= 0.5 * (surprise*surprise/variance + math.Log(2*math.Pi*variance))
	for i := range n {
		k := gain[i] / variance
		st.mean[i] += k * surprise
		for j := range n {
			st.cov[i][j] -= k * gain[j]
		}
	}
}

// of returns mean and variance of the observable r.
func (st *state) of(r row) (mean, variance float64) {
	for i, x := range r {
		if x == 0 {
			continue
		}
		mean += x * st.mean[i]
		for j, y := range r {
			variance += x * y * st.cov[i][j]
		}
	}
	return mean, math.Max(0, variance)
}

// covariance returns that of two observables.
func (st *state) covariance(a, b row) float64 {
	sum := 0.0
	for i, x := range a {
		if x == 0 {
			continue
		}
		for j, y := range b {
			sum += x * y * st.cov[i][j]
		}
	}
	return sum
}

func square(x float64) float64 { return x * x }

// observables builds the rows of one set-up.
type observables struct {
	setup joint.Setup
	size  int
	tanA  float64
}

// depthNow is the depth at which the angle's share in b is taken. Test cuts
// are near it: b counts as one constant (model, section 9).
func (o observables) depthNow() float64 { return o.setup.Depth.Deeper().MM() }

func (o observables) row() row { return make(row, o.size) }

// lastingPlay is dc by what lasts: b.
func (o observables) lastingPlay() row {
	h := o.depthNow()
	r := o.row()
	r[unknownCutter], r[unknownBushing] = 2, -2
	r[unknownTemplateA], r[unknownTemplateB] = o.templatePlay()
	reach := h
	if t := o.setup.Template; t.Kind == joint.Proven {
		if joint.SamePiece(t.Joint.Bushing.ID, o.setup.Bushing.ID) {
			r[unknownBushing] = 0
		}
		if joint.SamePiece(t.Joint.Cutter.ID, o.setup.Cutter.ID) {
			r[unknownCutter], reach = 0, h-t.Joint.Depth.MM()
		}
	}
	r[unknownAngle] = -math.Copysign(o.setup.Cutter.PlayPerAngle(reach), reach)
	return r
}

func (o observables) templatePlay() (a, b float64) {
	switch o.setup.Template.Kind {
	case joint.OnePiece:
		return 2, -1
	case joint.TwoPosition:
		return 1, -1
	}
	return 1, 0
}

// play of test cut i: b less what it was cut too deep.
func (o observables) play(i int) row {
	r := o.lastingPlay()
	r[lastingUnknowns+i] = -2 * o.tanA
	return r
}

// depth in the wood of test cut i, against the depth as set.
func (o observables) depth(i int) row {
	r := o.row()
	r[lastingUnknowns+i] = 1
	return r
}

// sockets do not depend on depth or angle: pin socket S_t - g + d, tail
// socket P - F_p - g + d.
func (o observables) pinSocket() row {
	r := o.row()
	r[unknownCutter], r[unknownBushing], r[unknownTemplateA] = 1, -1, 1
	return r
}

func (o observables) tailSocket() row {
	r := o.pinSocket()
	if o.setup.Template.Kind == joint.TwoPosition {
		r[unknownTemplateA], r[unknownTemplateB] = 0, -1
	}
	return r
}

// tail is P - S_t + g - d + 2 h tan a, of test cut i.
func (o observables) tail(i int, h float64) row {
	r := o.flank(i, h)
	r[unknownTemplateA] = -1
	if o.setup.Template.Kind == joint.OnePiece {
		r[unknownTemplateB] = 1
	}
	return r
}

// pin is F_p + g - d + 2 h tan a, of test cut i.
func (o observables) pin(i int, h float64) row {
	r := o.flank(i, h)
	r[unknownTemplateB] = 1
	if o.setup.Template.Kind == joint.OnePiece {
		r[unknownTemplateA] = -1
	}
	return r
}

func (o observables) flank(i int, h float64) row {
	r := o.row()
	r[unknownCutter], r[unknownBushing] = -1, 1
	r[unknownAngle] = o.setup.Cutter.PlayPerAngle(h)
	r[lastingUnknowns+i] = 2 * o.tanA
	return r
}
