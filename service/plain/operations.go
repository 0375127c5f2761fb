package plain

import (
	"snugtail/api"
	"snugtail/service/message"
)

// Operations lists what the service answers.
func Operations(in *message.Printer, a *api.OperationsAnswer) string {
	s := NewLines(in)
	s.Para(0, s.Of("plain.operations", message.Name("version", a.Version), message.Name("contract", a.Contract), message.Name("docs", a.Docs)))
	for _, op := range a.Operations {
		s.Para(2, op.Method+" "+op.Path)
		s.Para(4, "    "+op.Summary)
	}
	return s.String()
}
