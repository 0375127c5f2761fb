package plain

import (
	"snugtail/api"
	"snugtail/service/message"
)

// Operations lists what the service answers.
func Operations(in *message.Printer, a *api.OperationsAnswer) string {
	s := NewLines(in)
	s.Para(0, "snugtail "+a.Version+". The contract: GET "+a.Contract+". To read and try it: "+a.Docs+".")
	for _, op := range a.Operations {
		s.Para(2, op.Method+" "+op.Path)
		s.Para(4, "    "+op.Summary)
	}
	return s.String()
}
