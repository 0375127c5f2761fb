package plain

import (
	"fmt"
	"strings"

	"snugtail/api"
	"snugtail/service/message"
)

// What to do next, to be read out on the phone: first what to do, then what is
// doubtful, then what stands behind it, and as many cautions as have room.
const (
	phoneLines  = 15
	phoneCauses = 3
	phoneDoubts = 2
	phoneLikely = 4    // lines that the likely causes always have
	phoneChance = 0.05 // of a cause that is still told after the first two
)

// phone is a text for the phone in the making. What to do and what is doubtful
// always stand there, and so does who has the last word.
type phone struct {
	*message.Printer
	lines []string
	last  []string
}

// newPhone begins with what to do, and goes on with what to read again.
func newPhone(in *message.Printer, first string, doubts []api.Disagreement, cautions []api.Caution) *phone {
	p := &phone{Printer: in}
	if n := len(cautions); n > 0 {
		p.last = wrapped(2, "- "+cautions[n-1].Text)
	}
	p.lines = wrapped(0, first)
	for i := range doubts[:min(len(doubts), phoneDoubts)] {
		p.add(0, doubts[i].Text)
	}
	return p
}

func (p *phone) room() int { return phoneLines - len(p.lines) - len(p.last) }

// add adds what has room whole, and reports whether it had.
func (p *phone) add(hang int, text string) bool {
	more := wrapped(hang, text)
	if p.room() < len(more) {
		return false
	}
	p.lines = append(p.lines, more...)
	return true
}

// list adds a title, by its name, and as many items as have room whole.
func (p *phone) list(title string, hang int, items []string) {
	if len(items) == 0 || p.room() < 1+len(wrapped(hang, items[0])) {
		return
	}
	p.lines = append(p.lines, p.Of("plain.advice."+title))
	for _, item := range items {
		if !p.add(hang, item) {
			return
		}
	}
}

// cautions fills what room is left with cautions; the last of them has its room.
func (p *phone) cautions(all []api.Caution) {
	for _, c := range all[:max(0, len(all)-1)] {
		p.add(2, "- "+c.Text)
	}
	p.lines = append(p.lines, p.last...)
}

func (p *phone) String() string { return strings.Join(p.lines, "\n") + "\n" }

// Correction is what to change, and what to expect of it.
func Correction(in *message.Printer, a *api.CorrectionAnswer) string {
	p := newPhone(in, a.Decision.Text, a.Disagreements, a.Cautions)
	p.add(0, strings.TrimSpace(strings.TrimSpace(strings.TrimPrefix(a.Summary, a.Decision.Text))+" "+a.Decision.Why.Text))
	p.list("run", 2, ofRun(a.Run))
	p.check(&a.Decision, a.NextCheck)
	p.steps(&a.Decision, a.Steps)
	for _, l := range a.Limits {
		if l.OK != nil && !*l.OK && a.Decision.Depth != nil {
			p.add(2, "! "+l.Text)
		}
	}
	p.list("salvage", 2, salvaged(a.Salvage))
	p.list("noted", 2, noted(a))
	p.cautions(a.Cautions)
	return p.String()
}

func salvaged(all []api.Salvage) (items []string) {
	for _, s := range all {
		items = append(items, "- "+s.Text)
	}
	return items
}

// noted is what the test joints showed besides.
func noted(a *api.CorrectionAnswer) (items []string) {
	for _, c := range a.Corners {
		items = append(items, "- "+c.Text)
	}
	for _, part := range a.PartsOff {
		items = append(items, "- "+part.Text)
	}
	if a.Decision.Do == "stop" && a.Run == nil { // a run tells when to look again
		items = append(items, "- "+a.CheckAgain.Text)
	}
	if a.Regrind != nil {
		items = append(items, "- "+a.Regrind.Text)
	}
	return items
}

// steps lists what carries the decision out, but for the one that the first
// line tells; a check is told as one.
func (p *phone) steps(d *api.Decision, steps []api.Step) {
	if d.Do == "check" {
		return
	}
	var items []string
	for i := range steps {
		if steps[i].Text != d.Text {
			items = append(items, fmt.Sprintf("  %d. %s", steps[i].Order, steps[i].Text))
		}
	}
	p.list("steps", 5, items)
}

// check says how the check that is asked for is made, and what it may show.
func (p *phone) check(d *api.Decision, n *api.NextCheck) {
	if d.Do != "check" || n == nil {
		return
	}
	p.add(2, p.Of("plain.advice.how", message.Name("how", n.Text)))
	for _, o := range n.Outcomes {
		if !p.add(4, "  - "+p.Of("plain.advice.outcome", message.Name("seen", o.If), message.Name("means", o.Means))) {
			return
		}
	}
}

// Diagnosis is what to do, what was heard, and what is likely wrong.
func Diagnosis(in *message.Printer, a *api.DiagnosisAnswer) string {
	p := newPhone(in, a.Decision.Text, a.Disagreements, a.Cautions)
	if p.room()-len(wrapped(2, a.Heard)) >= phoneLikely {
		p.add(2, a.Heard)
	}
	p.likely(a)
	p.check(&a.Decision, a.NextCheck)
	p.steps(&a.Decision, a.Steps)
	for _, c := range a.Corners {
		p.add(2, "- "+c.Text)
	}
	p.cautions(a.Cautions)
	return p.String()
}

func (p *phone) likely(a *api.DiagnosisAnswer) {
	var items []string
	if a.Unexplained {
		items = append(items, "  "+p.Of("plain.advice.unexplained"))
	}
	for i := range a.Answers {
		g := &a.Answers[i]
		if i < phoneCauses && (i == 0 || g.Probability >= phoneChance) {
			items = append(items, fmt.Sprintf("%10s %s", p.Percent(g.Probability), g.Text))
		}
	}
	p.list("likely", 11, items)
}

// wrapped breaks a text into lines, but never a number from its % sign.
func wrapped(hang int, text string) []string {
	const glue = "\x00"
	s := NewLines(nil)
	s.Para(hang, strings.ReplaceAll(text, " %", glue+"%"))
	return strings.Split(strings.ReplaceAll(strings.TrimSuffix(s.String(), "\n"), glue, " "), "\n")
}

// ofRun is what a run of joints shows, a sentence to each item, so that as many
// as have room are told.
func ofRun(r *api.Run) (items []string) {
	if r == nil {
		return nil
	}
	for i := range r.Signals[:min(len(r.Signals), 1)] {
		items = append(items, "! "+r.Signals[i].Text)
	}
	for _, sentence := range strings.SplitAfter(r.Text, ". ") {
		items = append(items, "- "+strings.TrimSpace(sentence))
	}
	return items
}
