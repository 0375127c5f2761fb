package service

import (
	"context"
	"reflect"

	"snugtail/api"
	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/service/answers"
	"snugtail/service/codes"
	"snugtail/service/fields"
	"snugtail/service/read"
	"snugtail/service/say"
	"snugtail/service/working"
)

// diagnoseJoint answers: what is wrong, and what to check next? What is answered
// to who tells nothing follows from the priors alone, and is put into words once.
func (s *Service) diagnoseJoint(ctx context.Context, in *api.DiagnosisRequest) (*api.DiagnosisAnswer, error) {
	if fields.From(ctx) != nil || !reflect.ValueOf(in).Elem().IsZero() {
		return s.diagnosed(ctx, in)
	}
	language := s.language(ctx).Language
	if kept, ok := s.untold.Load(language); ok {
		return kept.(*api.DiagnosisAnswer), nil
	}
	answer, err := s.diagnosed(ctx, in)
	if err == nil {
		s.untold.Store(language, answer)
	}
	return answer, err
}

func (s *Service) diagnosed(ctx context.Context, in *api.DiagnosisRequest) (*api.DiagnosisAnswer, error) {
	r := s.reader(ctx, in.Units)
	bench := r.Diagnosis(in)
	a, err := r.Advised(&bench)
	if err != nil {
		return nil, err
	}
	w := s.writerFor(ctx, r, &bench.Setup)
	answer := diagnosisAnswer(w, a, &bench)
	if in.Explain && w.Wants("working") {
		answer.Working = working.Diagnosis(w, a, &bench.Case.Case, len(answer.Causes))
	}
	return answer, nil
}

// Causes that are answered: the likely ones, at least a few.
const (
	fewestCauses = 3
	likelyCause  = 0.01
)

func diagnosisAnswer(w answers.Writer, a *advise.Advice, b *read.Bench) *api.DiagnosisAnswer {
	answer := &api.DiagnosisAnswer{
		Model:         w.Model,
		Decision:      w.Decision(a),
		Steps:         w.Steps(a.Steps, a),
		Answers:       make([]api.DiagnosisGroup, 0, len(a.Answers)),
		NextCheck:     w.NextCheck(a),
		NextDepth:     w.Known(a.NextDepth, a.NextKnown),
		Setting:       w.NextSetting(a),
		Disagreements: w.Disagreements(a),
		Corners:       w.Corners(a),
		Unexplained:   a.Unexplained,
		Misfits:       w.Evidence(a.Misfits),
		Cautions:      w.AdviceCautions(a),
	}
	if a.NextKnown {
		chance := answers.Rounded(a.ChanceNext)
		answer.ChanceNextFits = &chance
	}
	for i := range a.Causes {
		if told(i, a.Causes[i].Probability) {
			answer.Causes = append(answer.Causes, causeAnswer(w, &a.Causes[i], a))
		}
	}
	for i := range a.Answers {
		if told(i, a.Answers[i].Probability) {
			answer.Answers = append(answer.Answers, groupAnswer(w, &a.Answers[i], a))
		}
	}
	diagnosisSaid(w, answer, a, &b.Case.Case)
	return answer
}

// diagnosisSaid puts into words what was heard and what is likely wrong.
func diagnosisSaid(w answers.Writer, answer *api.DiagnosisAnswer, a *advise.Advice, c *belief.Case) {
	answer.Summary, answer.SummaryMessage = w.Tell("summary", w.DiagnosisSummary(a, saysSomething(c)))
	answer.Heard, answer.HeardMessage = w.Tell("heard", say.Heard(c))
	if a.Unexplained {
		text, m := w.Tell("unexplained_text", say.Unexplained(len(a.Misfits)))
		answer.UnexplainedText, answer.UnexplainedTextMessage = &text, m
	}
}

func told(place int, probability float64) bool {
	return place < fewestCauses || probability >= likelyCause
}

// saysSomething reports whether anything was told beside the set-up.
func saysSomething(c *belief.Case) bool {
	return len(c.Cuts) > 0 || c.Findings != belief.Findings{} || c.Answered != belief.Checks{}
}

func causeAnswer(w answers.Writer, c *advise.Cause, a *advise.Advice) api.DiagnosisCause {
	out := api.DiagnosisCause{
		Code:           codes.Causes[c.Code],
		Probability:    answers.Rounded(c.Probability),
		Prior:          answers.Rounded(c.Prior),
		Size:           causeSize(w, &c.Size),
		Explains:       w.Evidence(c.Explains),
		DoesNotExplain: w.Evidence(c.NotExplains),
		Check:          w.CauseCheck(c, a),
		Cure:           w.Steps(c.Steps, a),
	}
	out.Name, out.NameMessage = w.Tell("name", say.Cause(c))
	out.Text, out.Params = w.Say(say.CauseSentence(c))
	return out
}

func groupAnswer(w answers.Writer, g *advise.Answer, a *advise.Advice) api.DiagnosisGroup {
	m := say.Answer(a, g)
	out := api.DiagnosisGroup{
		Codes: make([]string, len(g.Codes)), Probability: answers.Rounded(g.Probability), Code: m.Code, Cure: w.Steps(g.Steps, a),
	}
	out.Text, out.Params = w.Say(m)
	for i, code := range g.Codes {
		out.Codes[i] = codes.Causes[code]
	}
	return out
}

// causeSize is null where a cause has no size that could be named.
func causeSize(w answers.Writer, s *belief.Size) *api.CauseSize {
	name, named := codes.CauseSizes[s.Kind]
	if !named {
		return nil
	}
	size := &api.CauseSize{Of: name}
	if s.Kind == belief.SizeAngle {
		angle, against := answers.Rounded(float64(s.Angle)), answers.Rounded(float64(s.AgainstAngle))
		size.Angle, size.InsteadOfAngle = &angle, &against
		return size
	}
	size.Length = w.Known(s.Length, true)
	size.InsteadOf = w.Known(s.Against, s.Against > 0)
	return size
}
