package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/joint/stock"
	"snugtail/service/say"
)

func listCutters(context.Context) (*api.CuttersAnswer, error) {
	w := newWriter(length.UnitMillimetre)
	all := stock.Cutters()
	answer := &api.CuttersAnswer{Model: modelVersion, Note: say.CuttersNote, Cutters: make([]api.CutterChoice, len(all))}
	for i := range all {
		answer.Cutters[i] = w.cutter(&all[i])
	}
	return answer, nil
}

func listBushings(context.Context) (*api.BushingsAnswer, error) {
	w := newWriter(length.UnitMillimetre)
	all := stock.Bushings()
	answer := &api.BushingsAnswer{Model: modelVersion, Note: say.BushingsNote, Bushings: make([]api.BushingChoice, len(all))}
	for i, b := range all {
		answer.Bushings[i] = api.BushingChoice{ID: b.ID, Diameter: w.length(b.Diameter.Length), Bore: w.length(b.Bore.Length)}
	}
	return answer, nil
}
