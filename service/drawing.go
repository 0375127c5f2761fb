package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/service/draw"
	"snugtail/service/paper"
	"snugtail/service/read"
)

// drawingSVG and drawingPDF answer: what does the joint look like?
func drawingSVG(_ context.Context, in *api.JointDrawingRequest) ([]byte, error) {
	page, err := drawJoint(in)
	if err != nil {
		return nil, err
	}
	return page.SVG(), nil
}

func drawingPDF(_ context.Context, in *api.JointDrawingRequest) ([]byte, error) {
	page, err := drawJoint(in)
	if err != nil {
		return nil, err
	}
	return page.PDF(), nil
}

func drawJoint(in *api.JointDrawingRequest) (*draw.Page, error) {
	r := read.New(in.Units)
	setup, sessions := r.Setup(in.Setup)
	if err := r.Fault(); err != nil {
		return nil, err
	}
	p, err := r.Predicted(&setup, sessions, joint.DefaultTarget(setup.Tails()))
	if err != nil {
		return nil, err
	}
	asked := paper.Drawing{Job: in.Job, Paper: in.Paper, Views: in.Views, Exaggeration: in.Exaggeration}
	return asked.Page(r.Words(), &p), nil
}
