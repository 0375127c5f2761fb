package service

import (
	"context"
	"slices"
	"strconv"

	"snugtail/api"
	"snugtail/joint/layout"
	"snugtail/joint/parts"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/message"
	"snugtail/service/plain"
	"snugtail/service/problem"
	"snugtail/service/read"
	"snugtail/service/say"
	"snugtail/service/transfer"
	"snugtail/service/working"
)

// planParts answers: which parts, of which sizes, make these drawers?
func (s *Service) planParts(ctx context.Context, in *api.DrawerPartsRequest) (*api.DrawerPartsAnswer, error) {
	r := s.reader(ctx, in.Units)
	job := r.PartsJob(in)
	if err := r.Fault(); err != nil {
		return nil, err
	}
	plan, err := parts.New(job)
	if err != nil {
		return nil, r.Refusal(err)
	}
	w := s.writerFor(ctx, r, &job.Setup)
	p := &planned{Writer: w, said: say.Job{Words: w.Words, Job: &job, Plan: &plan}, in: in, job: &job, plan: &plan}
	answer := p.answer()
	if in.Explain && w.Wants("working") {
		answer.Working = working.Drawers(w, &job, &plan, p.ids())
	}
	return answer, nil
}

// sheets are how the cut list may be asked for.
var sheets = transfer.Choices{
	{Name: "profile", Values: []string{"pieces", "setups"}},
	{Name: "decimal", Values: []string{"comma"}},
}

// partsCSV is the same as a sheet for other programs.
func (s *Service) partsCSV(ctx context.Context, in *api.DrawerPartsRequest, asked transfer.Parameters) ([]byte, error) {
	a, err := s.planParts(ctx, in)
	if err != nil {
		return nil, err
	}
	as := plain.Sheet{Printer: &message.Printer{Catalogue: s.language(ctx)}, DecimalComma: asked["decimal"] == "comma"}
	profile := asked["profile"]
	if n := plain.Pieces(a); profile != "" && n > plain.MostPieces {
		return nil, problem.BadFields(problem.Field{Pointer: "#/drawers", Code: problem.CodeOutOfRange, Detail: say.TooManyPieces(n, plain.MostPieces)})
	}
	switch profile {
	case "pieces":
		return plain.PieceList(a, as)
	case "setups":
		return plain.SetupList(a, as)
	}
	return plain.CutList(a, as)
}

// planned is a plan while it is put into words.
type planned struct {
	answers.Writer
	said say.Job
	in   *api.DrawerPartsRequest
	job  *parts.Job
	plan *parts.Plan
}

// ids are those of the drawers.
func (p *planned) ids() []string {
	all := make([]string, len(p.in.Drawers))
	for i := range all {
		all[i] = p.in.Drawers[i].ID
	}
	return all
}

func (p *planned) answer() *api.DrawerPartsAnswer {
	answer := &api.DrawerPartsAnswer{
		Model:     p.Model,
		Setups:    make([]api.PartsSetup, len(p.plan.Setups)),
		Drawers:   make([]api.DrawerMade, len(p.plan.Drawers)),
		TestStock: make([]api.TestStock, len(p.plan.TestStock)),
		Stock:     make([]api.StockTotal, len(p.plan.Totals)),
		Labour:    p.labour(),
		Cautions:  p.cautions(),
	}
	for i := range p.plan.Setups {
		answer.Setups[i] = p.setup(i)
	}
	for i := range p.plan.Drawers {
		answer.Drawers[i] = p.drawer(i)
	}
	for i := range p.plan.TestStock {
		answer.TestStock[i] = p.testStock(&p.plan.TestStock[i])
	}
	for i := range p.plan.Totals {
		answer.Stock[i] = p.total(i)
	}
	answer.Summary, answer.SummaryMessage = p.Tell("summary", p.said.Summary())
	return answer
}

