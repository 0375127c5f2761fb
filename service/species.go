package service

import (
	"context"
	"net/http"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/joint/wood"
	"snugtail/service/message"
	"snugtail/service/problem"
	"snugtail/service/say"
)

func (s *Service) listSpecies(ctx context.Context) (*api.SpeciesListAnswer, error) {
	all := wood.Species()
	answer := &api.SpeciesListAnswer{Model: s.model, Species: make([]api.Wood, len(all))}
	answer.Note, answer.NoteMessage = s.writer(ctx, length.UnitMillimetre).Tell("note", say.SpeciesNote())
	for i := range all {
		answer.Species[i] = woodAnswer(&all[i])
	}
	return answer, nil
}

func (s *Service) showSpecies(ctx context.Context, id string) (*api.SpeciesAnswer, error) {
	w, ok := wood.ByID(id)
	if !ok {
		return nil, problem.New(http.StatusNotFound, problem.Detail("no_species", message.Said("reason", say.SpeciesUnknown(id)), message.Name("list", say.ListSpecies)))
	}
	answer := &api.SpeciesAnswer{Model: s.model, Species: woodAnswer(&w)}
	answer.Note, answer.NoteMessage = s.writer(ctx, length.UnitMillimetre).Tell("note", say.SpeciesNote())
	return answer, nil
}

func woodAnswer(w *wood.Wood) api.Wood {
	b := &w.Botanical
	return api.Wood{
		ID: w.ID, Name: w.Name, Group: string(w.Group),
		BotanicalName:            api.BotanicalName{Name: b.Name, Source: b.Source, Table: b.Table, Found: found(b.Memory), Note: b.Note},
		RadialCoefficient:        figure(&w.RadialCoefficient),
		TangentialCoefficient:    figure(&w.TangentialCoefficient),
		RadialShrinkage:          figure(&w.RadialShrinkage),
		TangentialShrinkage:      figure(&w.TangentialShrinkage),
		VolumetricShrinkage:      figure(&w.VolumetricShrinkage),
		SpecificGravity:          figure(&w.SpecificGravity),
		BasicSpecificGravity:     figure(&w.BasicSpecificGravity),
		ModulusOfElasticity:      figure(&w.ModulusOfElasticity),
		CompressionPerpendicular: figure(&w.CompressionPerpendicular),
		SideHardness:             figure(&w.SideHardness),
		RadialRatio:              figure(&w.RadialRatio),
		TangentialRatio:          figure(&w.TangentialRatio),
	}
}

// figure is nil for a property that was not found: it is left out.
func figure(p *wood.Property) *api.WoodFigure {
	if !p.Known {
		return nil
	}
	out := &api.WoodFigure{Value: p.Value, Unit: p.Unit, Source: p.Source, Table: p.Table, Found: found(p.Memory), Note: p.Note}
	if ip := &p.InchPound; ip.Known {
		out.InchPound = &api.InchPound{Value: ip.Value, Unit: ip.Unit, Source: ip.Source, Table: ip.Table, Found: found(ip.Memory)}
	}
	return out
}

func found(memory bool) string {
	if memory {
		return "memory"
	}
	return "read"
}
