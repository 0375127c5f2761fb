package service

import (
	"snugtail/joint/belief"
	"snugtail/service/answers"
)

// Priors is what is believed before anything is seen, where an operator
// replaces the default: shares of causes and their sizes.
type Priors struct {
	Observer *belief.Observer
	Checksum string // of the file that they stand in
}

func (p *Priors) observer() *belief.Observer {
	if p == nil {
		return belief.Default()
	}
	return p.Observer
}

// ModelVersion is the version of the formulas, as answers give it; it ends in
// the checksum of the priors where there are any.
func (p *Priors) ModelVersion() string {
	if p == nil {
		return answers.ModelVersion
	}
	return answers.ModelVersion + "+priors." + p.Checksum
}
