package service

import (
	"net/http"

	"snugtail/api"
	"snugtail/service/plain"
	"snugtail/service/read"
	"snugtail/service/site"
	"snugtail/service/transfer"
)

// operations is the one table of what the service answers. Routes are made of
// it, and a test holds it against the contract, both ways.
func (s *Service) operations() []operation {
	return append(s.platformOperations(),
		post("/v1/cutter-recommendations", s.recommendCutter, plain.Recommendation, read.Recommendation),
		post("/v1/fit-predictions", s.predictFit, plain.Prediction, read.Prediction),
		post("/v1/corrections", s.correctSetup, plain.Correction, read.ReadCorrection),
		post("/v1/diagnoses", s.diagnoseJoint, plain.Diagnosis, read.ReadDiagnosis),
		post("/v1/layouts", s.layOut, plain.Layout, read.Layout),
		postIn("/v1/drawer-parts", s.planParts, plain.Drawers, []func(*read.Reader, *api.DrawerPartsRequest){read.DrawerParts},
			form[api.DrawerPartsRequest]{media: transfer.CSV, takes: sheets, writeAs: s.partsCSV}),
		postIn("/v1/wood-movements", s.moveWood, plain.Movement, []func(*read.Reader, *api.WoodMovementRequest){read.Movement},
			form[api.WoodMovementRequest]{media: transfer.SVG, write: s.plotMovement}),
		postForms("/v1/joint-drawings", read.Drawing,
			form[api.JointDrawingRequest]{media: transfer.SVG, write: s.drawingSVG}, form[api.JointDrawingRequest]{media: transfer.PDF, write: s.drawingPDF}),
		postForms("/v1/setup-sheets", read.ReadSheet,
			form[api.SetupSheetRequest]{media: transfer.PDF, write: s.sheetPDF}, form[api.SetupSheetRequest]{media: transfer.SVG, write: s.sheetSVG}, form[api.SetupSheetRequest]{media: transfer.Text, write: s.sheetText}),
		postForms("/v1/qr-codes", func(*read.Reader, *api.QRCodeRequest) {}, form[api.QRCodeRequest]{media: transfer.SVG, write: s.qrCode}),
		operation{method: http.MethodPost, path: batchPath, handler: answerBatch},
		get("/v1/species", s.listSpecies, plain.SpeciesList),
		getOne("/v1/species/{id}", s.showSpecies, plain.Species),
		get("/v1/cutters", s.listCutters, plain.Cutters),
		get("/v1/bushings", s.listBushings, plain.Bushings),
		get("/v1", s.listOperations, plain.Operations),
		raw(site.SchemaPath, s.contract.ServeSchema),
		get("/v1/shop", s.showShop, plain.Shop),
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
