package read

import (
	"fmt"
	"slices"
	"strconv"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
	"snugtail/service/codes"
	"snugtail/service/problem"
	"snugtail/service/say"
)

// MovementAsked is a request for wood movement in the domain's terms.
type MovementAsked struct {
	In        *api.WoodMovementRequest
	Unit      length.Unit
	Setup     joint.Setup // with the boards as merged
	sessions  []belief.Session
	Target    joint.Target
	sizes     jointSizes
	Pin, Tail boardStated
	Question  seasons.Question
	Climates  []wood.Climate
	Predicted *joint.Prediction // nil without a set-up
}

// StatesPlay: the play as cut is stated, and does not follow from the set-up.
func (m *MovementAsked) StatesPlay() bool { return m.sizes.play.Given }

// jointSizes are what a request says of the joint itself.
type jointSizes struct {
	play, pitch, tailWidest, noseReach length.Size
	depth                              joint.Depth
}

// What may be said only because of what was taken out of a request.
const climateEmpty, jointMissing = "climate_empty", "movement_joint"

// Movement reads what is left of a request that the contract refuses. A
// climate or a joint of which nothing is said may have lost what was wrong with it.
func Movement(r *Reader, in *api.WoodMovementRequest) {
	r.movement(in)
	r.Bad = slices.DeleteFunc(r.Bad, func(field problem.Field) bool {
		return field.Code == problem.CodeMissing && (field.Detail.State == climateEmpty || field.Detail.State == jointMissing)
	})
}

// SolveMovement reads a request and finds the joint that it is about.
func SolveMovement(r *Reader, in *api.WoodMovementRequest) (*MovementAsked, error) {
	m := r.movement(in)
	if err := r.Fault(); err != nil {
		return nil, err
	}
	if in.Setup != nil {
		if err := r.predictCut(m); err != nil {
			return nil, err
		}
	}
	m.Question.Bands = r.Bands
	if err := m.Question.Check(); err != nil {
		return nil, r.rangeRefusal(m, err)
	}
	return m, nil
}

// predictCut sets the joint that the set-up cuts, and what the request says of
// it itself.
func (r *Reader) predictCut(m *MovementAsked) error {
	p, _, err := r.Predicted(&m.Setup, m.sessions, m.Target)
	if err != nil {
		return err
	}
	m.Predicted = &p
	m.Question.Cut = m.sizes.over(seasons.CutBy(&p))
	return nil
}

// movement reads a request, as far as it can be read.
func (r *Reader) movement(in *api.WoodMovementRequest) *MovementAsked {
	m := &MovementAsked{In: in, Unit: r.Unit}
	m.Setup, m.sessions = r.Setup(in.Setup)
	m.mergeBoards(r)
	m.Target = r.Target(in.Target, m.Setup.Tails())
	m.sizes = r.jointSizes(in.Joint)
	r.needSizes(m)
	m.Climates = r.climates(in.Climates)
	m.Question = seasons.Question{
		Cut:       m.sizes.over(seasons.Cut{Pitch: m.Setup.Template.Pitch.Length}),
		PinBoard:  woodBoard(&m.Setup.PinBoard.Stock, m.Setup.PinBoard.Width),
		TailBoard: woodBoard(&m.Setup.TailBoard.Stock, m.Setup.TailBoard.Width),
		SameStock: in.SameStock, LeastPlay: m.Target.From,
	}
	m.Question.PinBoard.Material, m.Question.TailBoard.Material = materialOf(in.PinBoard), materialOf(in.TailBoard)
	r.refuseStated(m)
	return m
}

// boardStated is where a request says what of a board.
type boardStated struct{ MoistureFrom, widthAt string }

// mergeBoards lets what the request's boards say count instead of what the
// set-up's say. One width serves both boards where only one is known.
func (m *MovementAsked) mergeBoards(r *Reader) {
	pin, tail := &m.Setup.PinBoard, &m.Setup.TailBoard
	m.Pin = r.mergeBoard(m.In.PinBoard, "/pin_board", &pin.Thickness, &pin.Width, &pin.Stock)
	m.Tail = r.mergeBoard(m.In.TailBoard, "/tail_board", &tail.Thickness, &tail.Width, &tail.Stock)
	switch {
	case !pin.Width.Given && !tail.Width.Given:
		r.fail("/pin_board", "width", problem.CodeMissing, "movement_width")
	case !pin.Width.Given:
		pin.Width, m.Pin.widthAt = tail.Width, m.Tail.widthAt
	case !tail.Width.Given:
		tail.Width, m.Tail.widthAt = pin.Width, m.Pin.widthAt
	}
}

