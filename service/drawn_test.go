package service

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint/length"
	"snugtail/joint/stock"
	"snugtail/joint/wood"
	"snugtail/service/transfer"
)

// within is a range, ends included.
type within struct{ least, most float64 }

// sensible is what a field holds at a bench, mm, degrees or as it says: by its
// object and name, or else by its name. Ranges are judgement, made for joints
// that can mostly be cut. Fields that are not listed take what their schema takes.
var sensible = map[string]within{
	"pitch": {21, 28}, "opening": {12.2, 14.5}, "finger": {8, 12}, "opening_reach": {13.5, 17}, "finger_reach": {11, 14.5},
	"allowance": {1.5, 3.5}, "thickness": {12, 25}, "width": {100, 260}, "groove_depth": {3, 6},
	"TemplateOnePiece.thickness": {6, 12}, "TemplateTwoPosition.thickness": {6, 12}, "TemplateAllowance.thickness": {6, 12},
	"TemplateProven.thickness": {6, 12}, "TemplateUnsureOnePiece.thickness": {6, 12}, "TemplateUnsureTwoPosition.thickness": {6, 12},
	"Bushing.diameter": {8, 11.9}, "BushingUnsure.diameter": {8, 11.9}, "BushingAtHand.diameter": {8, 11.9}, "bore": {6, 9.6}, "barrel": {3, 9}, "x": {-0.2, 0.2}, "y": {-0.2, 0.2},
	"diameter": {10.5, 13.5}, "angle": {7, 15}, "angle_tolerance": {0.1, 1}, "runout": {0, 0.1},
	"cutting_length": {11, 20}, "neck": {6, 8}, "shank": {6, 12.7}, "overall_length": {45, 70},
	"depth": {6, 11}, "Depth.pin_board": {6, 11}, "Depth.tail_board": {6, 11},
	"adjuster_lead": {0.5, 3}, "adjuster_step": {0.01, 0.2}, "gauge_blocks": {0.5, 16}, "backlash": {0, 0.5}, "collet_height": {5, 40},
	"side_stop_error": {-0.3, 0.3}, "moisture": {5, 14}, "moisture_tolerance": {0.5, 3},
	"Target.play": {0.05, 0.15}, "Target.from": {-0.2, 0.05}, "Target.to": {0.15, 0.5},
	"pulled_gap": {0, 2}, "shoulder_gap": {0, 1}, "went_in": {0, 9}, "seat": {-1, 1}, "edge_step": {-1, 1}, "template_at": {-2, 2}, "side_stop_at": {-2, 2}, "labelled": {8, 13.5}, "position": {0, 200},
	"pin_widest": {10, 16}, "tail_widest": {10, 16}, "pin_socket_widest": {10, 16}, "tail_socket_widest": {10, 16},
	"depth_pin_board": {6, 11}, "depth_tail_board": {6, 11},
	"board_width": {60, 400}, "opening_height": {60, 400}, "pitch_from": {22, 26}, "pitch_to": {26, 32},
	"LayoutGroove.from_bottom": {6, 14}, "LayoutGroove.width": {3, 7}, "LayoutGroove.depth": {3, 6},
	"DrawerGroove.from_bottom": {6, 14}, "DrawerGroove.width": {25.5, 26}, "DrawerGroove.depth": {3, 6}, "clearance": {0, 0.5},
	"DrawerSize.width": {250, 700}, "DrawerSize.height": {90, 250}, "DrawerSize.depth": {250, 600},
	"DrawerAllowance.width": {0, 26}, "DrawerAllowance.height": {0, 10}, "DrawerAllowance.depth": {0, 25},
	"sides_height": {80, 240}, "back_height": {60, 200}, "RoughAllowance.length": {0, 30}, "RoughAllowance.width": {0, 10}, "RoughAllowance.thickness": {0, 5},
	"housing_depth": {3, 6}, "setback": {0, 20}, "DrawerLip.width": {5, 10}, "DrawerLip.thickness": {4, 8}, "sides_sawn": {250, 600},
	"temperature": {5, 35}, "humidity": {25, 75}, "JointAsCut.play": {-0.1, 0.4}, "JointAsCut.pitch": {21, 28}, "JointAsCut.tail_widest": {11, 16}, "nose_reach": {5, 12},
	"count": {1, 5}, "exaggeration": {1, 20},
	"setup": {0, 90}, "Minutes.test_joint": {1, 60}, "CheckMinutes.minutes": {0.5, 20}, "test_joint": {0, 20}, "joint": {0, 10}, "RunReading.joint": {1, 500}, "opening_minutes": {0, 5}, "LabourRates.opening": {0, 5}, "metre": {0, 5}, "part": {0, 10},
}