func (p *planned) drawer(i int) api.DrawerMade {
	made, row := &p.plan.Drawers[i], &p.job.Drawers[i]
	out := api.DrawerMade{
		ID: p.in.Drawers[i].ID, Count: row.Count, Made: made.Refusal == nil,
		Outside: api.PartsSize{
			Width: p.Length(made.Outside.Width), Height: p.Length(made.Outside.Height), Depth: p.Length(made.Outside.Depth),
		},
		Parts:  make([]api.DrawerPart, len(made.Parts)),
		Joints: make([]api.DrawerJoint, 0, 2), Seasons: p.seasons(&made.Seasons), Warnings: p.warnings(i, made.Warnings),
	}
	for k := range made.Parts {
		out.Parts[k] = p.part(i, &made.Parts[k])
	}
	for end, corner := range []*parts.Corner{parts.AtFront: &made.Front, parts.AtBack: &made.Back} {
		if corner.Known {
			out.Joints = append(out.Joints, p.joint(i, corner, parts.End(end)))
		}
	}
	if made.Refusal != nil {
		out.Refused = p.refused(i)
	}
	if made.Sawn.Given {
		out.Sawn = p.sawn(&made.Sawn, made.Refusal)
	}
	return out
}

func (p *planned) part(row int, part *parts.Part) api.DrawerPart {
	from := &p.in.Stock[part.Stock]
	out := api.DrawerPart{
		ID: p.in.Drawers[row].ID + "/" + codes.DrawerParts[part.Name], Part: codes.DrawerParts[part.Name], Count: part.Count, Grain: "length",
		Length: p.Length(part.Length), Width: p.Length(part.Width), Thickness: p.Length(part.Thickness),
		Stock: from.ID, Material: codes.MaterialNames[p.job.Stock[part.Stock].Material], Species: from.Species,
		Work: make([]api.PartWork, len(part.Work)), Rough: p.rough(part.Rough), Warnings: p.warnings(row, part.Warnings),
	}
	if p.job.Stock[part.Stock].Material == parts.Plywood {
		out.Grain = "none"
	}
	for i, w := range part.Work {
		placed := w.Code == parts.GrooveWork || w.Code == parts.HousingWork
		out.Work[i] = api.PartWork{
			Code: codes.Works[w.Code], At: codes.Places[w.At],
			From:  p.Known(w.From, placed || w.Code == parts.Pins && w.Width > 0),
			Width: p.Known(w.Width, placed || w.Width > 0),
			Depth: p.Length(w.Depth),
		}
		out.Work[i].Text, out.Work[i].Params = p.Say(say.Work(&w))
	}
	return out
}

func (p *planned) joint(i int, c *parts.Corner, end parts.End) api.DrawerJoint {
	row := &p.job.Drawers[i]
	board := row.Front
	if end == parts.AtBack {
		board = row.BackFrom
	}
	out := api.DrawerJoint{
		End: codes.Ends[end], Setup: c.Setup + 1,
		Lap:     p.Length(p.job.Stock[board].Thickness - c.Depth.PinBoard.Length),
		EdgePin: p.Known(c.Layout.Edge, c.Layout.Known), NearestHeights: p.nearestHeights(&c.Layout), Warnings: p.warnings(i, c.Warnings),
	}
	if c.Layout.Known {
		pitches, half := c.Layout.Pitches, c.Layout.HalfPins
		out.Pitches, out.HalfPins = &pitches, &half
		out.GrooveHidden = grooveHidden(&c.Layout.Groove)
	}
	set := c.Joint.Joint.Setup()
	out.ReadySetup = read.Ready(&set, p.in.Setup.Record)
	return out
}

func grooveHidden(f *layout.Finding) *bool {
	if !f.Known {
		return nil
	}
	hidden := f.Hidden
	return &hidden
}

