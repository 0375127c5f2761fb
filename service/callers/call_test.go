package callers_test

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
)

// call is all that was told so far: what an adviser has to go by.
type call struct {
	stated      stated
	measured    map[string]float64 // sizes of the set-up that a check read, by the name of the check's size
	cuts        []seen
	findings    map[string]bool
	spoken      map[string]bool // findings that were told unasked
	answered    []string
	unavailable []string
	benches     []believed // that the observer weighs; of no meaning to others
}

// seen is what is told of one test joint; nil is not told.
type seen struct {
	setting                   float64
	feel                      string
	gap, shoulder, seat, edge *float64
	measured                  map[string]float64 // by the contract's names
	ends                      []end
	pulled, seatSeen, edgesIn bool // a check asked for it
}

// end is what is told of one end of the joint.
type end struct {
	position float64
	feel     string
}

func newCall(s stated) *call {
	return &call{stated: s, measured: map[string]float64{}, findings: map[string]bool{}, spoken: map[string]bool{}}
}

func (c *call) clone() *call {
	n := *c
	n.measured, n.findings = maps.Clone(c.measured), maps.Clone(c.findings)
	n.answered, n.unavailable = slices.Clone(c.answered), slices.Clone(c.unavailable)
	n.cuts = slices.Clone(c.cuts)
	for i := range n.cuts {
		n.cuts[i].measured = maps.Clone(n.cuts[i].measured)
	}
	return &n
}

func (c *call) last() *seen {
	if len(c.cuts) == 0 {
		return nil
	}
	return &c.cuts[len(c.cuts)-1]
}

// strongFeel is -1 where the last joint was told to be a jam, +1 where loose, else 0.
func (c *call) strongFeel() int {
	if len(c.cuts) == 0 {
		return 0
	}
	switch c.last().feel {
	case "will_not_start", "sticks_part_way", "hard_blows":
		return -1
	case "slides_free", "rattles":
		return 1
	}
	return 0
}

// against is whether a depth goes against what the hand plainly felt.
func (c *call) against(setting float64) bool {
	const same = 0.005
	switch deeper := setting - c.last0(); c.strongFeel() {
	case -1:
		return deeper > same
	case 1:
		return deeper < -same
	}
	return false
}

func (c *call) last0() float64 {
	if l := c.last(); l != nil {
		return l.setting
	}
	return c.stated.depth
}

// lookAt tells of a joint in the workshop: how it went, and the gap where it is
// loose. Each is left out by those who never tell it, and by the rest one time in ten.
func lookAt(r *rand.Rand, s *stated, setting float64, j *joint) seen {
	out := seen{setting: setting}
	word := feel(r, j.felt())
	knowsFeel, knowsGap := r.Float64() >= dontKnowShare, r.Float64() >= dontKnowShare
	isLoose := j.felt() > feelEdges[handPressure]
	gap := s.readGap(r, j.gap)
	tellsFeel := s.tellsFeel || !isLoose // a jam leaves nothing else to tell
	if tellsFeel && knowsFeel {
		out.feel = feels[word]
	}
	if s.tellsGap && isLoose && knowsGap {
		out.gap = &gap
	}
	return out
}

// checking is the bench at which a check is made.
type checking struct {
	bench    *bench
	joint    *joint
	findings func(name string) bool // whether it is so
}

// perform makes a check and tells what it read, without randomness exactly.
// False: it can't be made here.
func (c *call) perform(r *rand.Rand, check string, at checking) bool {
	if !c.canMake(check) || r != nil && r.Float64() < dontKnowShare {
		c.unavailable = append(c.unavailable, check)
		return false
	}
	c.readSizes(r, check, at.bench)
	c.readJoint(r, check, at)
	for _, name := range findingsOf[check] {
		is := at.findings(name)
		if r != nil && r.Float64() < misreadShare {
			is = !is
		}
		c.findings[name] = is
	}
	if !slices.Contains(c.answered, check) {
		c.answered = append(c.answered, check)
	}
	return true
}

