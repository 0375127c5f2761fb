package belief

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/normal"
)

// Play is the distribution of the play of a next joint: for each field that of
// b on the grid, moved by what its angle makes of the depth, every point
// widened by the setting's error.
type Play struct {
	p       *Posterior
	nominal float64 // play as stated at its depth
	deeper  float64 // than the latest joint, mm
	setting float64 // standard uncertainty of play from the setting
}

// At returns the distribution of play of a next joint cut h deep, all else as
// it is.
func (p *Posterior) At(h length.Length) Play {
	deeper := h.MM() - p.m.latest.depth.Deeper().MM()
	return Play{p, p.m.nominal - p.m.perDepth*(h.MM()-max(p.m.geometry.hp, p.m.geometry.ht)), deeper, p.m.away(deeper)}
}

// CDF returns the probability that play is at most x mm.
func (d Play) CDF(x float64) float64 {
	sum, g := 0.0, d.p.grid
	for _, f := range d.p.fields {
		sd := d.width(f)
		off := x - d.nominal - f.tilt*d.deeper - g.low
		// Points further below than the widening reaches count in full.
		from := f.nearest(int((off - surely*sd) / g.step))
		to := f.nearest(int((off+surely*sd)/g.step) + 1)
		sum += f.below[from]
		z, step := (off-float64(from)*g.step)/sd, g.step/sd
		for _, w := range f.weights[from:to] {
			sum += w * normal.CDF(z)
			z -= step
		}
	}
	return min(1, sum)
}

// surely is how many standard deviations hold all of a normal variate, but for
// one in a hundred million.
const surely = 5.7

// nearest returns the point of the grid, of those where the field has any weight
// and the one past them, that is nearest to k.
func (f *field) nearest(k int) int { return max(f.first, min(k, f.last+1)) }

func (d Play) width(f *field) float64 {
	return max(d.setting*d.p.scatters[f.scatter].by, d.p.grid.step/2)
}

// moments returns mean and variance.
func (d Play) moments() (mean, variance float64) {
	sum, squares := 0.0, 0.0
	for _, f := range d.p.fields {
		at := d.nominal + f.tilt*d.deeper
		sum += f.total*at + f.sum
		squares += f.total*(at*at+square(d.width(f))) + 2*at*f.sum + f.squares
	}
	return sum, max(0, squares-sum*sum)
}

// Mean returns the expected play.
func (d Play) Mean() length.Length {
	mean, _ := d.moments()
	return length.Length(mean)
}

// SD returns the standard uncertainty of play.
func (d Play) SD() length.Length {
	_, variance := d.moments()
	return length.Length(math.Sqrt(variance))
}

// Median returns the play that is as likely exceeded as not.
func (d Play) Median() length.Length { return d.quantile(0.5) }

// Range95 returns the range that holds play with a probability of 95 %.
func (d Play) Range95() (low, high length.Length) { return d.quantile(0.025), d.quantile(0.975) }

// quantile by bisection, and once that is near by false position, where an end
// that stands still twice counts half (the Illinois rule).
func (d Play) quantile(p float64) length.Length {
	const near, most, exact = 0.1, 60, 1e-10 // by most halvings a float64 is out of bits
	low := d.nominal + d.p.grid.low - 1
	high := d.nominal + d.p.grid.at(d.p.grid.n) + 1
	below, above := -p, 1-p
	for n := 0; high-low > near && n < most; n++ {
		mid := (low + high) / 2
		if off := d.CDF(mid) - p; off < 0 {
			low, below = mid, off
		} else {
			high, above = mid, off
		}
	}
	lastBelow, lastAbove := false, false
	for range 40 {
		mid := (low*above - high*below) / (above - below)
		off := d.CDF(mid) - p
		if math.Abs(off) < exact {
			return length.Length(mid)
		}
		if off < 0 {
			low, below = mid, off
			if lastBelow {
				above /= 2
			}
		} else {
			high, above = mid, off
			if lastAbove {
				below /= 2
			}
		}
		lastBelow, lastAbove = off < 0, off > 0
	}
	return length.Length((low + high) / 2)
}

// Chance returns the probability that a next joint cut h deep, all else as it
// is, has its play within the target.
func (p *Posterior) Chance(h length.Length) float64 { return joint.InTarget(p.At(h), p.m.target) }

// Estimate returns what the set-up adds to the play of its stated sizes: mean
// and standard uncertainty.
func (p *Posterior) Estimate() (mean, sd length.Length) {
	sum, squares := 0.0, 0.0
	for _, f := range p.fields {
		sum += f.sum
		squares += f.squares
	}
	return length.Length(sum), length.Length(math.Sqrt(max(0, squares-sum*sum)))
}