// lengthRanges are what the schemas of lengths promise to take, mm, a hair
// within so that a way through inches stays inside.
var lengthRanges = map[string]within{
	"LengthIn": {0.101, 1999}, "Depth": {0.101, 1999}, "LengthInFromZero": {0, 1999}, "LengthInSigned": {-1999, 1999}, "LengthInReach": {-19.9, 1999},
}

// words that a person may write about a job, a drawer or a climate; they go
// into text, XML, CSV and PDF.
var writing = []string{
	"Chart cabinet", "attic in July", "D-07", `<b>&"quoted"'</b>`, "=1+1", "naïve, “typeset” – Möwe", "海図", "🪵", "a;b,c", strings.Repeat("w", 40),
}

// facts are what only the service knows: which ids there are, and a record as
// it was answered.
type facts struct {
	document *openapi3.T
	bodies   map[string]*openapi3.SchemaRef // requests that can be items of a batch, by operation
	woods    []string
	cutters  []string
	bushings []string
	record   any
}

func newFacts(t testing.TB, s *Service) *facts {
	f := &facts{document: s.contract.Document, bodies: map[string]*openapi3.SchemaRef{}}
	for _, op := range s.operations() {
		if op.inBatch != nil {
			f.bodies[path.Base(op.path)] = f.request(op.path)
		}
	}
	for _, w := range wood.Species() {
		f.woods = append(f.woods, w.ID)
	}
	for _, c := range stock.Cutters() {
		f.cutters = append(f.cutters, c.ID)
	}
	for _, b := range stock.Bushings() {
		f.bushings = append(f.bushings, b.ID)
	}
	w := ask(s.Handler(), request(http.MethodPost, "/v1/corrections", recordBody))
	var answer struct{ Record any }
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &answer))
	require.NotNil(t, answer.Record)
	f.record = answer.Record
	return f
}

func (f *facts) request(path string) *openapi3.SchemaRef {
	return f.document.Paths.Value(path).Post.RequestBody.Value.Content.Get(transfer.JSON).Schema
}

// drawer draws one request that the contract takes.
type drawer struct {
	*rapid.T
	*facts
	// wild: one number of four comes from all that its schema takes.
	wild bool
}

// drawn draws a request for a path; its lengths are still to be written in
// some units. A fifth of the requests is wild.
func (f *facts) drawn(t *rapid.T, path string) any {
	d := &drawer{t, f, rapid.IntRange(0, 4).Draw(t, "wild") == 4}
	return d.value(f.request(path), "", "")
}

// body draws a request and writes it.
func (f *facts) body(t *rapid.T, path, units string) string { return written(f.drawn(t, path), units) }

func (d *drawer) yes(label string) bool { return rapid.Bool().Draw(d.T, label) }

func (d *drawer) of(label string, all ...string) string {
	return rapid.SampledFrom(all).Draw(d.T, label)
}

// value draws what stands in a field of an object.
func (d *drawer) value(ref *openapi3.SchemaRef, object, field string) any {
	s, name := ref.Value, path.Base(ref.Ref)
	switch {
	case name == "Record":
		return d.record
	case name == "Species":
		return d.of(field, d.woods...)
	case s.Discriminator != nil:
		kind := d.of("kind", slices.Sorted(maps.Keys(s.Discriminator.Mapping))...)
		i := slices.IndexFunc(s.OneOf, func(branch *openapi3.SchemaRef) bool { return branch.Ref == s.Discriminator.Mapping[kind].Ref })
		return d.value(s.OneOf[i], object, field)
	case len(s.Enum) > 0:
		return rapid.SampledFrom(s.Enum).Draw(d.T, field)
	case s.Type == nil:
		if name == "Depth" && rapid.IntRange(0, 4).Draw(d.T, "two depths") == 4 {
			return d.twoDepths(s)
		}
		return d.length(name, object, field)
	case s.Type.Is(openapi3.TypeObject):
		return d.object(s, name)
	case s.Type.Is(openapi3.TypeArray):
		return d.array(s, object, field)
	case s.Type.Is(openapi3.TypeBoolean):
		return d.yes(field)
	case s.Type.Is(openapi3.TypeString):
		return d.text(s, field)
	}
	return d.number(s, object, field)
}