// canMake: a template known by what it does has no sizes to hold a reading, and
// a joint is looked at only where there is one.
func (c *call) canMake(check string) bool {
	switch check {
	case "measure_template":
		return c.stated.kind == "one_piece" || c.stated.kind == "two_position"
	case "measure_depth", "measure_widths", "pull_joint", "see_seat", "see_edges", "look_both_ends":
		return len(c.cuts) > 0
	}
	return true
}

// findingsOf is what each check answers yes or no.
var findingsOf = map[string][]string{
	"measure_bushing":    {"bushing_wobbles"},
	"measure_cutter":     {"cutter_dull"},
	"measure_depth":      {"depth_moved"},
	"measure_widths":     {"one_pin_off"},
	"see_edges":          {"corner_not_square", "edges_half_pitch_off", "edges_mirrored"},
	"straightedge":       {"boards_cupped"},
	"rock_template":      {"template_rocks", "chips_found"},
	"moisture_meter":     {"moisture_differs"},
	"ask_cutter_changed": {"cutter_changed"},
	"ask_one_setting":    {"one_setting"},
	"ask_cut_weeks_ago":  {"cut_weeks_ago"},
	"ask_router_turned":  {"router_turned"},
	"ask_second_pass":    {"second_pass"},
	"ask_tear_out":       {"tear_out"},
}

// sizeChecks is what each check reads of the set-up, with its standard deviation.
var sizeChecks = map[string][]struct {
	name string
	sd   float64
}{
	"measure_bushing":      {{"bushing", caliperBushingSD}},
	"measure_cutter":       {{"cutter", caliperCutterSD}},
	"measure_cutter_angle": {{"angle", bevelSD}},
	"scrap_slot":           {{"slot", slotSD}, {"slot_angle", slotAngleSD}},
	"measure_boards":       {{"side", caliperBoardSD}, {"front", caliperBoardSD}},
	"measure_template":     {{"tail_opening", openingSD}, {"pin_opening", openingSD}},
}

// size is a size of the set-up as it really is.
func (b *bench) size(name string) float64 {
	switch name {
	case "bushing":
		return b.g
	case "cutter", "slot":
		return b.d
	case "angle", "slot_angle":
		return b.angle
	case "side":
		return b.side
	case "front":
		return b.front
	case "tail_opening":
		return b.tailOpening
	case "pin_opening":
		return b.pinOpening
	}
	panic("no size " + name)
}

func (c *call) readSizes(r *rand.Rand, check string, b *bench) {
	for _, size := range sizeChecks[check] {
		if size.name == "pin_opening" && c.stated.templateIsOnePiece {
			continue
		}
		mm := readAmong(r, len(sizeChecks[check]), b.size(size.name), size.sd)
		before, had := c.measured[size.name]
		c.measured[size.name] = mm
		if c.runs() {
			continue
		}
		if c.measured[size.name] = b.size(size.name); !c.runs() { // then it was not this one
			if delete(c.measured, size.name); had {
				c.measured[size.name] = before
			}
		}
	}
}

// runs is whether, by what is told, the bushing runs in the openings: nobody
// reports a reading that says otherwise without reading once more.
func (c *call) runs() bool {
	told := func(name string, stated float64) float64 {
		if mm, ok := c.measured[name]; ok {
			return mm
		}
		return stated
	}
	s := &c.stated
	tail := told("tail_opening", s.tailOpening)
	pin := tail
	if !s.templateIsOnePiece {
		pin = told("pin_opening", s.pinOpening)
	}
	return told("bushing", s.bushing)+0.02 < math.Min(tail, pin)
}

