package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/joint/stock"
	"snugtail/service/say"
)

func (s *Service) listCutters(ctx context.Context) (*api.CuttersAnswer, error) {
	w := s.writer(ctx, length.UnitMillimetre)
	all := stock.Cutters()
	answer := &api.CuttersAnswer{Model: s.model, Cutters: make([]api.CutterChoice, len(all))}
	answer.Note, answer.NoteMessage = w.Tell("note", say.CuttersNote())
	for i := range all {
		answer.Cutters[i] = w.Cutter(&all[i])
	}
	return answer, nil
}

func (s *Service) listBushings(ctx context.Context) (*api.BushingsAnswer, error) {
	w := s.writer(ctx, length.UnitMillimetre)
	all := stock.Bushings()
	answer := &api.BushingsAnswer{Model: s.model, Bushings: make([]api.BushingChoice, len(all))}
	answer.Note, answer.NoteMessage = w.Tell("note", say.BushingsNote())
	for i, b := range all {
		answer.Bushings[i] = api.BushingChoice{ID: b.ID, Diameter: w.Length(b.Diameter.Length), Bore: w.Length(b.Bore.Length)}
	}
	return answer, nil
}
