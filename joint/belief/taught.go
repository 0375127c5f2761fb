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

// Record is earlier sessions with the same template, each weighed by itself:
// what they teach of any number of set-ups follows from that. It is not changed
// once made, and so is safe for concurrent use.
type Record struct {
	observer *Observer
	earlier  []Session
	lessons  []lesson
	target   joint.Target
	bands    joint.Bands
}

// Record returns earlier sessions, oldest first, ready to teach.
func (o *Observer) Record(earlier []Session, target joint.Target, bands joint.Bands) *Record {
	r := &Record{o, earlier, make([]lesson, len(earlier)), target, bands}
	for i := range earlier {
		r.lessons[i] = o.tables.lessonOf(&earlier[i], target, bands)
	}
	return r
}

// Taught returns what a record taught of a set-up that has no test joint yet.
// Errors are a *SessionError for a session that cannot have been.
func (r *Record) Taught(s joint.Setup) (Taught, error) {
	p, err := r.observer.Of(&Case{Setup: s, Earlier: r.earlier, lessons: r.lessons, Target: r.target, Bands: r.bands})
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

// Taught returns what earlier sessions with the same template taught of one
// set-up that has no test joint yet. Errors are a *SessionError for a session
// that cannot have been.
func (o *Observer) Taught(s joint.Setup, earlier []Session, target joint.Target, bands joint.Bands) (Taught, error) {
	return o.Record(earlier, target, bands).Taught(s)
}
