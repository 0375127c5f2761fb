package answers

import (
	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/hold"
	"snugtail/joint/recommend"
	"snugtail/service/codes"
	"snugtail/service/say"
)

// Bushing writes the bushing of a pair.
func (w Writer) Bushing(b *joint.Bushing) api.PairedBushing {
	return api.PairedBushing{ID: b.ID, Kind: codes.GuideNames[b.Kind], Diameter: w.Length(b.Diameter.Length)}
}

// Cost writes what a pair costs, term by term.
func Cost(c *recommend.Cost) api.PairCost {
	return api.PairCost{
		Total: Rounded(c.Total), Trials: Rounded(c.Trials), First: Rounded(c.First), Second: Rounded(c.Second),
		Hold: Rounded(c.Hold), Share: Rounded(c.Share), Lap: Rounded(c.Lap), EdgePin: Rounded(c.EdgePin),
	}
}

// Hold writes what a joint is estimated to hold.
func (w Writer) Hold(h *hold.Hold) api.Hold {
	known := func(x float64, known bool) *float64 {
		if !known {
			return nil
		}
		x = Rounded(x)
		return &x
	}
	engaged := h.Engaged > 0
	return api.Hold{
		Flare: w.Length(h.Flare), Engaged: w.Known(h.Engaged, engaged), GlueMM2: known(h.Glue, engaged),
		SlopeN: known(h.Slope, h.SlopeKnown), RubbedN: known(h.Rubbed, h.SlopeKnown),
		ShearN: known(h.Shear, h.ShearKnown), EdgePinN: known(h.EdgePin, h.EdgePinKnown),
	}
}

// Window writes which differences of diameters serve.
func (w Writer) Window(x *recommend.Window) *api.Window {
	return &api.Window{Difference: w.Length(x.Difference), Least: w.Length(x.Least), Most: w.Known(x.Most, x.MostKnown)}
}

// Changes writes what else would serve, where nothing does.
func (w Writer) Changes(all []recommend.Change) []api.Change {
	out := make([]api.Change, len(all))
	for i, change := range all {
		out[i].Code = codes.Changes[change.Code]
		out[i].Text, out[i].Params = w.Say(say.Change(change))
	}
	return out
}

// BreakEven writes what the first pair's lead hangs on, nil where it hangs on
// nothing.
func (w Writer) BreakEven(r *recommend.Result) *api.BreakEven {
	b := &r.BreakEven
	if !b.Known {
		return nil
	}
	m := say.BreakEven(r)
	out := &api.BreakEven{LeadsWhile: say.LeadsWhile(b), Code: m.Code}
	out.Text, out.Params = w.Say(m)
	if !b.Always && b.Tie == recommend.TieNone {
		worth := Rounded(b.Worth)
		out.Worth = &worth
	}
	return out
}
