package service

import (
	"net/http"

	"snugtail/api"
	"snugtail/service/plain"
	"snugtail/service/read"
	"snugtail/service/transfer"
)

// operations is the one table of what the service answers. Routes are made of
// it, and a test holds it against the contract, both ways.
func (s *Service) operations() []operation {
	return append(s.platformOperations(),
		post("/v1/cutter-recommendations", recommendCutter, plain.Recommendation, read.Recommendation),
		post("/v1/fit-predictions", predictFit, plain.Prediction, read.Prediction),
		post("/v1/corrections", correctSetup, plain.Correction, read.Correction),
		post("/v1/diagnoses", diagnoseJoint, plain.Diagnosis, read.Diagnosis),
		post("/v1/layouts", layOut, plain.Layout, read.Layout),
		postIn("/v1/drawer-parts", planParts, plain.Drawers, []func(*read.Reader, *api.DrawerPartsRequest){read.DrawerParts},
			form[api.DrawerPartsRequest]{transfer.CSV, partsCSV}),
		postIn("/v1/wood-movements", moveWood, plain.Movement, []func(*read.Reader, *api.WoodMovementRequest){read.Movement},
			form[api.WoodMovementRequest]{transfer.SVG, plotMovement}),
		postForms("/v1/joint-drawings", read.Drawing,
			form[api.JointDrawingRequest]{transfer.SVG, drawingSVG}, form[api.JointDrawingRequest]{transfer.PDF, drawingPDF}),
		postForms("/v1/setup-sheets", read.Sheet,
			form[api.SetupSheetRequest]{transfer.PDF, sheetPDF}, form[api.SetupSheetRequest]{transfer.SVG, sheetSVG}, form[api.SetupSheetRequest]{transfer.Text, sheetText}),
		operation{method: http.MethodPost, path: batchPath, handler: answerBatch},
		get("/v1/species", listSpecies, plain.SpeciesList),
		getOne("/v1/species/{id}", showSpecies, plain.Species),
		get("/v1/cutters", listCutters, plain.Cutters),
		get("/v1/bushings", listBushings, plain.Bushings),
	)
}

// platformOperations are those that know nothing of joints.
func (s *Service) platformOperations() []operation {
	return []operation{
		raw("/openapi.yaml", s.contract.ServeYAML),
		raw("/openapi.json", s.contract.ServeJSON),
		raw("/docs", s.docs.ServePage),
		asset("/docs/:asset", s.docs.ServeAsset, "files of the page /docs"),
		asset("/", s.kiosk.ServePage, "the page for people, which calls the operations"),
		asset("/kiosk/:module", s.kiosk.ServeModule, "modules of the page /"),
	}
}
