package service

import (
	"context"
	"fmt"
	"slices"

	"snugtail/api"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/fields"
	"snugtail/service/message"
	"snugtail/service/paper"
	"snugtail/service/read"
	"snugtail/service/say"
	"snugtail/service/working"
)

// movement is a request for wood movement while it is answered.
type movement struct {
	answers.Writer
	*read.MovementAsked
	said say.Movement
}

func (s *Service) newMovement(ctx context.Context, asked *read.MovementAsked, wanted map[string]bool) *movement {
	m := &movement{Writer: s.writer(ctx, asked.Unit), MovementAsked: asked}
	m.Wanted = wanted
	m.said = say.Movement{Words: m.Words, Question: &asked.Question, Names: climateNames(asked.In.Climates)}
	return m
}

// moveWood answers: what do the seasons do to this joint?
func (s *Service) moveWood(ctx context.Context, in *api.WoodMovementRequest) (*api.WoodMovementAnswer, error) {
	asked, err := read.SolveMovement(s.reader(ctx, in.Units), in)
	if err != nil {
		return nil, err
	}
	year, err := asked.Question.Through(asked.Climates)
	if err != nil {
		return nil, fmt.Errorf("taking the joint through its climates: %w", err)
	}
	return s.newMovement(ctx, asked, fields.From(ctx).Members()).answer(&year), nil
}

// plotMovement draws the same over the year's humidity.
func (s *Service) plotMovement(ctx context.Context, in *api.WoodMovementRequest) ([]byte, error) {
	asked, err := read.SolveMovement(s.reader(ctx, in.Units), in)
	if err != nil {
		return nil, err
	}
	year, err := asked.Question.Through(asked.Climates)
	if err != nil {
		return nil, fmt.Errorf("taking the joint through its climates: %w", err)
	}
	points, err := asked.Question.OverHumidity(paper.Sweep)
	if err != nil {
		return nil, fmt.Errorf("taking the joint through the year: %w", err)
	}
	page := paper.MovementPlot(in.ID, s.newMovement(ctx, asked, nil).said, points, &year)
	return page.SVG(), nil
}

func climateNames(in []api.WoodClimate) []string {
	names := make([]string, len(in))
	for i := range in {
		names[i] = in[i].Name
	}
	return names
}

// answer writes what the climates do to the joint.
func (m *movement) answer(year *seasons.Year) *api.WoodMovementAnswer {
	a := &api.WoodMovementAnswer{
		Model:    m.Model,
		Joint:    m.cutJoint(),
		Climates: make([]api.JointMoved, len(year.Outcomes)),
		Advice:   m.woodAdvice(year),
		Cautions: movementCautions(m.Writer, year),
	}
	a.Summary, a.SummaryMessage = m.Tell("summary", m.said.Summary(year))
	for i := range year.Outcomes {
		a.Climates[i] = m.jointMoved(i, &year.Outcomes[i])
	}
	if len(m.In.Climates) == 0 {
		source, table, memory := wood.HeatedHomeSource()
		a.ClimatesSource = &api.Citation{Source: source, Table: table, Found: found(memory)}
	}
	if m.In.Explain && m.Wants("working") {
		a.Working = working.Movement(m.Writer, m.MovementAsked, year)
	}
	return a
}

func (m *movement) cutJoint() api.CutJoint {
	c := &m.Question.Cut
	play := c.Play
	play.Band = m.Question.Bands.Of(play.Play)
	return api.CutJoint{
		Play:           playNow(m.Writer, play),
		Pitch:          m.Length(c.Pitch),
		TailWidest:     m.Length(c.TailWidest),
		DepthPinBoard:  m.Length(c.DepthPinBoard),
		DepthTailBoard: m.Length(c.DepthTailBoard.Or(c.DepthPinBoard).Length),
		NoseReach:      m.Known(c.NoseReach.Length, c.NoseReach.Given),
		LeastPlay:      m.Length(m.Question.LeastPlay),
		PinBoard:       m.cutBoard(&m.Question.PinBoard, m.Pin.MoistureFrom),
		TailBoard:      m.cutBoard(&m.Question.TailBoard, m.Tail.MoistureFrom),
	}
}

func (m *movement) cutBoard(b *wood.Board, from string) api.CutBoard {
	out := api.CutBoard{
		Material: codes.MaterialNames[b.Material], Grain: b.Grain.String(), Width: m.Length(b.Width),
		Moisture: answers.Rounded(b.Moisture.Percent), MoistureUncertainty: answers.Rounded(b.Moisture.StandardUncertainty), MoistureFrom: from,
	}
	if b.Wood.Known() {
		out.Species = &b.Wood.ID
	}
	return out
}

