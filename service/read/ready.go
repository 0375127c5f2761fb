package read

import (
	"snugtail/api"
	"snugtail/joint"
)

// Ready writes a set-up as every operation takes it. Where an earlier session told
// of the template, its record stands for it.
func Ready(s *joint.Setup, record *api.Record) api.Setup {
	written := recordSetup(s)
	ready := plain(&written)
	if record != nil {
		ready.Record, ready.Template = record, nil
	}
	return *ready
}
