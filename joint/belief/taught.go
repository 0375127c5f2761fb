package belief

import (
	"snugtail/joint"
	"snugtail/joint/length"
)

// Taught is what earlier sessions with the same template taught of a set-up.
type Taught struct {
	// Offset is what the set-up adds to the play of its stated sizes: the value
	// that is as likely exceeded as not, and half the range between 16 % and
	// 84 %. A doubt whether what was read is misread, which is in the
	// distribution, moves neither by much.
	joint.Offset
	// Posterior of the set-up's own depth.
	Posterior *Posterior
}

// Taught returns what earlier sessions with the same template taught of a
// set-up that has no test joint yet. Errors are a *SessionError for a session
// that cannot have been.
func (o *Observer) Taught(s joint.Setup, earlier []Session, target joint.Target, bands joint.Bands) (Taught, error) {
	p, err := o.Of(&Case{Setup: s, Earlier: earlier, Target: target, Bands: bands})
	if err != nil {
		return Taught{}, err
	}
	d := p.At(s.Depth.Deeper().Length)
	d.setting = 0
	middle, low, high := d.quantile(0.5), d.quantile(0.16), d.quantile(0.84)
	return Taught{
		Offset:    joint.Offset{Mean: middle - length.Length(d.nominal), SD: (high - low) / 2, Known: true},
		Posterior: p,
	}, nil
}