func playNow(w answers.Writer, p seasons.Play) api.PlayNow {
	return api.PlayNow{
		Play:        w.Length(p.Play),
		Uncertainty: api.Uncertainty{Standard: w.Length(p.Standard), Low: w.Length(p.Low), High: w.Length(p.High)},
		Band:        codes.Bands[p.Band],
	}
}

func (m *movement) jointMoved(i int, o *seasons.Outcome) api.JointMoved {
	out := api.JointMoved{
		Name: m.said.ClimateName(i), Season: o.Climate.Season.String(), Moisture: answers.Rounded(o.Climate.Moisture.Percent),
		State: o.State.String(), Closes: "unknown",
	}
	said := m.said.OutcomeText(o)
	out.Code = said.Code
	out.Text, out.Params = m.Say(said)
	if lacks := o.Missing; lacks != nil {
		out.Missing = &api.MissingProperty{Species: lacks.Species, Property: string(lacks.Property)}
		return out
	}
	middle, outermost := playNow(m.Writer, o.Middle), playNow(m.Writer, o.Outermost)
	out.Middle, out.Outermost = &middle, &outermost
	out.PinBoard = m.boardMoved(&m.Question.PinBoard, m.Setup.PinBoard.Thickness, &o.PinBoard)
	out.TailBoard = m.boardMoved(&m.Question.TailBoard, m.Setup.TailBoard.Thickness, &o.TailBoard)
	out.Closes = o.Closes.String()
	out.Closing, out.Opening = m.Known(o.ClosingFlank, true), m.Known(o.OpeningFlank, true)
	out.EdgeStep = m.Known(o.EdgeStep, true)
	out.SeatChange = m.Known(o.SeatChange, o.SeatKnown)
	out.ShoulderGap, out.FloorGap = m.Known(o.ShoulderGap, true), m.Known(o.FloorGap, true)
	return out
}

func (m *movement) boardMoved(b *wood.Board, thickness length.Size, moved *wood.BoardMoved) *api.BoardMoved {
	change := length.Length(moved.Thickness.Strain) * thickness.Length
	return &api.BoardMoved{
		Width: m.Length(b.Width + moved.Change), Change: m.Length(moved.Change), Uncertainty: m.Length(moved.Uncertainty),
		Thickness: m.Known(thickness.Length+change, thickness.Given), ThicknessChange: m.Known(change, thickness.Given),
		Basis: moved.Width.Basis.String(),
	}
}

// woodAdvice says what to do before the next joint is cut.
func (m *movement) woodAdvice(year *seasons.Year) []api.WoodAdvice {
	a, all := &year.Advice, []api.WoodAdvice{}
	add := func(given bool, code string, said message.Message) *api.WoodAdvice {
		if !given {
			return new(api.WoodAdvice)
		}
		text, params := m.Say(said)
		all = append(all, api.WoodAdvice{Code: code, Text: text, Params: params})
		return &all[len(all)-1]
	}
	add(a.SameWood, "same_wood", m.said.SameWood())
	add(a.SameGrain, "same_grain", say.WoodAdvice("same_grain"))
	add(a.SameMoisture, "same_moisture", m.said.SameMoisture())
	add(a.SameStock, "same_stock", say.WoodAdvice("same_stock"))
	waitFor := answers.Rounded(a.WaitFor)
	add(a.Wait, "wait", say.Wait(a.WaitFor)).Moisture = &waitFor
	looser := add(a.CutLooser.Rounded() > 0, "cut_looser", say.CutLooser(year))
	looser.Amount, looser.Depth = m.Known(a.CutLooser, true), m.Known(year.LooserDepth.Length, year.LooserDepth.Given)
	add(m.Pin.MoistureFrom == codes.MoistureDefault || m.Tail.MoistureFrom == codes.MoistureDefault, "measure_moisture", say.MeasureMoisture(wood.UnknownMoisture()))
	told := slices.ContainsFunc(year.Outcomes, func(o seasons.Outcome) bool { return o.Missing == nil })
	add(told && len(all) == 0, "as_is", say.WoodAdvice("as_is"))
	return all
}

// movementCautions fit what is advised: a looser cut is tried in scrap.
func movementCautions(w answers.Writer, year *seasons.Year) []api.Caution {
	codes := []string{"wood_averages"}
	if year.Advice.CutLooser.Rounded() > 0 {
		codes = append(codes, "power_off", "test_in_scrap", "eyes_ears_dust")
	}
	return w.Cautions(append(codes, "own_instructions_first")...)
}
