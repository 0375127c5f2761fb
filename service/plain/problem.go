package plain

import (
	"snugtail/api"
	"snugtail/service/message"
	"snugtail/service/problem"
)

// Problem is a problem to read: what kind it is, every bad field with its
// reason, or what happened where no field is to blame, and the request's id to
// ask with.
func Problem(in *message.Printer, p *api.Problem) string {
	s := NewLines(in)
	title, detail := message.Name("title", p.Title), message.Name("detail", p.Detail)
	switch n := len(p.Errors); {
	case n == 0:
		s.Para(0, s.Of("plain.problem.happened", title, detail))
	case n < problem.MaxFields:
		s.Para(0, s.Of("plain.problem.title", title))
	default:
		s.Para(0, s.Of("plain.problem.many", title, detail))
	}
	for _, field := range p.Errors {
		s.Para(2, "- "+field.Pointer+": "+field.Detail)
	}
	s.Para(0, s.Of("plain.problem.request", message.Name("id", p.RequestID)))
	return s.String()
}