func (r *Reader) mergeBoard(in *api.WoodBoard, base string, thickness, width *length.Size, own *joint.Stock) boardStated {
	out := boardStated{codes.MoistureDefault, "/setup" + base + "/width"}
	if own.MoistureKnown {
		out.MoistureFrom = codes.MoistureStated
	}
	if in == nil {
		return out
	}
	*thickness = either(r.size(in.Thickness, positive, base, "thickness"), *thickness)
	if in.Width != nil {
		*width, out.widthAt = r.size(in.Width, positive, base, "width"), base+"/width"
	}
	stated := r.stock(in.Species, in.Grain, in.Moisture, in.MoistureTolerance, base)
	if in.Species != "" {
		own.Species = stated.Species
	}
	if in.Grain != "" {
		own.Grain = stated.Grain
	}
	if from, moisture := r.boardMoisture(in, stated, base); from != codes.MoistureDefault {
		own.Moisture, own.MoistureKnown, out.MoistureFrom = moisture, true, from
	}
	return out
}

// boardMoisture reads the moisture at cutting, or that of the air before it.
func (r *Reader) boardMoisture(in *api.WoodBoard, stated joint.Stock, base string) (from string, m wood.Moisture) {
	switch {
	case in.Moisture != nil && in.Climate != nil:
		r.fail(base, "climate", problem.CodeConflict, "moisture_twice")
	case in.Moisture != nil:
		return codes.MoistureStated, stated.Moisture
	case in.Climate != nil:
		return codes.MoistureClimate, r.air(in.Climate.Temperature, in.Climate.Humidity, in.MoistureTolerance, base+"/climate")
	case in.MoistureTolerance != nil:
		r.fail(base, "moisture", problem.CodeMissing, "tolerance_alone")
	}
	return codes.MoistureDefault, m
}

// materialOf is that of a board, solid wood where it is not stated.
func materialOf(in *api.WoodBoard) wood.Material {
	if in == nil {
		return wood.Solid
	}
	return codes.Materials[in.Material]
}

func either(a, b length.Size) length.Size {
	if a.Given {
		return a
	}
	return b
}

// air reads the moisture that wood takes on in some air; a tolerance stands
// instead of the one that goes with it.
func (r *Reader) air(temperature, humidity, tolerance *float64, base string) wood.Moisture {
	switch {
	case temperature == nil:
		r.fail(base, "temperature", problem.CodeMissing, "air_incomplete")
		return wood.UnknownMoisture()
	case humidity == nil:
		r.fail(base, "humidity", problem.CodeMissing, "air_incomplete")
		return wood.UnknownMoisture()
	}
	moisture, err := wood.Air{TemperatureC: *temperature, HumidityPercent: *humidity}.Moisture()
	for _, outside := range wood.RangeErrors(err) {
		r.refuse(base, airFields[outside.Quantity], problem.CodeOutOfRange, say.Outside(outside))
	}
	if tolerance != nil {
		moisture.StandardUncertainty = *tolerance / 2
	}
	return moisture
}

var airFields = map[wood.Quantity]string{wood.QuantityTemperature: "temperature", wood.QuantityHumidity: "humidity"}

// climates reads the climates to judge in: a heated home's year where none are
// named.
func (r *Reader) climates(in []api.WoodClimate) []wood.Climate {
	if len(in) == 0 {
		home := wood.HeatedHome()
		return home[:]
	}
	all := make([]wood.Climate, len(in))
	for i := range in {
		all[i] = wood.Climate{Season: codes.Seasons[in[i].Season], Moisture: r.climate(&in[i], "/climates/"+strconv.Itoa(i))}
	}
	return all
}

func (r *Reader) climate(in *api.WoodClimate, base string) wood.Moisture {
	byAir := in.Temperature != nil || in.Humidity != nil
	switch {
	case in.Moisture != nil && byAir:
		r.fail(base, "moisture", problem.CodeConflict, "climate_twice")
	case byAir:
		return r.air(in.Temperature, in.Humidity, in.MoistureTolerance, base)
	case in.Moisture == nil:
		r.fail(base, "moisture", problem.CodeMissing, climateEmpty)
	default:
		return r.stock("", "", in.Moisture, in.MoistureTolerance, base).Moisture
	}
	return wood.UnknownMoisture()
}