// twoDepths are depths of cut that differ, mostly by little.
func (d *drawer) twoDepths(s *openapi3.Schema) any {
	pin := d.length("LengthIn", "Depth", "pin_board").(stated)
	tail := d.length("LengthIn", "Depth", "tail_board").(stated)
	if !d.wild {
		tail.mm, tail.form = pin.mm+rapid.Float64Range(-0.3, 0.3).Draw(d.T, "deeper by"), inNumber
	}
	return map[string]any{"pin_board": pin, "tail_board": tail}
}

func (d *drawer) array(s *openapi3.Schema, object, field string) any {
	most := int(s.MinItems) + 2
	if s.MaxItems != nil {
		most = min(most, int(*s.MaxItems))
	}
	items := make([]any, rapid.IntRange(int(s.MinItems), most).Draw(d.T, field))
	for i := range items {
		items[i] = d.value(s.Items, object, field)
	}
	return items
}

// text is a name of one's own where there is a pattern of names, or words.
func (d *drawer) text(s *openapi3.Schema, field string) any {
	if strings.HasPrefix(s.Pattern, "^[A-Za-z0-9]") || s.Pattern == "" {
		return d.of(field, "a", "brass-1", "blue_box.3")
	}
	if strings.HasPrefix(s.Pattern, "^https?") {
		return d.of(field, "https://joints.example.org/", "http://10.0.0.4:8080/#fit?units=mm&depth=11+mm")
	}
	return d.of(field, writing...)
}

func (d *drawer) number(s *openapi3.Schema, object, field string) any {
	r, listed := rangeOf(object, field)
	if !listed || d.fromAll() {
		r = within{*s.Min, *s.Max} // a number without either is a mistake of the contract
		if s.ExclusiveMin.IsTrue() {
			r.least += 1e-3
		}
	}
	if s.Type.Is(openapi3.TypeInteger) {
		return rapid.IntRange(int(r.least), int(r.most)).Draw(d.T, field)
	}
	return rounded3(rapid.Float64Range(r.least, r.most).Draw(d.T, field), r)
}

func rangeOf(object, field string) (within, bool) {
	if r, ok := sensible[object+"."+field]; ok {
		return r, true
	}
	r, ok := sensible[field]
	return r, ok
}

func (d *drawer) fromAll() bool {
	return d.wild && rapid.IntRange(0, 3).Draw(d.T, "from all") == 3
}

func rounded3(x float64, r within) float64 {
	return min(max(math.Round(x*1e3)/1e3, r.least), r.most)
}

// stated is a length that a request states, in one of the forms of lengths.
type stated struct {
	mm   float64
	form int
}

const (
	inNumber   = iota // in the request's units
	inText            // without unit, in the request's units
	inMM              // a text with its unit
	inInches          // a decimal
	inFraction        // to 1/64 in, whole inches apart
	inMarks           // 1/2"
	inTolerance
	inPlusMinus // ±
	inAnswer    // as an answer gave it
	formCount
)

func (d *drawer) length(name, object, field string) any {
	all, known := lengthRanges[name]
	require.True(d.T, known, "a schema without type that is no length: %q of %s", name, field)
	r, listed := rangeOf(object, field)
	require.True(d.T, listed, "no range for the length %s of %s: add it to sensible", field, object)
	if d.fromAll() {
		r = all
	}
	l := stated{rounded3(rapid.Float64Range(r.least, r.most).Draw(d.T, field), r), rapid.IntRange(0, formCount-1).Draw(d.T, "form")}
	if l.form == inFraction || l.form == inMarks {
		l = l.to64ths(r)
	}
	return l
}

// to64ths rounds to 1/64 in; where that is out of the range it stays a number.
func (l stated) to64ths(r within) stated {
	if mm := math.Round(l.mm/25.4*64) * 25.4 / 64; mm >= r.least && mm <= r.most {
		return stated{mm, l.form}
	}
	return stated{l.mm, inNumber}
}

