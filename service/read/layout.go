package read

import (
	"errors"
	"math"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/layout"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/service/problem"
	"snugtail/service/say"
)

func Layout(r *Reader, in *api.LayoutRequest) { r.Plan(in) }

// Plan reads what is to be laid out. Its width is 0 where only an opening says
// how wide it may be.
func (r *Reader) Plan(in *api.LayoutRequest) (layout.Plan, length.Size) {
	setup, _ := r.Setup(in.Setup) // what earlier sessions taught changes no width
	p := layout.Plan{Setup: setup, Spacing: r.spacing(in.Spacing), Groove: r.groove(in.Groove)}
	opening := r.size(in.OpeningHeight, positive, "", "opening_height")
	p.Width = r.boardWidth(in, &setup)
	if own := setup.PinBoard.GrooveDepth; own.Given && p.Groove.Given && !same(own.Length, p.Groove.Depth) {
		r.fail("/groove", "depth", problem.CodeConflict, "groove_depth_twice")
	}
	if len(in.Climates) > 0 {
		r.climates(in.Climates) // what is wrong with them
	}
	r.refusePlan(&p, in)
	return p, opening
}

// HeightYear is how the height that was laid out swells in its opening; nil
// without an opening, and where nothing is known of the wood or the house.
func (r *Reader) HeightYear(in *api.LayoutRequest, l *layout.Layout, opening length.Size) *seasons.HeightYear {
	s := l.Joint.Setup()
	pin, tail := &s.PinBoard.Stock, &s.TailBoard.Stock
	stated := len(in.Climates) > 0 || pin.Species != "" || tail.Species != "" || pin.MoistureKnown || tail.MoistureKnown
	if !opening.Given || !stated {
		return nil
	}
	var pieces []seasons.Piece
	for _, stock := range []*joint.Stock{pin, tail} {
		if len(in.Climates) == 0 && stock.Species == "" && !stock.MoistureKnown {
			continue // the other board speaks for the height
		}
		pieces = append(pieces, seasons.Piece{Board: woodBoard(stock, s.PinBoard.Width), MoistureKnown: stock.MoistureKnown})
	}
	house := seasons.HouseOf(r.climates(in.Climates))
	year, err := house.HeightOver(l.Width, length.Exactly(opening.Length-l.Width), pieces...)
	if err != nil { // the table lacks what this year needs
		return nil
	}
	return &year
}

func same(a, b length.Length) bool { return math.Abs((a - b).MM()) < length.Resolution }

// boardWidth is the width asked about, or else that of the set-up's boards.
func (r *Reader) boardWidth(in *api.LayoutRequest, s *joint.Setup) length.Length {
	pin, tail := s.PinBoard.Width, s.TailBoard.Width
	switch {
	case in.BoardWidth != nil:
		return r.size(in.BoardWidth, positive, "", "board_width").Length
	case pin.Given && tail.Given && !same(pin.Length, tail.Length):
		r.fail("/setup/tail_board", "width", problem.CodeConflict, "boards_differ")
	case pin.Given:
		return pin.Length
	case tail.Given:
		return tail.Length
	case in.Setup != nil && in.OpeningHeight == nil && !statesWidth(in.Setup):
		r.fail("", "board_width", problem.CodeMissing, "board_width")
	}
	return 0
}

// statesWidth: a width is there, though perhaps none that could be read.
func statesWidth(in *api.Setup) bool {
	return in.PinBoard != nil && in.PinBoard.Width != nil || in.TailBoard != nil && in.TailBoard.Width != nil
}

// spacing reads a range of pitches; none where it can't be read.
func (r *Reader) spacing(in *api.LayoutSpacing) layout.Spacing {
	if in == nil {
		return layout.Spacing{}
	}
	least := r.size(in.PitchFrom, positive, "/spacing", "pitch_from")
	most := r.size(in.PitchTo, positive, "/spacing", "pitch_to")
	if !least.Given || !most.Given {
		return layout.Spacing{}
	}
	return layout.Spacing{Least: least.Length, Most: most.Length}
}

// groove reads a groove; none where it can't be read.
func (r *Reader) groove(in *api.LayoutGroove) layout.Groove {
	if in == nil {
		return layout.Groove{}
	}
	from := r.size(in.FromBottom, positive, "/groove", "from_bottom")
	width := r.size(in.Width, positive, "/groove", "width")
	depth := r.size(in.Depth, positive, "/groove", "depth")
	return layout.Groove{
		Given:      from.Given && width.Given && depth.Given,
		FromBottom: from.Length, Width: width.Length, Depth: depth.Length,
	}
}

// refusePlan tells everything that contradicts itself in a plan, as far as the
// plan could be read.
func (r *Reader) refusePlan(p *layout.Plan, in *api.LayoutRequest) {
	if t := &p.Setup.Template; in.Setup == nil || t.KnownByOpenings() && t.Pitch.MM() <= 0 {
		return
	}
	for _, refused := range p.Refusals() {
		ofWidth := refused.Quantity == layout.QuantityBoardWidth || refused.Quantity == layout.QuantityGroove
		if p.Width > 0 || !ofWidth {
			r.Bad = append(r.Bad, refusedField(refused, in))
		}
	}
}

// PlanRefusal turns an error of the domain into a problem.
func (r *Reader) PlanRefusal(err error, in *api.LayoutRequest) error {
	var refused *layout.Refused
	var tooClose *layout.TooClose
	switch {
	case errors.As(err, &refused):
		return problem.BadFields(refusedField(refused, in)).InUnit(r.Unit)
	case errors.As(err, &tooClose):
		return problem.Impossible(problem.Field{Pointer: "#/spacing/pitch_from", Code: problem.CodeImpossible, Detail: say.TooClose(tooClose)}).InUnit(r.Unit)
	}
	return r.Refusal(err)
}

func refusedField(e *layout.Refused, in *api.LayoutRequest) problem.Field {
	code := problem.CodeConflict
	if e.Reason == layout.ReasonTooManyPitches || e.Reason == layout.ReasonNotPositive {
		code = problem.CodeOutOfRange
	}
	return problem.Field{Pointer: "#" + planPointer(e.Quantity, in), Code: code, Detail: say.Refused(e)}
}

// planPointer is where a quantity of a plan stands in this request.
func planPointer(q layout.Quantity, in *api.LayoutRequest) string {
	switch {
	case q == layout.QuantityTemplate && in.Setup.Record != nil:
		return "/setup/record"
	case q == layout.QuantityTemplate:
		return "/setup/template/kind"
	case q == layout.QuantityPitchFrom:
		return "/spacing/pitch_from"
	case q == layout.QuantityGroove:
		return "/groove/from_bottom"
	case q != layout.QuantityBoardWidth || in.BoardWidth != nil:
		return "/" + string(q)
	case in.Setup.PinBoard != nil && in.Setup.PinBoard.Width != nil:
		return "/setup/pin_board/width"
	}
	return "/setup/tail_board/width"
}
