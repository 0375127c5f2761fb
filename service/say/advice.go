package say

import (
	"fmt"
	"slices"
	"strings"

	"snugtail/joint"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// What to do next, as it is read out on the phone.

// FirstLine is what to do, with direction and amount.
func (w Words) FirstLine(a *advise.Advice) string {
	d := &a.Decision
	switch d.Do {
	case advise.DoStop:
		return fmt.Sprintf("It fits: stop adjusting, and keep the depth at %s.", w.Setting(d.Depth))
	case advise.DoCheck:
		return capital(fmt.Sprintf("%s%s, before more wood is cut (%s).", w.checkShort(d.Check), w.again(a), MinutesText(minutesOf(a))))
	case advise.DoChange:
		return firstSentence(w.Step(&a.Steps[0], a))
	}
	return w.toCut(a)
}

// firstSentence of a text; decimals are no ends of sentences.
func firstSentence(text string) string {
	if i := strings.Index(text, ". "); i >= 0 {
		return text[:i+1]
	}
	return text
}

// again is told of a check whose reading is doubted.
func (w Words) again(a *advise.Advice) string {
	if a.NextCheck != nil && a.NextCheck.Again {
		return " again"
	}
	return ""
}

func minutesOf(a *advise.Advice) float64 {
	if a.NextCheck != nil {
		return a.NextCheck.Minutes
	}
	return 0
}

func (w Words) toCut(a *advise.Advice) string {
	depth := w.Setting(a.Decision.Depth)
	text := fmt.Sprintf("Cut the test joint at %s.", depth)
	for i := range a.Steps {
		switch s := &a.Steps[i]; s.Action {
		case advise.LowerCutter:
			text = fmt.Sprintf("Deeper, by about %s: to %s.", w.Turn(s.Amount), depth)
		case advise.RaiseCutter:
			text = fmt.Sprintf("Shallower, by about %s: to %s.", w.Turn(s.Amount), depth)
		}
	}
	if l, broken := a.Limits.Furthest(); broken {
		return strings.TrimSuffix(text, ".") + ", though there " + w.brokenLimit(l) + "."
	}
	return text
}

// Summary is the first line, how sure it is, and what the joint is like now.
func (w Words) Summary(a *advise.Advice) string {
	if !w.Wants("summary") {
		return ""
	}
	text := w.FirstLine(a)
	if now := w.now(a); now != "" {
		text += " " + now
	}
	if chance := w.ChanceText(a); chance != "" {
		text += " " + chance
	}
	return text
}

// ChanceText is how sure it is that the next joint fits.
func (w Words) ChanceText(a *advise.Advice) string {
	d := &a.Decision
	switch d.Do {
	case advise.DoCut:
		if d.Why == advise.WhyFirst {
			return fmt.Sprintf("The chance that it fits is %s, since sizes are not always as stated.", Percent(d.Chance))
		}
		return fmt.Sprintf("The chance that it then fits is %s.", Percent(d.Chance))
	case advise.DoStop:
		return ""
	}
	if d.Why == advise.WhyNoJoint {
		return ""
	}
	return fmt.Sprintf("The chance that the next joint then fits is %s.", Percent(d.Chance))
}

// now is what the joint last cut is like.
func (w Words) now(a *advise.Advice) string {
	play := w.about(a.Current)
	switch a.Verdict {
	case advise.Fits:
		return fmt.Sprintf("Play is about %s.", play)
	case advise.TooLoose:
		return fmt.Sprintf("It is too loose now, play about %s.", play)
	case advise.TooTight:
		return fmt.Sprintf("It is too tight now, play about %s.", play)
	case advise.SeatOff:
		return "Tightness is right, the seat is not."
	case advise.EdgesOff:
		return "Tightness is right, the edges are out of line."
	case advise.DepthsUnequal:
		return "Tightness is right, but the boards were cut to different depths."
	}
	return ""
}

// whyTexts say what decided.
var whyTexts = [...]string{
	advise.WhyFirst:       "No test joint has been cut yet: this is the depth with the best chance.",
	advise.WhyBestChance:  "This depth has the best chance, and no check saves more time than it takes.",
	advise.WhyCheckPays:   "The answer saves more time than it takes to find out.",
	advise.WhyDoubted:     "A reading that decides the depth is probably wrong.",
	advise.WhyAgainstFeel: "What was read contradicts what the hand felt: look again before wood is cut.",
	advise.WhyNotOfDepth:  "A joint that closes at one end only is not a question of depth.",
	advise.WhyUnknown:     "Too little of the set-up is known to name a depth.",
	advise.WhyFits:        "The last joint fitted, and the next one at this setting most likely will.",
	advise.WhySeat:        "Tightness is right; the seat is what is off.",
	advise.WhyEdges:       "Tightness is right; the edges are what is off.",
	advise.WhyUneven:      "Tightness is right; the boards were cut to different depths.",
	advise.WhyLimit:       "The depth that would fit breaks a limit.",
	advise.WhyNoJoint:     "With the template's reaches as stated there is no joint at any depth.",
	advise.WhyCause:       "Something other than the depth is probably wrong: put that right first",
}

// DecidedBy says what decided.
func (w Words) DecidedBy(a *advise.Advice) string {
	if !w.Wants("text") {
		return ""
	}
	d := &a.Decision
	switch d.Why {
	case advise.WhyCause:
		return whyTexts[d.Why] + ": " + w.CauseName(d.Cause) + "."
	case advise.WhyLimit:
		return strings.TrimSuffix(whyTexts[d.Why], ".") + ": " + w.brokenLimit(d.Limit) + "."
	case advise.WhyDoubted:
		return strings.TrimSuffix(whyTexts[d.Why], ".") + ": " + w.EvidenceText(d.Doubt.Evidence) + "."
	}
	return whyTexts[d.Why]
}

// Doubt asks to read again what is probably misread.
func (w Words) Doubt(d *advise.Doubt) string {
	if !w.Wants("text") {
		return ""
	}
	return fmt.Sprintf("Read again: %s (%s likely to be misread).", w.EvidenceText(d.Evidence), Percent(d.Chance))
}

// Corners that differ.

var (
	cornerOf = map[belief.Seen]string{
		belief.SeenSeat: "The seat", belief.SeenEdgeStep: "The edge step", belief.SeenPulledGap: "The pulled gap",
	}
	cornerSides = [...]struct{ between, pointsTo string }{
		advise.FrontAgainstBack: {"front and back corners", "another board or another set-up at the back: measure front and back, and the template's place"},
		advise.LeftAgainstRight: {"left and right corners", "the side: its thickness, its end, or how it stood"},
		advise.StopAgainstStop:  {"the corners cut at one stop and those at the other", "a stop, or the template's end there: set both alike"},
	}
)

// Corners says which corners differ, and what that points to.
func (w Words) Corners(c *advise.CornerDifference) string {
	if !w.Wants("text") {
		return ""
	}
	sides := &cornerSides[c.Sides]
	return fmt.Sprintf("%s differs by %s +/- %s between %s. It points to %s.",
		cornerOf[c.Seen], w.about(max(c.Amount, -c.Amount)), w.about(2*c.Error), sides.between, sides.pointsTo)
}

// Heard says back what was told, in one line.
func (w Words) Heard(c *belief.Case) string {
	parts := w.heardSetup(&c.Setup)
	if n := len(c.Cuts); n > 0 {
		parts = append(parts, w.heardCut(&c.Cuts[n-1], n))
	}
	for f, answer := range c.Findings {
		if answer == belief.Yes {
			parts = append(parts, w.Text(Finding(belief.Finding(f))))
		}
	}
	if len(parts) == 0 {
		return "Heard: nothing yet."
	}
	return "Heard: " + strings.Join(parts, "; ") + "."
}

func (w Words) heardSetup(s *joint.Setup) []string {
	var parts []string
	if d := s.Bushing.Diameter; d.Given {
		parts = append(parts, guide(s.Bushing.Kind)+" "+w.Sold(d.Length))
	}
	switch {
	case s.Cutter.Diameter.Given && s.Cutter.Angle > 0:
		parts = append(parts, "cutter "+w.Sold(s.Cutter.Diameter.Length)+" "+angleText(s.Cutter.Angle))
	case s.Cutter.Diameter.Given:
		parts = append(parts, "cutter "+w.Sold(s.Cutter.Diameter.Length))
	}
	if d := s.Depth.PinBoard; d.Given {
		parts = append(parts, "depth "+w.Setting(d.Length))
	}
	return parts
}

// feelTexts say how a joint went together.
var feelTexts = [...]string{
	belief.FeelNone: "", belief.FeelRattles: "rattles", belief.FeelSlidesFree: "slides free", belief.FeelHandPressure: "goes home by hand",
	belief.FeelLightTaps: "takes light taps", belief.FeelHardBlows: "takes hard blows", belief.FeelSticksPartWay: "sticks part way",
	belief.FeelWillNotStart: "will not start", belief.FeelClosesOneEnd: "closes at one end only", belief.FeelTight: "is tight", belief.FeelLoose: "is loose",
}

func (w Words) heardCut(c *belief.Cut, n int) string {
	seen := []string{fmt.Sprintf("test joint %d", n)}
	if c.Depth.PinBoard.Given {
		seen = append(seen, "cut "+w.Setting(c.Depth.PinBoard.Length))
	}
	if c.Feel != belief.FeelNone {
		seen = append(seen, feelTexts[c.Feel])
	}
	for _, read := range []struct {
		name string
		size length.Size
	}{{"gap", c.PulledGap}, {"shoulder open", c.ShoulderGap}, {"went in", c.WentIn}, {"seat", c.Seat}, {"edges off", c.EdgeStep}} {
		if read.size.Given {
			seen = append(seen, read.name+" "+w.about(read.size.Length))
		}
	}
	if c.Measured != (belief.Measured{}) {
		seen = append(seen, "measured")
	}
	if len(c.Along) > 0 {
		seen = append(seen, fmt.Sprintf("%d places along it", len(c.Along)))
	}
	return strings.Join(seen, ", ")
}

// DiagnosisSummary is what to do, and what is likely wrong.
func (w Words) DiagnosisSummary(a *advise.Advice, seen bool) string {
	if !w.Wants("summary") {
		return ""
	}
	first := &a.Causes[0]
	if !seen {
		return fmt.Sprintf("No joint described yet, so this only says what goes wrong most often: %s (%s). %s",
			w.Cause(first), Percent(first.Probability), w.FirstLine(a))
	}
	return w.FirstLine(a) + " " + w.likely(a)
}

func (w Words) likely(a *advise.Advice) string {
	first := &a.Answers[0]
	switch {
	case a.Unexplained:
		return fmt.Sprintf("No single cause explains everything; %s comes nearest (%s).", w.Answer(a, first), Percent(first.Probability))
	case first.Probability >= 0.5 || len(a.Answers) < 2:
		return fmt.Sprintf("Most likely (%s): %s.", Percent(first.Probability), w.Answer(a, first))
	}
	second := &a.Answers[1]
	return fmt.Sprintf("Not clear yet. Likeliest (%s): %s; then (%s) %s.",
		Percent(first.Probability), w.Answer(a, first), Percent(second.Probability), w.Answer(a, second))
}

// groupTexts name causes that are told as one, by their likeliest.
var groupTexts = map[belief.Code]string{
	belief.CauseDepthOff:         "the depth: set off, or slipped in collet or lock",
	belief.CauseTemplatePosition: "where the template stands on the pin board",
	belief.CauseChipsUnder:       "how template and stop sit: chips, tilt or the side stop",
}

// Answer names causes that are told as one.
func (w Words) Answer(a *advise.Advice, g *advise.Answer) string {
	if len(g.Codes) > 1 {
		for code, text := range groupTexts {
			if slices.Contains(g.Codes, code) {
				return text
			}
		}
	}
	for i := range a.Causes {
		if a.Causes[i].Code == g.Codes[0] {
			return w.Cause(&a.Causes[i])
		}
	}
	return w.CauseName(g.Codes[0])
}

// SureEnough is the chance of a cause from which it is told with its cure.
const SureEnough = 0.9

// UnexplainedText says what follows from readings that no cause agrees with.
func UnexplainedText(misfits int) string {
	if misfits == 0 {
		return "No single cause fits all the readings. Either a reading or a stated size is wrong, or two things are wrong at once. First read again what surprises you most."
	}
	return "Not even the likeliest cause fits every reading. Either a reading or a stated size is wrong, or two things are wrong at once. First read again what fits worst."
}
