package service

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/learn"
	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
	"snugtail/service/codes"
	"snugtail/service/problem"
	"snugtail/service/say"
)

func listSpecies(context.Context) (*api.SpeciesListAnswer, error) {
	all := wood.Species()
	answer := &api.SpeciesListAnswer{Model: modelVersion, Note: say.SpeciesNote, Species: make([]api.Wood, len(all))}
	for i := range all {
		answer.Species[i] = woodAnswer(&all[i])
	}
	return answer, nil
}

func showSpecies(_ context.Context, id string) (*api.SpeciesAnswer, error) {
	w, ok := wood.ByID(id)
	if !ok {
		return nil, problem.New(http.StatusNotFound, say.SpeciesNotFound(id))
	}
	return &api.SpeciesAnswer{Model: modelVersion, Note: say.SpeciesNote, Species: woodAnswer(&w)}, nil
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

// movement is a request for wood movement in the domain's terms.
type movement struct {
	writer
	said      say.Movement
	in        *api.WoodMovementRequest
	setup     joint.Setup // with the boards as merged
	sessions  []learn.Session
	target    joint.Target
	sizes     jointSizes
	pin, tail boardStated
	question  seasons.Question
	climates  []wood.Climate
	predicted *joint.Prediction // nil without a set-up
}

// jointSizes are what a request says of the joint itself.
type jointSizes struct {
	play, pitch, tailWidest, noseReach length.Size
	depth                              joint.Depth
}

// readMovement reads what is left of a request that the contract refuses. A
// climate or a joint of which nothing is said may have lost what was wrong with it.
func readMovement(r *reader, in *api.WoodMovementRequest) {
	r.movement(in)
	r.bad = slices.DeleteFunc(r.bad, func(field api.FieldError) bool {
		return field.Detail == say.ClimateEmpty || field.Detail == say.MovementJointMissing
	})
}

// moveWood answers: what do the seasons do to this joint?
func moveWood(_ context.Context, in *api.WoodMovementRequest) (*api.WoodMovementAnswer, error) {
	m, err := solveMovement(in)
	if err != nil {
		return nil, err
	}
	year, err := m.question.Through(m.climates)
	if err != nil {
		return nil, fmt.Errorf("taking the joint through its climates: %w", err)
	}
	return m.answer(&year), nil
}

// solveMovement reads a request and finds the joint that it is about.
func solveMovement(in *api.WoodMovementRequest) (*movement, error) {
	r := newReader(in.Units)
	m := r.movement(in)
	if err := r.fault(); err != nil {
		return nil, err
	}
	if in.Setup != nil {
		if err := r.predictCut(m); err != nil {
			return nil, err
		}
	}
	m.question.Bands = r.bands
	if err := m.question.Check(); err != nil {
		return nil, r.rangeRefusal(m, err)
	}
	return m, nil
}

// predictCut sets the joint that the set-up cuts, and what the request says of
// it itself.
func (r *reader) predictCut(m *movement) error {
	p, err := r.predicted(&m.setup, m.sessions, m.target)
	if err != nil {
		return err
	}
	m.predicted = &p
	m.question.Cut = m.sizes.over(seasons.CutBy(&p))
	return nil
}

// movement reads a request, as far as it can be read.
func (r *reader) movement(in *api.WoodMovementRequest) *movement {
	m := &movement{writer: newWriter(r.unit), in: in}
	m.said = say.Movement{Words: m.Words, Question: &m.question, Names: climateNames(in.Climates)}
	m.setup, m.sessions = r.setup(in.Setup)
	m.mergeBoards(r)
	m.target = r.target(in.Target, m.setup.Tails())
	m.sizes = r.jointSizes(in.Joint)
	r.needSizes(m)
	m.climates = r.climates(in.Climates)
	m.question = seasons.Question{
		Cut:       m.sizes.over(seasons.Cut{Pitch: m.setup.Template.Pitch.Length}),
		PinBoard:  woodBoard(&m.setup.PinBoard.Stock, m.setup.PinBoard.Width),
		TailBoard: woodBoard(&m.setup.TailBoard.Stock, m.setup.TailBoard.Width),
		SameStock: in.SameStock, LeastPlay: m.target.From,
	}
	r.refuseStated(m)
	return m
}

func climateNames(in []api.WoodClimate) []string {
	names := make([]string, len(in))
	for i := range in {
		names[i] = in[i].Name
	}
	return names
}

// boardStated is where a request says what of a board.
type boardStated struct{ moistureFrom, widthAt string }

// mergeBoards lets what the request's boards say count instead of what the
// set-up's say. One width serves both boards where only one is known.
func (m *movement) mergeBoards(r *reader) {
	pin, tail := &m.setup.PinBoard, &m.setup.TailBoard
	m.pin = r.mergeBoard(m.in.PinBoard, "/pin_board", &pin.Thickness, &pin.Width, &pin.Stock)
	m.tail = r.mergeBoard(m.in.TailBoard, "/tail_board", &tail.Thickness, &tail.Width, &tail.Stock)
	switch {
	case !pin.Width.Given && !tail.Width.Given:
		r.fail("/pin_board", "width", problem.CodeMissing, say.MovementWidthMissing)
	case !pin.Width.Given:
		pin.Width, m.pin.widthAt = tail.Width, m.tail.widthAt
	case !tail.Width.Given:
		tail.Width, m.tail.widthAt = pin.Width, m.pin.widthAt
	}
}

func (r *reader) mergeBoard(in *api.WoodBoard, base string, thickness, width *length.Size, own *joint.Stock) boardStated {
	out := boardStated{codes.MoistureDefault, "/setup" + base + "/width"}
	if own.MoistureKnown {
		out.moistureFrom = codes.MoistureStated
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
		own.Moisture, own.MoistureKnown, out.moistureFrom = moisture, true, from
	}
	return out
}

// boardMoisture reads the moisture at cutting, or that of the air before it.
func (r *reader) boardMoisture(in *api.WoodBoard, stated joint.Stock, base string) (from string, m wood.Moisture) {
	switch {
	case in.Moisture != nil && in.Climate != nil:
		r.fail(base, "climate", problem.CodeConflict, say.MoistureTwice)
	case in.Moisture != nil:
		return codes.MoistureStated, stated.Moisture
	case in.Climate != nil:
		return codes.MoistureClimate, r.air(in.Climate.Temperature, in.Climate.Humidity, in.MoistureTolerance, base+"/climate")
	case in.MoistureTolerance != nil:
		r.fail(base, "moisture", problem.CodeMissing, say.ToleranceAlone)
	}
	return codes.MoistureDefault, m
}

func either(a, b length.Size) length.Size {
	if a.Given {
		return a
	}
	return b
}

// air reads the moisture that wood takes on in some air; a tolerance stands
// instead of the one that goes with it.
func (r *reader) air(temperature, humidity, tolerance *float64, base string) wood.Moisture {
	switch {
	case temperature == nil:
		r.fail(base, "temperature", problem.CodeMissing, say.AirIncomplete)
		return wood.UnknownMoisture()
	case humidity == nil:
		r.fail(base, "humidity", problem.CodeMissing, say.AirIncomplete)
		return wood.UnknownMoisture()
	}
	moisture, err := wood.Air{TemperatureC: *temperature, HumidityPercent: *humidity}.Moisture()
	for _, outside := range wood.RangeErrors(err) {
		r.fail(base, airFields[outside.Quantity], problem.CodeOutOfRange, r.words().Outside(outside))
	}
	if tolerance != nil {
		moisture.StandardUncertainty = *tolerance / 2
	}
	return moisture
}

var airFields = map[wood.Quantity]string{wood.QuantityTemperature: "temperature", wood.QuantityHumidity: "humidity"}

// climates reads the climates to judge in: a heated home's year where none are
// named.
func (r *reader) climates(in []api.WoodClimate) []wood.Climate {
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

func (r *reader) climate(in *api.WoodClimate, base string) wood.Moisture {
	byAir := in.Temperature != nil || in.Humidity != nil
	switch {
	case in.Moisture != nil && byAir:
		r.fail(base, "moisture", problem.CodeConflict, say.ClimateTwice)
	case byAir:
		return r.air(in.Temperature, in.Humidity, in.MoistureTolerance, base)
	case in.Moisture == nil:
		r.fail(base, "moisture", problem.CodeMissing, say.ClimateEmpty)
	default:
		return r.stock("", "", in.Moisture, in.MoistureTolerance, base).Moisture
	}
	return wood.UnknownMoisture()
}

func (r *reader) jointSizes(in *api.JointAsCut) jointSizes {
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
func (r *reader) needSizes(m *movement) {
	if m.in.Setup == nil && m.in.Joint == nil {
		r.fail("", "setup", problem.CodeMissing, say.MovementJointMissing)
		return
	}
	need := func(given bool, name string) {
		if !given {
			r.fail("/joint", name, problem.CodeMissing, say.JointSizeMissing(name))
		}
	}
	if m.in.Setup == nil {
		need(m.sizes.play.Given, "play")
		need(m.sizes.depth.PinBoard.Given, "depth")
	}
	if m.in.Setup == nil || !m.setup.Template.KnownByOpenings() {
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
func (r *reader) refuseStated(m *movement) {
	for _, outside := range wood.RangeErrors(m.question.Check()) {
		if outside.Value != 0 {
			r.bad = append(r.bad, m.outsideField(outside))
		}
	}
}

// rangeRefusal turns the domain's error into a problem. Whatever is not one of
// its typed errors stays as it is and is told as a 500.
func (r *reader) rangeRefusal(m *movement, err error) error {
	all := wood.RangeErrors(err)
	if len(all) == 0 {
		return fmt.Errorf("checking the joint: %w", err)
	}
	for _, outside := range all {
		r.bad = append(r.bad, m.outsideField(outside))
	}
	return r.fault()
}

func (m *movement) outsideField(e *wood.RangeError) api.FieldError {
	return api.FieldError{Pointer: "#" + m.pointerOf(e.Quantity), Code: problem.CodeOutOfRange, Detail: m.Outside(e)}
}

// pointerOf is where a request states a quantity, or should.
func (m *movement) pointerOf(q wood.Quantity) string {
	switch q {
	case wood.QuantityPinBoardWidth:
		return m.pin.widthAt
	case wood.QuantityTailBoardWidth:
		return m.tail.widthAt
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
func (m *movement) sizeAt(stated length.Size, name string) string {
	if stated.Given || m.in.Setup == nil {
		return "/joint/" + name
	}
	return "/setup"
}

// answer writes what the climates do to the joint.
func (m *movement) answer(year *seasons.Year) *api.WoodMovementAnswer {
	a := &api.WoodMovementAnswer{
		Model:    modelVersion,
		Summary:  m.said.Summary(year),
		Joint:    m.cutJoint(),
		Climates: make([]api.JointMoved, len(year.Outcomes)),
		Advice:   m.woodAdvice(year),
		Cautions: movementCautions(year),
	}
	for i := range year.Outcomes {
		a.Climates[i] = m.jointMoved(i, &year.Outcomes[i])
	}
	if len(m.in.Climates) == 0 {
		source, table, memory := wood.HeatedHomeSource()
		a.ClimatesSource = &api.Citation{Source: source, Table: table, Found: found(memory)}
	}
	if m.in.Explain {
		a.Working = m.movementWorking(year)
	}
	return a
}

func (m *movement) cutJoint() api.CutJoint {
	c := &m.question.Cut
	play := c.Play
	play.Band = m.question.Bands.Of(play.Play)
	return api.CutJoint{
		Play:           m.playNow(play),
		Pitch:          m.length(c.Pitch),
		TailWidest:     m.length(c.TailWidest),
		DepthPinBoard:  m.length(c.DepthPinBoard),
		DepthTailBoard: m.length(c.DepthTailBoard.Or(c.DepthPinBoard).Length),
		NoseReach:      m.known(c.NoseReach.Length, c.NoseReach.Given),
		LeastPlay:      m.length(m.question.LeastPlay),
		PinBoard:       m.cutBoard(&m.question.PinBoard, m.pin.moistureFrom),
		TailBoard:      m.cutBoard(&m.question.TailBoard, m.tail.moistureFrom),
	}
}

func (m *movement) cutBoard(b *wood.Board, from string) api.CutBoard {
	out := api.CutBoard{
		Grain: b.Grain.String(), Width: m.length(b.Width),
		Moisture: rounded(b.Moisture.Percent), MoistureUncertainty: rounded(b.Moisture.StandardUncertainty), MoistureFrom: from,
	}
	if b.Wood.Known() {
		out.Species = &b.Wood.ID
	}
	return out
}

func (w writer) playNow(p seasons.Play) api.PlayNow {
	return api.PlayNow{
		Play:        w.length(p.Play),
		Uncertainty: api.Uncertainty{Standard: w.length(p.Standard), Low: w.length(p.Low), High: w.length(p.High)},
		Band:        codes.Bands[p.Band],
	}
}

func (m *movement) jointMoved(i int, o *seasons.Outcome) api.JointMoved {
	out := api.JointMoved{
		Name: m.said.ClimateName(i), Season: o.Climate.Season.String(), Moisture: rounded(o.Climate.Moisture.Percent),
		State: o.State.String(), Text: m.said.OutcomeText(o), Closes: "unknown",
	}
	if lacks := o.Missing; lacks != nil {
		out.Missing = &api.MissingProperty{Species: lacks.Species, Property: string(lacks.Property)}
		return out
	}
	middle, outermost := m.playNow(o.Middle), m.playNow(o.Outermost)
	out.Middle, out.Outermost = &middle, &outermost
	out.PinBoard = m.boardMoved(&m.question.PinBoard, m.setup.PinBoard.Thickness, &o.PinBoard)
	out.TailBoard = m.boardMoved(&m.question.TailBoard, m.setup.TailBoard.Thickness, &o.TailBoard)
	out.Closes = o.Closes.String()
	out.Closing, out.Opening = m.known(o.ClosingFlank, true), m.known(o.OpeningFlank, true)
	out.EdgeStep = m.known(o.EdgeStep, true)
	out.SeatChange = m.known(o.SeatChange, o.SeatKnown)
	out.ShoulderGap, out.FloorGap = m.known(o.ShoulderGap, true), m.known(o.FloorGap, true)
	return out
}

func (m *movement) boardMoved(b *wood.Board, thickness length.Size, moved *wood.BoardMoved) *api.BoardMoved {
	change := length.Length(moved.Thickness.Strain) * thickness.Length
	return &api.BoardMoved{
		Width: m.length(b.Width + moved.Change), Change: m.length(moved.Change), Uncertainty: m.length(moved.Uncertainty),
		Thickness: m.known(thickness.Length+change, thickness.Given), ThicknessChange: m.known(change, thickness.Given),
		Basis: moved.Width.Basis.String(),
	}
}

// woodAdvice says what to do before the next joint is cut.
func (m *movement) woodAdvice(year *seasons.Year) []api.WoodAdvice {
	a, all := &year.Advice, []api.WoodAdvice{}
	add := func(given bool, code, text string) {
		if given {
			all = append(all, api.WoodAdvice{Code: code, Text: text})
		}
	}
	add(a.SameWood, "same_wood", m.said.SameWood())
	add(a.SameGrain, "same_grain", say.AdviceSameGrain)
	add(a.SameMoisture, "same_moisture", m.said.SameMoisture())
	add(a.SameStock, "same_stock", say.AdviceSameStock)
	if waitFor := rounded(a.WaitFor); a.Wait {
		all = append(all, api.WoodAdvice{Code: "wait", Moisture: &waitFor, Text: say.WaitText(a.WaitFor)})
	}
	if a.CutLooser.Rounded() > 0 {
		all = append(all, api.WoodAdvice{
			Code: "cut_looser", Amount: m.known(a.CutLooser, true), Depth: m.known(year.LooserDepth.Length, year.LooserDepth.Given), Text: m.CutLooser(year),
		})
	}
	add(m.pin.moistureFrom == codes.MoistureDefault || m.tail.moistureFrom == codes.MoistureDefault, "measure_moisture", say.MeasureMoisture(wood.UnknownMoisture()))
	told := slices.ContainsFunc(year.Outcomes, func(o seasons.Outcome) bool { return o.Missing == nil })
	add(told && len(all) == 0, "as_is", say.AdviceAsIs)
	return all
}

// movementCautions fit what is advised: a looser cut is tried in scrap.
func movementCautions(year *seasons.Year) []api.Caution {
	codes := []string{"wood_averages"}
	if year.Advice.CutLooser.Rounded() > 0 {
		codes = append(codes, "power_off", "test_in_scrap", "eyes_ears_dust")
	}
	return cautions(append(codes, "own_instructions_first")...)
}
