package service

import (
	"context"
	"net/http"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/joint/wood"
	"snugtail/service/answers"
	"snugtail/service/message"
	"snugtail/service/problem"
	"snugtail/service/say"
)

func (s *Service) listSpecies(ctx context.Context) (*api.SpeciesListAnswer, error) {
	all := wood.Species()
	answer := &api.SpeciesListAnswer{Model: s.model, Species: make([]api.Wood, len(all))}
	w := s.writer(ctx, length.UnitMillimetre)
	answer.Note, answer.NoteMessage = w.Tell("note", say.SpeciesNote())
	for i := range all {
		answer.Species[i] = woodAnswer(w, &all[i])
	}
	return answer, nil
}

func (s *Service) showSpecies(ctx context.Context, id string) (*api.SpeciesAnswer, error) {
	known, ok := wood.ByID(id)
	if !ok {
		return nil, problem.New(http.StatusNotFound, problem.Detail("no_species", message.Said("reason", say.SpeciesUnknown(id)), message.Name("list", say.ListSpecies)))
	}
	w := s.writer(ctx, length.UnitMillimetre)
	answer := &api.SpeciesAnswer{Model: s.model, Species: woodAnswer(w, &known)}
	answer.Note, answer.NoteMessage = w.Tell("note", say.SpeciesNote())
	return answer, nil
}

func woodAnswer(w answers.Writer, of *wood.Wood) api.Wood {
	return api.Wood{
		ID: of.ID, Name: of.Name, Group: string(of.Group),
		BotanicalName:            botanicalName(w, &of.Botanical),
		RadialCoefficient:        figure(w, &of.RadialCoefficient),
		TangentialCoefficient:    figure(w, &of.TangentialCoefficient),
		RadialShrinkage:          figure(w, &of.RadialShrinkage),
		TangentialShrinkage:      figure(w, &of.TangentialShrinkage),
		VolumetricShrinkage:      figure(w, &of.VolumetricShrinkage),
		SpecificGravity:          figure(w, &of.SpecificGravity),
		BasicSpecificGravity:     figure(w, &of.BasicSpecificGravity),
		ModulusOfElasticity:      figure(w, &of.ModulusOfElasticity),
		CompressionPerpendicular: figure(w, &of.CompressionPerpendicular),
		SideHardness:             figure(w, &of.SideHardness),
		RadialRatio:              figure(w, &of.RadialRatio),
		TangentialRatio:          figure(w, &of.TangentialRatio),
	}
}

func botanicalName(w answers.Writer, b *wood.Botanical) api.BotanicalName {
	out := api.BotanicalName{Name: b.Name, Source: b.Source, Table: b.Table, Found: found(b.Memory)}
	out.Note, out.NoteMessage = w.Tell("note", say.BotanicalNote(b.Note))
	return out
}

// figure is nil for a property that was not found: it is left out.
func figure(w answers.Writer, p *wood.Property) *api.WoodFigure {
	if !p.Known {
		return nil
	}
	out := &api.WoodFigure{Value: p.Value, Unit: p.Unit, Source: p.Source, Table: p.Table, Found: found(p.Memory)}
	if p.Row != "" {
		out.Table, out.TableMessage = w.Tell("table", say.WoodRow(p.Table, p.Row))
	}
	out.Note, out.NoteMessage = w.Tell("note", say.WoodNotes(p.Notes()))
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