// in writes the length, numbers and bare texts in units.
func (l stated) in(units string) any {
	own := l.mm
	if units == "in" {
		own /= 25.4
	}
	plain := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	switch l.form {
	case inText:
		return plain(own)
	case inMM:
		return plain(l.mm) + " mm"
	case inInches:
		return plain(l.mm/25.4) + " in"
	case inFraction, inMarks:
		return l.fraction()
	case inTolerance:
		return plain(l.mm/25.4) + " +/- 0.002 in"
	case inPlusMinus:
		return plain(l.mm) + " mm ± 0.04"
	case inAnswer:
		return map[string]any{"mm": l.mm, "in": l.mm / 25.4, "text": plain(l.mm) + " mm"}
	}
	return own
}

func (l stated) fraction() string {
	mark := map[int]string{inFraction: " in", inMarks: `"`}[l.form]
	parts := int(math.Round(math.Abs(l.mm) / 25.4 * 64))
	whole, top, bottom := parts/64, parts%64, 64
	for top > 0 && top%2 == 0 {
		top, bottom = top/2, bottom/2
	}
	sign := ""
	if l.mm < 0 {
		sign = "-"
	}
	switch {
	case top == 0:
		return fmt.Sprintf("%s%d%s", sign, whole, mark)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d%s", sign, top, bottom, mark)
	}
	return fmt.Sprintf("%s%d %d/%d%s", sign, whole, top, bottom, mark)
}

// written writes a drawn request as JSON, in units.
func written(body any, units string) string {
	text, err := json.Marshal(inUnits(body, units))
	if err != nil {
		panic(err) // nothing that is drawn is no JSON
	}
	return string(text)
}

func inUnits(value any, units string) any {
	switch value := value.(type) {
	case stated:
		return value.in(units)
	case map[string]any:
		all := make(map[string]any, len(value))
		for name, member := range value {
			all[name] = inUnits(member, units)
			if name == "units" {
				all[name] = units
			}
		}
		return all
	case []any:
		all := make([]any, len(value))
		for i, item := range value {
			all[i] = inUnits(item, units)
		}
		return all
	}
	return value
}

// object draws members and then lets the object keep the rules that its
// description states in words.
func (d *drawer) object(s *openapi3.Schema, name string) any {
	o := map[string]any{}
	for _, field := range slices.Sorted(maps.Keys(s.Properties)) {
		if field == "units" || slices.Contains(s.Required, field) || d.yes("given") {
			o[field] = d.value(s.Properties[field], name, field)
		}
	}
	if rule := rules[name]; rule != nil {
		rule(d, s, o)
	}
	return o
}

// need draws a member that is not there yet.
func (d *drawer) need(s *openapi3.Schema, o map[string]any, object, field string) {
	if o[field] == nil {
		o[field] = d.value(s.Properties[field], object, field)
	}
}

// oneOf keeps one of two members that exclude each other.
func (d *drawer) oneOf(s *openapi3.Schema, o map[string]any, object, one, other string) {
	if d.yes(one) {
		one, other = other, one
	}
	delete(o, other)
	d.need(s, o, object, one)
}

// rules are what a request must keep that a schema does not say, as the
// contract's descriptions put it.
var rules = map[string]func(d *drawer, s *openapi3.Schema, o map[string]any){}

func init() {
	rules["Setup"], rules["SetupToChoose"], rules["DrawerSetup"] = templateOrRecord, templateOrRecord, templateOrRecord
	rules["SetupUnsure"] = func(d *drawer, s *openapi3.Schema, o map[string]any) {
		if o["record"] != nil && o["template"] != nil {
			templateOrRecord(d, s, o)
		}
	}
	rules["TemplateTwoPosition"], rules["TemplateUnsureTwoPosition"] = onePitch, onePitch
	rules["Target"] = playWithin
	rules["Bushing"], rules["BushingUnsure"] = noBarrel, noBarrel
	rules["RunReading"] = gapOrWidths
	rules["CutterAtHand"], rules["BushingAtHand"], rules["CutterRecommendationRequest"] = builtInOrOwn, builtInOrOwnBushing, oneSetOfBushings
	rules["LayoutRequest"] = layoutRules
	rules["JointDrawingRequest"] = cornerRules
	rules["DrawerPartsRequest"], rules["Drawer"] = partsRules, drawerRules
	rules["DrawerStock"] = func(d *drawer, s *openapi3.Schema, o map[string]any) {
		if o["moisture"] != nil && o["climate"] != nil {
			d.oneOf(s, o, "DrawerStock", "moisture", "climate")
		}
	}
	rules["WoodBoard"], rules["WoodClimate"], rules["WoodMovementRequest"] = boardRules, climateRules, movementRules
	rules["BatchRequest"] = func(_ *drawer, _ *openapi3.Schema, o map[string]any) { // no two ids alike
		for i, item := range o["items"].([]any) {
			item.(map[string]any)["id"] = fmt.Sprintf("item-%d", i)
		}
	}
	rules["BatchItem"] = func(d *drawer, _ *openapi3.Schema, o map[string]any) {
		o["body"] = d.value(d.bodies[o["operation"].(string)], "", "")
		if o["fields"] != nil { // what every answer has
			o["fields"] = []any{"/cautions/*/code", d.of("pointer", "/summary", "/model", "/cautions/0/text")}
		}
	}
}

