package service

import (
	"context"
	"sync"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/joint/stock"
)

const (
	cuttersNote  = "Standard sizes as commonly to be had; diameter at the tip, angle one side from the axis. Cutting lengths are judgement: measure the cutter at hand."
	bushingsNote = "Standard sizes as commonly to be had; diameter is the outside of the barrel. Bores are judgement: measure the bushing at hand."
)

// cutterIDs are the ids of the built-in cutters, for "did you mean".
var cutterIDs = sync.OnceValue(func() []string {
	all := stock.Cutters()
	ids := make([]string, len(all))
	for i, c := range all {
		ids[i] = c.ID
	}
	return ids
})

func listCutters(context.Context) (*api.CuttersAnswer, error) {
	w := newWriter(length.UnitMillimetre)
	all := stock.Cutters()
	answer := &api.CuttersAnswer{Model: modelVersion, Note: cuttersNote, Cutters: make([]api.CutterChoice, len(all))}
	for i := range all {
		answer.Cutters[i] = w.cutter(&all[i])
	}
	return answer, nil
}

func listBushings(context.Context) (*api.BushingsAnswer, error) {
	w := newWriter(length.UnitMillimetre)
	all := stock.Bushings()
	answer := &api.BushingsAnswer{Model: modelVersion, Note: bushingsNote, Bushings: make([]api.BushingChoice, len(all))}
	for i, b := range all {
		answer.Bushings[i] = api.BushingChoice{ID: b.ID, Diameter: w.length(b.Diameter.Length), Bore: w.length(b.Bore.Length)}
	}
	return answer, nil
}
