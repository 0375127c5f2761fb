// Package effort joins the joint to its wood: how hard a tight joint is to
// close, the interference that its wood gives way to, and whether the boards
// will move against each other.
package effort

import (
	"fmt"
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/wood"
)

// Bands returns the bands of play for the set-up's wood: where a species is
// stated and the table holds its strength, its crush limit takes the place of
// joint.DefaultCrush. Judging needs the template's openings.
func Bands(j *joint.Joint) (joint.Bands, error) {
	bands := joint.Bands{Crush: joint.DefaultCrush}
	s := j.Setup()
	if s.PinBoard.Stock.Species == "" && s.TailBoard.Stock.Species == "" {
		return bands, nil
	}
	e, known, err := Closing(j, 0)
	if err != nil || !known || !e.CrushKnown {
		return bands, err
	}
	// The range holds about 95 %: four standard deviations.
	return joint.Bands{Crush: e.Crush, CrushSD: (e.CrushHigh - e.CrushLow) / 4}, nil
}

// Closing returns what it takes to close the joint with play c; known is
// false for templates that are not known by their openings or where the tail
// board's thickness was not stated.
func Closing(j *joint.Joint, c length.Length) (e wood.Effort, known bool, err error) {
	s := j.Setup()
	w, known := j.Widths()
	if !known || !s.TailBoard.Thickness.Given {
		return wood.Effort{}, false, nil
	}
	e, err = wood.Closing(&wood.Squeeze{
		Interference: -c,
		Pin:          part(s.PinBoard.Stock, w.PinRoot, w.PinWidest),
		Tail:         part(s.TailBoard.Stock, w.TailRoot, w.TailWidest),
		Depth:        s.Depth.Deeper().Length,
		AngleDegrees: float64(s.Cutter.Angle),
		Engaged:      engaged(&s),
		Tails:        max(s.Tails(), 1),
	})
	if err != nil {
		return wood.Effort{}, false, fmt.Errorf("estimating the closing effort: %w", err)
	}
	return e, true, nil
}

func part(stock joint.Stock, root, widest length.Length) wood.Part {
	species, _ := wood.ByID(stock.Species)
	return wood.Part{Wood: species, Grain: stock.Grain, MeanWidth: (root + widest) / 2}
}

// engaged is the straight flank along y: up to the centre of the nose, or as
// thick as the tail board.
func engaged(s *joint.Setup) length.Length {
	t := s.TailBoard.Thickness.MM()
	if reach := s.Template.Tail.FingerReach; reach.Given {
		if straight := reach.MM() - s.Template.Tail.Finger.MM()/2; straight > 0 {
			t = math.Min(t, straight)
		}
	}
	return length.Length(t)
}

// Moving is what the boards will do to the joint once they have settled in a
// heated home.
type Moving struct {
	Outermost length.Length // least play at the outermost tails over the year
	Season    wood.Season
}

// Settled returns what the year in a heated home does to the joint's play c;
// known is false unless width, species and moisture of both boards were
// stated, or where the table lacks what it needs.
func Settled(j *joint.Joint, c length.Length) (m Moving, known bool, err error) {
	s := j.Setup()
	w, openings := j.Widths()
	pin, tail := &s.PinBoard, &s.TailBoard
	if !openings || !stated(pin.Width, pin.Stock) || !stated(tail.Width, tail.Stock) {
		return Moving{}, false, nil
	}
	climates := wood.HeatedHome()
	moved, err := wood.Movement(&wood.Joint{
		PinBoard:  board(pin.Stock, pin.Width),
		TailBoard: board(tail.Stock, tail.Width),
		Play:      c, LeastPlay: wood.DefaultLeastPlay,
		Pitch: s.Template.Pitch.Length, TailWidth: w.TailWidest,
		DepthPinBoard: s.Depth.PinBoard.Length,
		Climates:      climates[:],
	})
	if err != nil {
		return Moving{}, false, fmt.Errorf("moving the boards: %w", err)
	}
	m.Outermost = length.Length(math.Inf(1))
	for _, o := range moved.Outcomes {
		if o.Missing != nil {
			return Moving{}, false, nil
		}
		if o.PlayOutermost < m.Outermost {
			m.Outermost, m.Season = o.PlayOutermost, o.Climate.Season
		}
	}
	return m, true, nil
}

func stated(width length.Size, stock joint.Stock) bool {
	return width.Given && stock.Species != "" && stock.MoistureKnown
}

func board(stock joint.Stock, width length.Size) wood.Board {
	species, _ := wood.ByID(stock.Species)
	return wood.Board{Wood: species, Grain: stock.Grain, Width: width.Length, Moisture: stock.Moisture}
}
