package answers

import (
	"fmt"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/effort"
	"snugtail/joint/length"
	"snugtail/joint/wood"
	"snugtail/service/read"
	"snugtail/service/say"
)

// assembly writes what it takes to close a tight joint; nil for one that is
// not tight, or where too little is known.
func (w Writer) assembly(j *joint.Joint, c length.Length) (*api.Assembly, error) {
	if c.Rounded() >= 0 {
		return nil, nil
	}
	e, known, err := effort.Closing(j, c)
	if err != nil || !known {
		return nil, read.OutsideTable(err)
	}
	m := say.Effort(&e)
	out := &api.Assembly{Words: e.Words.String(), CrushLimit: w.Known(e.Crush, e.CrushKnown), Code: m.Code}
	out.Text, out.Params = w.Say(m)
	if e.Estimated {
		out.PressureMPa, out.ForceN = estimated(e.Pressure), estimated(e.Push)
	}
	if e.CrushKnown {
		crushes := e.Words == wood.Crushes
		out.Crushes = &crushes
	}
	return out, nil
}

func estimated(i wood.Interval) *api.Estimated {
	return &api.Estimated{Value: Rounded(i.Value), Low: Rounded(i.Low), High: Rounded(i.High)}
}

// FitOf writes a fit with what its wood does to it.
func (w Writer) FitOf(j *joint.Joint, f *joint.Fit) (api.Fit, error) {
	out := w.fit(f)
	assembly, err := w.assembly(j, f.Play)
	if err != nil {
		return out, fmt.Errorf("writing a fit: %w", err)
	}
	out.Assembly = assembly
	return out, nil
}

// WoodCautions warns of boards that will move against each other.
func (w Writer) WoodCautions(j *joint.Joint, f *joint.Fit) ([]api.Caution, error) {
	m, known, err := effort.Settled(j, f.Play)
	if err != nil || !known || m.Outermost >= wood.DefaultLeastPlay || f.Play < wood.DefaultLeastPlay {
		return nil, read.OutsideTable(err)
	}
	return w.caution("wood_moves", say.Moving(m)), nil
}