func templateOrRecord(d *drawer, s *openapi3.Schema, o map[string]any) {
	delete(o, "record")
	if rapid.IntRange(0, 7).Draw(d.T, "record") == 7 {
		o["record"] = d.record
		delete(o, "template")
		return
	}
	d.need(s, o, "Setup", "template")
}

// onePitch makes both passes fit, unless the request is wild.
func onePitch(d *drawer, _ *openapi3.Schema, o map[string]any) {
	tail, _ := o["tail_pass"].(map[string]any)
	pin, _ := o["pin_pass"].(map[string]any)
	for _, size := range []any{tail["opening"], tail["finger"], pin["opening"], pin["finger"]} {
		if size == nil {
			return
		}
	}
	for _, pass := range []map[string]any{tail, pin} { // a pitch is a length, too
		pass["opening"] = between(pass["opening"].(stated), 0.1, 1000)
		pass["finger"] = between(pass["finger"].(stated), 0.1, 900)
	}
	if rapid.IntRange(0, 9).Draw(d.T, "pitches") == 9 {
		return
	}
	pitch := tail["opening"].(stated).mm + tail["finger"].(stated).mm
	if finger := pitch - pin["opening"].(stated).mm; finger > 1 {
		pin["finger"] = stated{finger, inNumber}
	}
}

// playWithin puts play into the range that counts as fitting.
func playWithin(d *drawer, s *openapi3.Schema, o map[string]any) {
	if !d.wild || len(o) == 0 {
		return
	}
	names := []string{"from", "play", "to"}
	var all []stated
	for _, name := range names {
		d.need(s, o, "Target", name)
		all = append(all, o[name].(stated))
	}
	slices.SortFunc(all, func(a, b stated) int { return int(math.Copysign(1, a.mm-b.mm)) })
	for i, name := range names {
		o[name] = all[i]
	}
}

func builtInOrOwn(d *drawer, s *openapi3.Schema, o map[string]any) {
	if d.yes("built in") {
		clear(o)
		o["id"] = d.of("id", d.cutters...)
		return
	}
	d.need(s, o, "CutterAtHand", "diameter")
	d.need(s, o, "CutterAtHand", "angle")
}

func builtInOrOwnBushing(d *drawer, s *openapi3.Schema, o map[string]any) {
	if d.yes("built in") {
		clear(o)
		o["id"] = d.of("id", d.bushings...)
		return
	}
	d.need(s, o, "BushingAtHand", "diameter")
	noBarrel(d, s, o)
}

// gapOrWidths: a reading of a run is a gap, or a pair of widths.
func gapOrWidths(d *drawer, s *openapi3.Schema, o map[string]any) {
	delete(o, "measured")
	d.need(s, o, "RunReading", "pulled_gap")
}

// noBarrel: a bearing has neither bore, barrel nor offset.
func noBarrel(_ *drawer, _ *openapi3.Schema, o map[string]any) {
	if o["kind"] == "bearing" {
		for _, name := range []string{"bore", "barrel", "offset"} {
			delete(o, name)
		}
	}
}

func oneSetOfBushings(d *drawer, s *openapi3.Schema, o map[string]any) {
	if setup, _ := o["setup"].(map[string]any); setup != nil {
		d.need(s.Properties["setup"].Value, setup, "SetupToChoose", "bushing")
	}
	if setup, _ := o["setup"].(map[string]any); setup["record"] != nil { // with one fewer pairs are judged before it is too costly
		delete(o, "bushings")
		delete(o, "all_bushings")
	}
	if o["all_bushings"] == true {
		delete(o, "bushings")
	}
}

