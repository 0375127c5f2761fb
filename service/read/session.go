package read

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/correct"
	"snugtail/joint/learn"
)

func Correction(r *Reader, in *api.CorrectionRequest) {
	r.Bench(in.Setup, in.TestCuts, in.Target)
}

func Sheet(r *Reader, in *api.SetupSheetRequest) {
	r.Bench(in.Setup, in.TestCuts, in.Target)
}

// Bench is what a request tells of the work at the bench.
type Bench struct {
	Setup   joint.Setup
	Earlier []learn.Session // of a record
	Cuts    []learn.TestCut
	Target  joint.Target
}

func (r *Reader) Bench(setup *api.Setup, cuts []api.TestCut, target *api.Target) Bench {
	var b Bench
	b.Setup, b.Earlier = r.Setup(setup)
	b.Cuts = r.testCuts(cuts, "")
	b.Target = r.Target(target, b.Setup.Tails())
	return b
}

// Corrected returns what is to be changed, by the bands of the set-up's wood,
// unless something could not be read.
func (r *Reader) Corrected(b *Bench) (correct.Correction, error) {
	if err := r.Fault(); err != nil {
		return correct.Correction{}, err
	}
	if err := r.BandsOf(b.Setup); err != nil {
		return correct.Correction{}, err
	}
	c, err := correct.After(b.Setup, b.Cuts, b.Target, r.Bands, b.Earlier...)
	if err != nil {
		return correct.Correction{}, r.Refusal(err)
	}
	return c, nil
}

// Sessions are the earlier ones and this one.
func (b *Bench) Sessions() []learn.Session {
	return append(b.Earlier, learn.Session{Setup: b.Setup, Cuts: b.Cuts})
}