func (p *planned) setup(i int) api.PartsSetup {
	s := &p.plan.Setups[i]
	fit := &s.Prediction.Fit
	lap, _ := s.Prediction.Joint.Lap()
	cutter := p.plan.Cutters[s.Cutter]
	out := api.PartsSetup{
		Order: i + 1, Cutter: p.Cutter(&cutter),
		DepthPinBoard: p.Length(s.Depth.PinBoard.Length), DepthTailBoard: p.Length(s.Depth.TailBoard.Length),
		Lip: p.Known(s.Lip, s.Lip > 0), SideStops: p.Known(s.Side, s.Side > 0),
		Play: p.Length(fit.Play), Band: codes.Bands[fit.Band], InTarget: answers.Rounded(fit.InTarget),
		Lap: p.Length(lap), Limits: p.Limits(&s.Prediction.Limits), RouterSettings: p.Settings(s.Prediction.Projection),
		Drawers: make([]string, len(s.Drawers)), Joints: s.Joints, TestJoints: answers.Rounded(s.TestJoints),
	}
	for k, drawer := range s.Drawers {
		out.Drawers[k] = p.in.Drawers[drawer].ID
	}
	said := p.said.SetupText(i)
	out.Code = said.Code
	out.Text, out.Params = p.Say(said)
	set := s.Prediction.Joint.Setup()
	out.ReadySetup = read.Ready(&set, p.in.Setup.Record)
	return out
}

func (p *planned) refused(i int) *api.DrawerRefusal {
	made := &p.plan.Drawers[i]
	out := &api.DrawerRefusal{
		Code:    p.refusalCode(made),
		Pointer: "#/drawers/" + strconv.Itoa(i) + p.refusedField(i),
		Changes: p.Changes(made.Refusal.Changes),
	}
	out.Text, out.Params = p.Say(p.said.RefusalText(made))
	return out
}

func (p *planned) sawn(s *parts.Sawn, refusal *parts.Refusal) *api.SidesSawn {
	out := &api.SidesSawn{
		Length: p.Length(s.Length), Depth: p.Length(s.Depth), Fits: s.Fits,
		Limits: []api.Limit{}, ComesOut: p.Known(s.ComesOut, s.ComesOutKnown),
	}
	said := p.said.SawnText(s, refusal)
	out.Code = said.Code
	out.Text, out.Params = p.Say(said)
	if s.Cutter < 0 {
		return out
	}
	cutter := p.Cutter(&p.plan.Cutters[s.Cutter])
	out.Cutter, out.Band = &cutter, codes.Bands[s.Prediction.Fit.Band]
	out.Play = p.Known(s.Prediction.Fit.Play, true)
	out.Limits = p.Limits(&s.Prediction.Limits)
	return out
}

func (p *planned) testStock(t *parts.TestStock) api.TestStock {
	out := api.TestStock{
		Stock: make([]string, len(t.From)), Material: codes.MaterialNames[t.Stock.Material], Species: t.Stock.Species,
		Thickness: p.Length(t.Stock.Thickness), PinBoards: t.Pins, TailBoards: t.Tails,
		Length: p.Length(t.Length), Width: p.Length(t.Width), TotalLength: p.Length(t.LengthAll),
	}
	for i, from := range t.From {
		out.Stock[i] = p.in.Stock[from].ID
	}
	return out
}

func (p *planned) total(i int) api.StockTotal {
	t, from := &p.plan.Totals[i], &p.job.Stock[i]
	return api.StockTotal{
		ID: p.in.Stock[i].ID, Material: codes.MaterialNames[from.Material], Species: from.Species,
		Thickness: p.Length(from.Thickness), Pieces: t.Pieces, Length: p.Length(t.Length),
		Area: area(t.Area), Volume: volume(t.Volume), Rough: p.stockRough(&t.Rough),
	}
}

func (p *planned) labour() api.Labour {
	l := &p.plan.Labour
	changes, cutters := p.plan.Changes()
	out := api.Labour{
		Drawers: l.Drawers, Parts: l.Parts, Joints: l.Joints, Setups: l.Setups,
		FewestSetups: p.plan.Cover.Exact, SetupsAtLeast: p.plan.Cover.AtLeast,
		ChangesOfSetup: changes, ChangesOfCutter: cutters, TestJoints: answers.Rounded(l.TestJoints),
	}
	if l.OpeningsKnown {
		const mmPerMetre = 1000
		openings, metres, feet := l.Openings, answers.Rounded(l.Cut.MM()/mmPerMetre), answers.Rounded(l.Cut.MM()/mmPerFoot)
		out.Openings, out.MetresOfCut, out.FeetOfCut = &openings, &metres, &feet
	}
	if l.HoursKnown {
		hours := answers.Rounded(l.Hours)
		out.Hours = &hours
	}
	return out
}