func (c *call) readJoint(r *rand.Rand, check string, at checking) {
	l, j := c.last(), at.joint
	ptr := func(x float64) *float64 { return &x }
	switch check {
	case "measure_widths":
		l.read(r, caliperWoodSD, "pin_widest", j.pin, "tail_widest", j.tail,
			"pin_socket_widest", j.pinSocket, "tail_socket_widest", j.tailSocket)
	case "measure_depth":
		l.read(r, depthGaugeSD, "depth_pin_board", j.depthPin, "depth_tail_board", j.depthTail)
	case "pull_joint":
		l.feel = feels[feel(r, j.felt())]
		if j.closes() {
			l.gap = ptr(c.stated.readGap(r, j.gap))
			l.shoulder = ptr(math.Max(0, round(read(r, j.shoulder, shoulderSD), 0.05)))
		}
		l.pulled = true
	case "see_seat":
		if j.closes() {
			l.seat = ptr(round(read(r, j.seatSeen(), seatSD), 0.05))
		}
		l.seatSeen = true
	case "see_edges":
		if j.closes() {
			l.edge = ptr(round(read(r, j.edge, edgeSD), 0.05))
		}
		l.edgesIn = true
	case "look_both_ends":
		l.ends = nil
		for _, side := range []float64{-0.5, 0.5} {
			play := j.play - j.squeeze + side*j.slope
			l.ends = append(l.ends, end{position: (0.5 + side) * at.bench.width, feel: feels[feel(r, play)]})
		}
	}
}

// seatSeen is the seat at the end where one looks: the worse one.
func (j *joint) seatSeen() float64 { return j.seat + j.skew }

func (s *seen) read(r *rand.Rand, sd float64, namesAndValues ...any) {
	if s.measured == nil {
		s.measured = map[string]float64{}
	}
	for i := 0; i < len(namesAndValues); i += 2 {
		s.measured[namesAndValues[i].(string)] = readAmong(r, len(namesAndValues)/2, namesAndValues[i+1].(float64), sd)
	}
}

// As JSON, with what the contract has names for.

type object = map[string]any

// body is the call as a request. The contract's own schemas say which parts of
// it an operation takes.
func (c *call) body(k *contractNames, operation string) object {
	body := object{"setup": c.setup(k)}
	cuts := make([]object, 0, len(c.cuts))
	for i := range c.cuts {
		cut := c.cuts[i].json(k, operation)
		if !c.stated.says[partDepth] && operation == diagnoses {
			delete(cut, "depth")
		}
		cuts = append(cuts, cut)
	}
	body["test_cuts"] = cuts
	takes := k.request[operation]
	if findings := k.only(k.findings, c.findings); takes["findings"] && len(findings) > 0 {
		body["findings"] = findings
	}
	if answered := c.known(k, c.answered); takes["answered"] && len(answered) > 0 {
		body["answered"] = answered
	}
	if unavailable := c.known(k, c.unavailable); takes["unavailable"] && len(unavailable) > 0 {
		body["unavailable"] = unavailable
	}
	return body
}

func (c *call) known(k *contractNames, checks []string) []string {
	var out []string
	for _, check := range checks {
		if k.checks[check] && !slices.Contains(out, check) {
			out = append(out, check)
		}
	}
	return out
}

func (c *call) setup(k *contractNames) object {
	s := &c.stated
	out := object{}
	if s.says[partTemplate] {
		out["template"] = c.template()
	}
	if b := c.bushing(k); len(b) > 0 {
		out["bushing"] = b
	}
	if u := c.cutter(k); len(u) > 0 {
		out["cutter"] = u
	}
	if s.says[partDepth] {
		out["depth"] = c.last0()
	}
	front, side := object{}, object{}
	board := func(of object, p part, key string, mm float64) {
		if s.says[p] {
			of[key] = mm
		}
	}
	board(front, partFront, "thickness", s.front)
	board(side, partSide, "thickness", s.side)
	board(front, partWidth, "width", s.width)
	board(side, partWidth, "width", s.width)
	for name, of := range map[string]object{"front": front, "side": side} {
		if mm, ok := c.measured[name]; ok {
			of["thickness"] = within2SD(mm, caliperBoardSD)
		}
	}
	if len(front) > 0 {
		out["pin_board"] = front
	}
	if len(side) > 0 {
		out["tail_board"] = side
	}
	return out
}