// layoutRules: a template known by its openings, one width, and what lies within it.
func layoutRules(d *drawer, s *openapi3.Schema, o map[string]any) {
	setup := o["setup"].(map[string]any)
	template := d.openings(setup, o["spacing"] != nil)
	width := d.value(s.Properties["board_width"], "LayoutRequest", "board_width").(stated)
	width = between(width, max(1, pitchOf(template)), 400*pitchOf(template)) // the contract: up to 500 pitches
	for _, name := range []string{"pin_board", "tail_board"} {
		if board, _ := setup[name].(map[string]any); board["width"] != nil {
			board["width"] = width
		}
	}
	if o["board_width"] != nil || o["opening_height"] == nil {
		o["board_width"] = width
	}
	least := pitchOf(template)
	if spacing, _ := o["spacing"].(map[string]any); spacing != nil {
		from := between(spacing["pitch_from"].(stated), least/2, 1000)
		spacing["pitch_from"], spacing["pitch_to"] = from, between(spacing["pitch_to"].(stated), from.mm, 2*from.mm)
		least = max(least, from.mm)
	}
	if o["opening_height"] != nil { // at least one pitch, to hold half pins
		o["opening_height"] = between(o["opening_height"].(stated), max(1, least), 400*pitchOf(template))
	}
	layoutGroove(setup, o, pitchOf(template))
}

// cornerRules: a corner is drawn of boards of a known width, cut by a template that is
// known by its openings.
func cornerRules(d *drawer, _ *openapi3.Schema, o map[string]any) {
	asked, _ := o["views"].([]any)
	if slices.Contains(asked, any("corner")) && o["board_width"] == nil {
		o["board_width"] = stated{120, inNumber}
	}
	if o["board_width"] != nil {
		template := d.openings(o["setup"].(map[string]any), false)
		o["board_width"] = between(o["board_width"].(stated), 0.2, 400*pitchOf(template))
	}
}

// openings gives a set-up a template that is known by its openings.
func (d *drawer) openings(setup map[string]any, spaced bool) map[string]any {
	delete(setup, "record")
	template, _ := setup["template"].(map[string]any)
	if kind := template["kind"]; kind == "two_position" || kind == "one_piece" && !spaced {
		return template
	}
	name := "TemplateTwoPosition"
	if !spaced && d.yes("one piece") {
		name = "TemplateOnePiece"
	}
	template = d.named(name).(map[string]any)
	setup["template"] = template
	return template
}

func (d *drawer) named(name string) any {
	return d.value(&openapi3.SchemaRef{Ref: "#/components/schemas/" + name, Value: d.document.Components.Schemas[name].Value}, "", "")
}

// layoutGroove: within the board, and its depth stated once.
func layoutGroove(setup, o map[string]any, least float64) {
	groove, _ := o["groove"].(map[string]any)
	if groove == nil {
		return
	}
	groove["from_bottom"] = between(groove["from_bottom"].(stated), 0.2, max(0.2, least/2))
	groove["width"] = between(groove["width"].(stated), 0.2, max(0.2, least/4))
	if pin, _ := setup["pin_board"].(map[string]any); pin != nil {
		delete(pin, "groove_depth")
	}
}

// pitchOf is a template's pitch, mm, or 0 where it is not known by its openings.
func pitchOf(template map[string]any) float64 {
	if pass, _ := template["tail_pass"].(map[string]any); pass != nil {
		return pass["opening"].(stated).mm + pass["finger"].(stated).mm
	}
	if pitch, ok := template["pitch"].(stated); ok {
		return pitch.mm
	}
	return 0
}

// between moves a length that is outside of a range into it.
func between(l stated, least, most float64) stated {
	if l.mm >= least && l.mm <= most {
		return l
	}
	return stated{min(max(l.mm, least), most, 1999), inNumber}
}

func partsRules(d *drawer, s *openapi3.Schema, o map[string]any) {
	setup := o["setup"].(map[string]any)
	template, _ := setup["template"].(map[string]any)
	byOpenings := pitchOf(template) > 0 && template["kind"] != "proven" && template["kind"] != "allowance"
	var ids []string
	for i, item := range o["stock"].([]any) {
		ids = append(ids, "stock-"+strconv.Itoa(i))
		item.(map[string]any)["id"] = ids[i]
	}
	for i, item := range o["drawers"].([]any) {
		row := item.(map[string]any)
		row["id"] = row["id"].(string) + strconv.Itoa(i)
		for _, part := range []string{"front", "sides", "back"} {
			row[part] = d.of(part, ids...)
		}
		if row["bottom"] != nil {
			row["bottom"] = d.of("bottom", ids...)
		}
		if !byOpenings {
			delete(row, "height_rule")
		}
	}
}