// cautions: until a test joint fits, no side is sawn to length.
func (p *planned) cautions() []api.Caution {
	if len(p.plan.Setups) == 0 {
		return p.Cautions("power_off", "own_instructions_first")
	}
	codes := make([]string, 0, 12)
	if p.sidesToSaw() {
		codes = append(codes, "sides_last")
	}
	codes = append(codes, "power_off", "test_in_scrap", "same_face_to_stop", "score_and_back_up")
	if p.usesPlywood() {
		codes = append(codes, "plywood_splinters")
	}
	codes = append(codes, "blow_out_chips")
	if slices.ContainsFunc(p.plan.Drawers, func(made parts.Made) bool { return made.Seasons.Known }) {
		codes = append(codes, "wood_averages")
	}
	first := p.plan.Setups[0].Prediction
	return p.Cautions(answers.ForCutting(codes, &first.Joint, &first.Limits)...)
}

func (p *planned) sidesToSaw() bool {
	for i := range p.plan.Drawers {
		if made := &p.plan.Drawers[i]; made.Refusal == nil && !made.Sawn.Given {
			return true
		}
	}
	return false
}

// usesPlywood: for what is cut by the router; a bottom is not.
func (p *planned) usesPlywood() bool {
	for i := range p.plan.Drawers {
		for _, part := range p.plan.Drawers[i].Parts {
			if part.Name != parts.Bottom && p.job.Stock[part.Stock].Material == parts.Plywood {
				return true
			}
		}
	}
	return false
}

// refusedFields are where to look for each reason, within the drawer.
var refusedFields = [...]string{
	parts.ReasonNoRoom: "/allowance", parts.ReasonTooNarrow: "/width", parts.ReasonTooShort: "/depth",
	parts.ReasonLipTooThick: "/lip/thickness", parts.ReasonNoGroove: "/bottom", parts.ReasonGrooveOffBoard: "/groove/from_bottom",
	parts.ReasonGrooveThrough: "/groove/depth", parts.ReasonBottomLoose: "/groove/clearance", parts.ReasonBottomTooThick: "/bottom",
	parts.ReasonUnderPins: "/groove/under_back", parts.ReasonHousingThrough: "/housing_depth", parts.ReasonNoCutter: "/front",
	parts.ReasonIntoLip: "/lip/thickness", parts.ReasonSawnPlay: "/sides_sawn",
	parts.ReasonNoHalfPins: "/height_rule", parts.ReasonSidesTooHigh: "/sides_height",
	parts.ReasonFiberboard: "/front",
}

// refusalCode names the reason; sides that are sawn get the blame for a depth
// that only they ask for.
func (p *planned) refusalCode(made *parts.Made) string {
	if made.Sawn.Given {
		return codes.Refusals[parts.ReasonSawnPlay]
	}
	return codes.Refusals[made.Refusal.Reason]
}

func (p *planned) refusedField(i int) string {
	made, in := &p.plan.Drawers[i], &p.in.Drawers[i]
	if made.Sawn.Given {
		return refusedFields[parts.ReasonSawnPlay]
	}
	size := "/opening"
	if in.Outside != nil {
		size = "/outside"
	}
	field := refusedFields[made.Refusal.Reason]
	switch made.Refusal.Reason {
	case parts.ReasonSidesTooHigh:
		if made.Refusal.Part == parts.Back {
			return "/back_height"
		}
	case parts.ReasonFiberboard:
		return [...]string{parts.Front: "/front", parts.Side: "/sides", parts.Back: "/back"}[made.Refusal.Part]
	case parts.ReasonNoRoom:
		if in.Allowance == nil {
			return size
		}
	case parts.ReasonTooNarrow, parts.ReasonTooShort:
		return size + field
	case parts.ReasonNoCutter:
		if made.Refusal.End == parts.AtBack {
			return "/back"
		}
	}
	return field
}
