package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/service/draw"
	"snugtail/service/paper"
)

// drawingSVG and drawingPDF answer: what does the joint look like?
func (s *Service) drawingSVG(ctx context.Context, in *api.JointDrawingRequest) ([]byte, error) {
	page, err := s.drawJoint(ctx, in)
	if err != nil {
		return nil, err
	}
	return page.SVG(), nil
}

func (s *Service) drawingPDF(ctx context.Context, in *api.JointDrawingRequest) ([]byte, error) {
	page, err := s.drawJoint(ctx, in)
	if err != nil {
		return nil, err
	}
	return page.PDF(), nil
}

func (s *Service) drawJoint(ctx context.Context, in *api.JointDrawingRequest) (*draw.Page, error) {
	r := s.reader(ctx, in.Units)
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