func (r *Reader) jointSizes(in *api.JointAsCut) jointSizes {
	if in == nil {
		return jointSizes{}
	}
	const base = "/joint"
	return jointSizes{
		play:       r.size(in.Play, signed, base, "play"),
		pitch:      r.size(in.Pitch, positive, base, "pitch"),
		tailWidest: r.size(in.TailWidest, positive, base, "tail_widest"),
		noseReach:  r.size(in.NoseReach, positive, base, "nose_reach"),
		depth:      r.depth(in.Depth, base),
	}
}

// needSizes tells what neither the set-up nor the request's joint says.
func (r *Reader) needSizes(m *MovementAsked) {
	if m.In.Setup == nil && m.In.Joint == nil {
		r.fail("", "setup", problem.CodeMissing, jointMissing)
		return
	}
	need := func(given bool, name string) {
		if !given {
			r.fail("/joint", name, problem.CodeMissing, "joint_"+name)
		}
	}
	if m.In.Setup == nil {
		need(m.sizes.play.Given, "play")
		need(m.sizes.depth.PinBoard.Given, "depth")
	}
	if m.In.Setup == nil || !m.Setup.Template.KnownByOpenings() {
		need(m.sizes.pitch.Given, "pitch")
		need(m.sizes.tailWidest.Given, "tail_widest")
	}
}

// over returns the joint with what is stated of it in place of what follows
// from the set-up.
func (s *jointSizes) over(cut seasons.Cut) seasons.Cut {
	if s.play.Given {
		cut.Play = seasons.Measured(s.play)
	}
	if s.depth.PinBoard.Given {
		cut.DepthPinBoard, cut.DepthTailBoard = s.depth.PinBoard.Length, s.depth.TailBoard
	}
	cut.Pitch = s.pitch.Or(cut.Pitch).Length
	cut.TailWidest = s.tailWidest.Or(cut.TailWidest).Length
	cut.NoseReach = either(s.noseReach, cut.NoseReach)
	return cut
}

func woodBoard(stock *joint.Stock, width length.Size) wood.Board {
	species, _ := wood.ByID(stock.Species) // the zero Wood: not known
	b := wood.Board{Wood: species, Grain: stock.Grain, Width: width.Length, Moisture: stock.Moisture}
	if !stock.MoistureKnown {
		b.Moisture = wood.UnknownMoisture()
	}
	return b
}

// refuseStated tells which sizes contradict each other, as far as they are
// stated: those that are not yet known are 0 here, which no stated size is.
func (r *Reader) refuseStated(m *MovementAsked) {
	for _, outside := range wood.RangeErrors(m.Question.Check()) {
		if outside.Value != 0 {
			r.Bad = append(r.Bad, m.outsideField(outside))
		}
	}
}

// rangeRefusal turns the domain's error into a problem. Whatever is not one of
// its typed errors stays as it is and is told as a 500.
func (r *Reader) rangeRefusal(m *MovementAsked, err error) error {
	all := wood.RangeErrors(err)
	if len(all) == 0 {
		return fmt.Errorf("checking the joint: %w", err)
	}
	for _, outside := range all {
		r.Bad = append(r.Bad, m.outsideField(outside))
	}
	return r.Fault()
}

func (m *MovementAsked) outsideField(e *wood.RangeError) problem.Field {
	return problem.Field{Pointer: "#" + m.pointerOf(e.Quantity), Code: problem.CodeOutOfRange, Detail: say.Outside(e)}
}

// pointerOf is where a request states a quantity, or should.
func (m *MovementAsked) pointerOf(q wood.Quantity) string {
	switch q {
	case wood.QuantityPinBoardWidth:
		return m.Pin.widthAt
	case wood.QuantityTailBoardWidth:
		return m.Tail.widthAt
	case wood.QuantityLeastPlay:
		return "/target/from"
	case wood.QuantityPlay:
		return m.sizeAt(m.sizes.play, "play")
	case wood.QuantityPitch:
		return m.sizeAt(m.sizes.pitch, "pitch")
	case wood.QuantityTailWidth:
		return m.sizeAt(m.sizes.tailWidest, "tail_widest")
	case wood.QuantityNoseReach:
		return m.sizeAt(m.sizes.noseReach, "nose_reach")
	default:
		return m.sizeAt(m.sizes.depth.PinBoard, "depth")
	}
}

// sizeAt is where a size of the joint is stated, or the set-up that it follows
// from.
func (m *MovementAsked) sizeAt(stated length.Size, name string) string {
	if stated.Given || m.In.Setup == nil {
		return "/joint/" + name
	}
	return "/setup"
}
