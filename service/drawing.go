package service

import (
	"context"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/layout"
	"snugtail/service/draw"
	"snugtail/service/paper"
)

// croppedMargin is left around a view that is asked for alone, mm.
const croppedMargin = 2

// drawingSVG and drawingPDF answer: what does the joint look like?
func (s *Service) drawingSVG(ctx context.Context, in *api.JointDrawingRequest) ([]byte, error) {
	alone := len(in.Views) == 1
	page, err := s.drawJoint(ctx, in, alone)
	if err != nil {
		return nil, err
	}
	if alone {
		page.Crop(croppedMargin)
	}
	return page.SVG(), nil
}

func (s *Service) drawingPDF(ctx context.Context, in *api.JointDrawingRequest) ([]byte, error) {
	page, err := s.drawJoint(ctx, in, false)
	if err != nil {
		return nil, err
	}
	return page.PDF(), nil
}

func (s *Service) drawJoint(ctx context.Context, in *api.JointDrawingRequest, bare bool) (*draw.Page, error) {
	r := s.reader(ctx, in.Units)
	setup, sessions, plan := r.DrawingAsked(in)
	if err := r.Fault(); err != nil {
		return nil, err
	}
	p, _, err := r.Predicted(&setup, sessions, joint.DefaultTarget(setup.Tails()))
	if err != nil {
		return nil, err
	}
	asked := paper.Drawing{ID: in.ID, Job: in.Job, Paper: in.Paper, Views: in.Views, Exaggeration: in.Exaggeration, Bare: bare}
	if plan != nil {
		l, err := layout.New(*plan)
		if err != nil {
			return nil, r.PlanRefusal(err, &api.LayoutRequest{Setup: in.Setup, BoardWidth: in.BoardWidth})
		}
		asked.Layout = &l
	}
	return asked.Page(s.writerFor(ctx, r, &setup).Words, &p), nil
}