func drawerRules(d *drawer, s *openapi3.Schema, o map[string]any) {
	d.oneOf(s, o, "Drawer", "outside", "opening")
	if rule := o["height_rule"]; rule == "half_pins_up" && o["opening"] != nil || o["sides_height"] != nil {
		delete(o, "height_rule")
	}
	if o["outside"] != nil {
		delete(o, "allowance")
	}
	switch o["back_joint"] {
	case "housed":
		d.need(s, o, "Drawer", "housing_depth")
	case "butted":
		delete(o, "housing_depth")
	default:
		delete(o, "housing_depth")
		delete(o, "setback")
	}
	if o["bottom"] != nil {
		d.need(s, o, "Drawer", "groove")
	}
}

func boardRules(d *drawer, s *openapi3.Schema, o map[string]any) {
	if o["moisture"] != nil && o["climate"] != nil {
		d.oneOf(s, o, "WoodBoard", "moisture", "climate")
	}
	if o["moisture"] == nil && o["climate"] == nil {
		delete(o, "moisture_tolerance")
	}
}

func climateRules(d *drawer, s *openapi3.Schema, o map[string]any) {
	d.oneOf(s, o, "WoodClimate", "moisture", "humidity")
	delete(o, "temperature")
	if o["humidity"] != nil {
		d.need(s, o, "WoodClimate", "temperature")
	}
}

// movementRules: a joint, cut or stated, whose pitch holds a tail, and boards
// that are at least a pitch wide.
func movementRules(d *drawer, s *openapi3.Schema, o map[string]any) {
	setup, _ := o["setup"].(map[string]any)
	template, _ := setup["template"].(map[string]any)
	pitch := pitchOf(template)
	if pitch == 0 {
		d.need(s, o, "WoodMovementRequest", "joint")
		for _, name := range []string{"play", "pitch", "tail_widest", "depth"} {
			d.need(d.document.Components.Schemas["JointAsCut"].Value, o["joint"].(map[string]any), "JointAsCut", name)
		}
	}
	if joint, _ := o["joint"].(map[string]any); joint != nil {
		pitch = jointWithin(joint, pitch)
	}
	d.need(s, o, "WoodMovementRequest", "pin_board")
	d.need(d.document.Components.Schemas["WoodBoard"].Value, o["pin_board"].(map[string]any), "WoodBoard", "width")
	for _, in := range []map[string]any{o, setup} {
		for _, name := range []string{"pin_board", "tail_board"} {
			if board, _ := in[name].(map[string]any); board["width"] != nil {
				board["width"] = between(board["width"].(stated), pitch+0.1, 2000)
			}
		}
	}
}

// jointWithin makes a stated joint's tails less wide than its pitch, which it
// returns; that of a template, if there is one, is the least.
func jointWithin(joint map[string]any, pitch float64) float64 {
	tail, _ := joint["tail_widest"].(stated)
	if own, ok := joint["pitch"].(stated); ok {
		own = between(own, max(1.05*tail.mm, 5, pitch), 2000)
		joint["pitch"], pitch = own, own.mm
	}
	if joint["tail_widest"] != nil {
		joint["tail_widest"] = between(tail, 0, 0.95*pitch)
	}
	return pitch
}

// A drawn length is read as what was drawn, in every form and in either unit.
func TestDrawnLengthsAreWhatTheySay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := &drawer{T: t, wild: true}
		for name, field := range map[string]string{"LengthIn": "pitch", "LengthInFromZero": "runout", "LengthInSigned": "seat", "LengthInReach": "finger_reach"} {
			l := d.length(name, "", field).(stated)
			for units, unit := range map[string]length.Unit{"mm": 0, "in": length.UnitInch} {
				text, isText := l.in(units).(string)
				if !isText {
					continue
				}
				size, err := length.Parse(text, unit)
				require.NoError(t, err, text)
				require.InDelta(t, l.mm, size.MM(), 1e-9, text)
			}
		}
	})
}
