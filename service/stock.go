package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/joint/stock"
	"snugtail/service/answers"
	"snugtail/service/say"
)

func listCutters(context.Context) (*api.CuttersAnswer, error) {
	w := answers.NewWriter(length.UnitMillimetre)
	all := stock.Cutters()
	answer := &api.CuttersAnswer{Model: answers.ModelVersion, Note: say.CuttersNote, Cutters: make([]api.CutterChoice, len(all))}
	for i := range all {
		answer.Cutters[i] = w.Cutter(&all[i])
	}
	return answer, nil
}

func listBushings(context.Context) (*api.BushingsAnswer, error) {
	w := answers.NewWriter(length.UnitMillimetre)
	all := stock.Bushings()
	answer := &api.BushingsAnswer{Model: answers.ModelVersion, Note: say.BushingsNote, Bushings: make([]api.BushingChoice, len(all))}
	for i, b := range all {
		answer.Bushings[i] = api.BushingChoice{ID: b.ID, Diameter: w.Length(b.Diameter.Length), Bore: w.Length(b.Bore.Length)}
	}
	return answer, nil
}
