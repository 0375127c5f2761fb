package joint

import "snugtail/joint/length"

// Projection is how far the cutter stands out when a depth is set. Neither
// figure is the depth of cut.
type Projection struct {
	BelowBase         length.Length // below the router's base: T + h
	BelowBushing      length.Length // below the bushing's tip: T + h - L; a bearing has none
	BelowBaseKnown    bool
	BelowBushingKnown bool
}

// Projection returns the router's settings for the depth into the pin board,
// on whose face the template lies.
func (j *Joint) Projection() Projection {
	t, l := j.setup.Template.Thickness, j.setup.Bushing.Barrel
	base := t.Length + length.Length(j.hp)
	return Projection{
		BelowBase: base, BelowBaseKnown: t.Given,
		BelowBushing: base - l.Length, BelowBushingKnown: t.Given && j.setup.Bushing.HasBarrel(),
	}
}

// Stated reports whether anything is known of the router.
func (r *Router) Stated() bool {
	return r.AdjusterLead.Given || r.AdjusterStep.Given || r.Backlash.Given || r.ColletHeight.Given ||
		len(r.GaugeBlocks) > 0 || r.TurnedInUse
}

// Turns returns the turns of the depth adjuster for a change of depth; ok is
// false where the adjuster's lead was not stated.
func (r Router) Turns(change length.Length) (turns float64, ok bool) {
	if !r.AdjusterLead.Given || r.AdjusterLead.Length <= 0 {
		return 0, false
	}
	return float64(change / r.AdjusterLead.Length), true
}
