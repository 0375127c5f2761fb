package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/layout"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/problem"
	"snugtail/service/say"
	"snugtail/service/working"
)

// layOut answers: where do pins and tails fall, and does the groove stay hidden?
func (s *Service) layOut(ctx context.Context, in *api.LayoutRequest) (*api.LayoutAnswer, error) {
	r := s.reader(ctx, in.Units)
	p, opening := r.Plan(in)
	if err := r.Fault(); err != nil {
		return nil, err
	}
	heights, err := heightsIn(&p, opening)
	if err != nil {
		return nil, r.PlanRefusal(err, in)
	}
	if p.Width == 0 { // then the opening says how wide
		if len(heights) == 0 {
			return nil, problem.BadFields(problem.Field{Pointer: "#/opening_height", Code: problem.CodeOutOfRange, Detail: say.OpeningTooLow(&p)}).InUnit(r.Unit)
		}
		p.Width = heights[0].Height
	}
	l, err := layout.New(p)
	if err != nil {
		return nil, r.PlanRefusal(err, in)
	}
	year := r.HeightYear(in, &l, opening)
	w := s.writerFor(ctx, r, &p.Setup)
	answer := layoutAnswer(w, &l, heights, year)
	if in.Explain && w.Wants("working") {
		answer.Working = working.Layout(w, &l, heights)
	}
	return answer, nil
}

func heightsIn(p *layout.Plan, opening length.Size) ([]layout.Height, error) {
	if !opening.Given {
		return nil, nil
	}
	return layout.Heights(p.Setup, p.Spacing, opening.Length)
}

func layoutAnswer(w answers.Writer, l *layout.Layout, heights []layout.Height, year *seasons.HeightYear) *api.LayoutAnswer {
	answer := &api.LayoutAnswer{
		Model:    w.Model,
		Layout:   laidOut(w, l),
		HalfPins: l.HalfPins,
		EdgePins: api.EdgePins{
			Ending:       codes.Endings[l.Edge.Ending],
			Smallest:     w.Length(l.SmallestEdgePin()),
			Widest:       w.Length(l.Edge.Widest),
			StrongEnough: l.Limits[joint.LimitEdgePin].OK(),
			Otherwise:    w.Known(l.Otherwise.Edge.Root, l.Otherwise.Known),
		},
		Nearest: api.NearestWidths{
			Smaller: w.Known(l.Nearest.Smaller, l.Nearest.SmallerKnown),
			Larger:  w.Length(l.Nearest.Larger),
		},
		Corners:  layoutCorners(w),
		Groove:   grooveFinding(w, l),
		Heights:  make([]api.LayoutHeight, len(heights)),
		Seasons:  heightSeasons(w, year),
		Limits:   append(w.Limits(&l.Limits), grooveLimit(w, &l.Groove)),
		Cautions: layoutCautions(w, l, year != nil),
	}
	answer.Summary, answer.SummaryMessage = w.Tell("summary", w.LayoutSummary(l, heights))
	for i, h := range heights {
		answer.Heights[i] = api.LayoutHeight{
			Tails: h.Tails, Height: w.Length(h.Height), LeastHeight: w.Length(h.Least), LeftOver: w.Length(h.Left),
		}
	}
	return answer
}

// heightSeasons are how the height swells in its opening; nil where that is not
// known.
func heightSeasons(w answers.Writer, y *seasons.HeightYear) *api.HeightSeasons {
	if y == nil {
		return nil
	}
	said := say.HeightText(y.Gap, y.House, y.From, y.Assumed)
	text, params := w.Say(said)
	return &api.HeightSeasons{
		Driest: answers.Rounded(y.House.Dry), Dampest: answers.Rounded(y.House.Damp),
		Moisture: answers.Rounded(y.From), MoistureFrom: codes.SeasonFrom(y.Assumed),
		Height: seasonGap(w, y.Gap), Code: said.Code, Params: params, Text: text,
	}
}

