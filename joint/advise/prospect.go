package advise

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/belief"
)

// prospects are what a check is likely to read under every outlook.
type prospects struct {
	n        int // figures
	all      [mostOutlooks]prospect
	answers  [mostOutlooks][mostAnswers]float64 // chance of each combination of answers, by outlook
	combined int                                // how many of these there are
	// What was read: how well each outlook foresaw it, and by how much it moves
	// what the outlook adds to play.
	foreseen, move [mostOutlooks]float64
	told           bool // play is told of: false where there was no gap
}

// A check has at most so many figures, and combinations of answers.
const mostFigures, mostAnswers = 6, 8

// prospect is what one outlook lets expect, its covariance factored.
type prospect struct {
	belief.Prospect                      // the covariance as Cholesky's factor
	inverse         [mostFigures]float64 // of the factor's diagonal
	solved          [mostFigures]float64 // factor^-1 WithB
	log             float64
	sd              float64 // of play once read
	gapFirst        bool
}

func (w *work) prospects(v *valued) *prospects {
	ps := &w.foreseen
	ps.n, ps.combined = len(v.figures), 1<<len(v.finds)
	for i := range w.outlooks {
		o := &w.outlooks[i]
		if ps.n > 0 {
			p := &ps.all[i]
			o.Expect(v.figures, &p.Prospect)
			p.factor(o.SD)
			p.gapFirst = v.check == belief.CheckPullJoint
		}
		for c := range ps.combined {
			p := 1.0
			for k, f := range v.finds {
				a := belief.No
				if c>>k&1 == 1 {
					a = belief.Yes
				}
				p *= w.Posterior.Shows(o, f, a)
			}
			ps.answers[i][c] = p
		}
	}
	return ps
}

// factor replaces the covariance by its factor (Cholesky), and solves for what
// the figures tell of play, of which sd is known before.
func (p *prospect) factor(sd float64) {
	n := len(p.Mean)
	p.log = 0
	squares := 0.0
	for i := range n {
		row := p.Cov[i*n : i*n+n]
		for k := 0; k <= i; k++ {
			sum := row[k]
			for j := range k {
				sum -= row[j] * p.Cov[k*n+j]
			}
			if i == k {
				row[i] = math.Sqrt(max(sum, 1e-12))
				p.log -= math.Log(row[i])
				p.inverse[i] = 1 / row[i]
			} else {
				row[k] = sum * p.inverse[k]
			}
		}
		sum := p.WithB[i]
		for j := range i {
			sum -= row[j] * p.solved[j]
		}
		p.solved[i] = sum * p.inverse[i]
		squares += p.solved[i] * p.solved[i]
	}
	p.sd = math.Sqrt(max(1e-8, sd*sd-squares))
}

// at returns readings that lie z standard deviations off, every other one the
// other way.
func (p *prospect) at(z float64) (y [mostFigures]float64) {
	n := len(p.Mean)
	for i, mean := range p.Mean {
		y[i] = mean
		for k := 0; k <= i; k++ {
			y[i] += p.Cov[i*n+k] * z * float64(1-2*(k&1))
		}
	}
	return y
}

const (
	// nowhere is the sum of squares from which a density is taken for none.
	nowhere = 60
	// noGap is the most that is still told as no gap, mm. Judgement.
	noGap = 0.03
)

// density of readings, but for a constant that all prospects of a check share,
// and by how much they move play. A gap that there is not says only that there
// is none.
func (p *prospect) density(y *[mostFigures]float64) (density, move float64) {
	if p.gapFirst && y[0] <= noGap {
		return joint.NormalCDF((noGap - p.Mean[0]) * p.inverse[0]), 0
	}
	n, squares := len(p.Mean), 0.0
	var z [mostFigures]float64
	for i, mean := range p.Mean {
		sum := y[i] - mean
		for k, l := range p.Cov[i*n : i*n+i] {
			sum -= l * z[k]
		}
		z[i] = sum * p.inverse[i]
		move += z[i] * p.solved[i]
		if squares += z[i] * z[i]; squares > nowhere {
			return 0, 0
		}
	}
	return math.Exp(p.log - squares/2), move
}

// read notes how well each outlook foresaw readings, and what they tell of play.
func (ps *prospects) read(os []belief.Outlook, y [mostFigures]float64) {
	for i := range os {
		ps.foreseen[i], ps.move[i] = 1, 0
		if ps.n > 0 {
			ps.foreseen[i], ps.move[i] = ps.all[i].density(&y)
		}
	}
	ps.told = ps.n > 0 && !(ps.all[0].gapFirst && y[0] <= noGap)
}

// posterior returns the outlooks after what was read and a combination of
// answers.
func (ps *prospects) posterior(os []belief.Outlook, c int, b *shares) {
	for i := range os {
		b.share[i] = os[i].Weight * ps.foreseen[i] * ps.answers[i][c]
		b.mean[i], b.sd[i] = os[i].Mean, os[i].SD
		if ps.told {
			b.mean[i] += ps.move[i]
			b.sd[i] = ps.all[i].sd
		}
	}
	b.normalize(len(os))
}