func (c *call) template() object {
	s := &c.stated
	out := object{"kind": s.kind}
	if s.says[partTemplateThickness] {
		out["thickness"] = s.templateThickness
	}
	reaches := func(of object) object {
		if s.says[partReach] {
			of["opening_reach"], of["finger_reach"] = round(s.reach, 0.05), s.finger
		}
		return of
	}
	opening := func(name string, said float64) any {
		if mm, ok := c.measured[name]; ok {
			return within2SD(mm, openingSD)
		}
		return exact(said)
	}
	finger := func(name string, said float64) float64 {
		if mm, ok := c.measured[name]; ok {
			said = round(mm, 0.01)
		}
		return exact(s.pitch - said)
	}
	switch s.kind {
	case "one_piece":
		out["pitch"], out["opening"] = s.pitch, opening("tail_opening", s.tailOpening)
		reaches(out)
	case "two_position":
		out["tail_pass"] = reaches(object{"opening": opening("tail_opening", s.tailOpening), "finger": finger("tail_opening", s.tailOpening)})
		out["pin_pass"] = reaches(object{"opening": opening("pin_opening", s.pinOpening), "finger": finger("pin_opening", s.pinOpening)})
	case "allowance":
		out["allowance"] = round(s.allowance, 0.01)
	case "proven":
		out["cutter"] = object{"diameter": s.provenCutter, "angle": s.provenAngle, "condition": "used"}
		out["bushing"] = object{"id": "guide", "diameter": s.bushing}
		out["depth"] = s.provenDepth
	}
	return out
}

func (c *call) bushing(k *contractNames) object {
	out := object{}
	if c.stated.says[partBushing] {
		out["diameter"] = c.stated.bushing
	}
	if mm, ok := c.measured["bushing"]; ok {
		label(out, k.bushingLabelled)
		out["diameter"] = within2SD(mm, caliperBushingSD)
	}
	if c.stated.says[partBarrel] {
		out["barrel"] = exact(c.stated.barrel)
	}
	if c.stated.kind == "proven" {
		out["id"] = "guide"
	}
	return out
}

func (c *call) cutter(k *contractNames) object {
	out := object{}
	s := &c.stated
	if s.says[partCutter] {
		out["diameter"] = s.cutter
	}
	if s.says[partAngle] {
		out["angle"] = s.angle
	}
	if s.condition != "" {
		out["condition"] = s.condition
	}
	for _, by := range []struct {
		name string
		sd   float64
	}{{"slot", slotSD}, {"cutter", caliperCutterSD}} {
		if mm, ok := c.measured[by.name]; ok {
			label(out, k.cutterLabelled)
			out["diameter"] = within2SD(mm, by.sd)
		}
	}
	for _, by := range []struct {
		name string
		sd   float64
	}{{"angle", bevelSD}, {"slot_angle", slotAngleSD}} {
		if degrees, ok := c.measured[by.name]; ok {
			out["angle"], out["angle_tolerance"] = round(degrees, 0.1), 2*by.sd
		}
	}
	return out
}

// label keeps what was stated beside what is measured, where the contract can.
func label(of object, can bool) {
	if _, is := of["labelled"]; can && !is && of["diameter"] != nil {
		of["labelled"] = of["diameter"]
	}
}

func (s *seen) json(k *contractNames, operation string) object {
	out := object{"depth": exact(s.setting)}
	if s.feel != "" {
		out["feel"] = s.feel
	}
	optional := func(name string, of *float64) {
		if of != nil {
			out[name] = exact(*of)
		}
	}
	optional("pulled_gap", s.gap)
	optional("shoulder_gap", s.shoulder)
	optional("seat", s.seat)
	optional("edge_step", s.edge)
	if len(s.measured) > 0 {
		m := object{}
		for name, mm := range s.measured {
			m[name] = round(mm, 0.01)
		}
		out["measured"] = m
	}
	if len(s.ends) > 0 && k.along[operation] {
		var along []object
		for _, e := range s.ends {
			along = append(along, object{"position": e.position, "feel": e.feel})
		}
		out["along"] = along
	}
	return out
}

// within2SD is a reading with the tolerance that its writer is as good as sure of.
func within2SD(mm, sd float64) string { return fmt.Sprintf("%.2f +/- %.2f mm", mm, 2*sd) }

func exact(mm float64) float64 { return round(mm, 1e-4) }