func laidOut(w answers.Writer, l *layout.Layout) api.Layout {
	return api.Layout{
		BoardWidth: w.Length(l.Width),
		Pitch:      w.Length(l.Pitch),
		Pitches:    l.Pitches,
		CentredOn:  codes.Centres[l.Centre],
		FirstPin:   w.Length(l.FirstPin),
		Spacer:     w.Known(l.Spacer.Thickness, l.Spacer.Known),
		PinBoard:   api.LayoutPinBoard{Pins: layoutParts(w, l.PinBoard.Pins), TailSockets: layoutParts(w, l.PinBoard.TailSockets)},
		TailBoard:  api.LayoutTailBoard{Tails: layoutParts(w, l.TailBoard.Tails), PinSockets: layoutParts(w, l.TailBoard.PinSockets)},
	}
}

func layoutParts(w answers.Writer, parts []layout.Part) []api.LayoutPart {
	all := make([]api.LayoutPart, len(parts))
	for i, p := range parts {
		all[i] = api.LayoutPart{
			Number: i + 1,
			Share:  codes.Shares[p.Share],
			Centre: w.Length(p.Centre),
			From:   w.Length(p.Widest.From), To: w.Length(p.Widest.To), Widest: w.Length(p.Widest.Width()),
			NarrowFrom: w.Length(p.Narrowest.From), NarrowTo: w.Length(p.Narrowest.To), Narrowest: w.Length(p.Narrowest.Width()),
		}
	}
	return all
}

func grooveFinding(w answers.Writer, l *layout.Layout) *api.LayoutGrooveFinding {
	f := &l.Groove
	if !f.Known {
		return nil
	}
	from := f.Asked.FromBottom
	out := &api.LayoutGrooveFinding{
		Hidden:      f.Hidden,
		Margin:      w.Length(f.Margin),
		Shows:       make([]api.GrooveSeen, 0, len(f.Beside)+len(f.Under)),
		HidesLower:  w.Known(f.Lower.From, f.Lower.Known),
		MoveDown:    w.Known(from-f.Lower.From, f.Lower.Known),
		HidesHigher: w.Known(f.Higher.From, f.Higher.Known),
		MoveUp:      w.Known(f.Higher.From-from, f.Higher.Known),
	}
	said := say.GrooveText(l)
	out.Code = said.Code
	out.Text, out.Params = w.Say(said)
	if f.Margin >= 0 {
		number := f.Tail + 1
		out.Tail = &number
	}
	for _, s := range f.Beside {
		out.Shows = append(out.Shows, api.GrooveSeen{Where: "beside_tail", From: w.Length(s.From), To: w.Length(s.To)})
	}
	for _, s := range f.Under {
		out.Shows = append(out.Shows, api.GrooveSeen{Where: "under_tail", From: w.Length(s.From), To: w.Length(s.To)})
	}
	return out
}

// grooveLimit joins the set-up's limits: the groove inside one tail.
func grooveLimit(w answers.Writer, f *layout.Finding) api.Limit {
	limit := api.Limit{Code: say.GrooveInTail, Severity: codes.Severities[joint.SeverityForbids], Margin: w.Known(f.Margin, f.Known)}
	limit.Text, limit.Params = w.Say(say.GrooveLimit(f))
	if f.Known {
		ok := f.Margin >= 0
		limit.OK = &ok
	}
	return limit
}

func layoutCorners(w answers.Writer) []api.LayoutCorner {
	corners := layout.Corners()
	all := make([]api.LayoutCorner, len(corners))
	for i, c := range corners {
		all[i] = api.LayoutCorner{
			Label:  codes.CornerLabels[c.Depthwise][c.Side],
			Corner: codes.Depthwise[c.Depthwise] + "_" + codes.Sides[c.Side],
			Stop:   codes.Sides[c.Stop], EdgeAtStop: "bottom",
			PinBoard: codes.Depthwise[c.Depthwise], PinBoardUp: "inside",
			TailBoard: codes.Sides[c.Side] + "_side", TailBoardOut: "inside",
			PositionsRun: codes.Runs[c.Stop],
		}
		said := say.CornerText(c)
		all[i].Code = said.Code
		all[i].Text, all[i].Params = w.Say(said)
	}
	return all
}

// layoutCautions: a layout is cut as any joint is.
func layoutCautions(w answers.Writer, l *layout.Layout, seasons bool) []api.Caution {
	codes := make([]string, 0, 10)
	codes = append(codes, "power_off", "test_in_scrap", "same_face_to_stop", "score_and_back_up", "blow_out_chips")
	if seasons {
		codes = append(codes, "wood_averages")
	}
	return w.Cautions(answers.ForCutting(codes, &l.Joint, &l.Limits)...)
}
