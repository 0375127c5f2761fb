// Command clients makes one call of every operation through a client that
// oapi-codegen generates from the contract: what a planner's own code would
// look like. `.ci/clients` generates client.gen.go, compiles this and runs it
// against the service.
package main

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"slices"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: clients http://host:port")
		os.Exit(2)
	}
	calls, err := run(context.Background(), os.Args[1])
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	fmt.Printf("Go client: %d calls answered, 1 refused as it should be\n", calls)
}

func ptr[T any](v T) *T { return &v }

// Unions of plain forms can't fail to marshal, so their errors are left out.

func text(length string) LengthIn {
	var l LengthIn
	_ = l.FromLengthIn0(length)
	return l
}

func mm(length float64) LengthIn {
	var l LengthIn
	_ = l.FromLengthObject(LengthObject{Mm: length})
	return l
}

func deep(length string) Depth {
	var d Depth
	_ = d.FromDepth0(length)
	return d
}

func template() Template {
	var t Template
	_ = t.FromTemplateOnePiece(TemplateOnePiece{Kind: "one_piece", Pitch: text("7/8 in"), Opening: mm(12.3)})
	return t
}

func setup(depth string) Setup {
	return Setup{
		Template: ptr(template()),
		Bushing:  Bushing{Diameter: text("7/16 in")},
		Cutter:   Cutter{Diameter: mm(12.7), Angle: 14},
		Depth:    deep(depth),
		PinBoard: &PinBoard{Thickness: ptr(mm(18.6)), Width: ptr(mm(155.575))},
	}
}

// answer is what every generated response can tell.
type answer interface {
	StatusCode() int
}

// call is one operation, and the status that it should be answered with.
type call struct {
	what string
	want int
	do   func() (answer, []byte, error)
}

// as hands on a generated response with its body.
func as[R answer](body func(R) []byte, r R, err error) (answer, []byte, error) {
	if err != nil {
		return nil, nil, err
	}
	return r, body(r), nil
}

func run(ctx context.Context, base string) (int, error) {
	c, err := NewClientWithResponses(base)
	if err != nil {
		return 0, fmt.Errorf("making the client: %w", err)
	}
	answered := 0
	for _, call := range slices.Concat(calls(ctx, c), callsOfJobs(ctx, c), lists(ctx, c)) {
		r, body, err := call.do()
		switch {
		case err != nil:
			return answered, fmt.Errorf("%s: %w", call.what, err)
		case r.StatusCode() != call.want:
			return answered, fmt.Errorf("%s: %d instead of %d: %s", call.what, r.StatusCode(), call.want, body)
		case call.want == http.StatusOK:
			answered++
		}
	}
	if err := postBack(ctx, c); err != nil {
		return answered, err
	}
	return answered + 2, nil
}

// postBack posts the record of a correction, and its next depth, as they were answered.
func postBack(ctx context.Context, c *ClientWithResponses) error {
	cuts := []TestCut{{Depth: deep("10.5 mm"), Feel: ptr(FeelSlidesFree)}}
	first, err := c.CorrectSetupWithResponse(ctx, nil, CorrectionRequest{Setup: setup("10.5 mm"), TestCuts: &cuts})
	if err != nil {
		return fmt.Errorf("a correction, for its record: %w", err)
	}
	if first.JSON200 == nil || first.JSON200.NextDepth == nil {
		return fmt.Errorf("a correction, for its record: %s: %s", first.Status(), first.Body)
	}
	var next Depth
	_ = next.FromDepthObject(DepthObject{Mm: &first.JSON200.NextDepth.Mm})
	again := Setup{Record: &first.JSON200.Record, Bushing: Bushing{Diameter: text("7/16 in")}, Cutter: Cutter{Diameter: mm(12.7), Angle: 14}, Depth: next}
	second, err := c.PredictFitWithResponse(ctx, nil, FitPredictionRequest{Setup: again})
	if err != nil {
		return fmt.Errorf("a record posted back: %w", err)
	}
	if second.JSON200 == nil || second.JSON200.Fit.Band != "hand_fit" {
		return fmt.Errorf("a record posted back: %s: %s", second.Status(), second.Body)
	}
	return nil
}

func calls(ctx context.Context, c *ClientWithResponses) []call {
	ok := http.StatusOK
	return []call{
		{"fit-predictions", ok, func() (answer, []byte, error) {
			r, err := c.PredictFitWithResponse(ctx, nil, FitPredictionRequest{Setup: setup("10.5 mm")})
			return as(func(r *PredictFitResponse) []byte { return r.Body }, r, err)
		}},
		{"an impossible joint", http.StatusUnprocessableEntity, func() (answer, []byte, error) {
			r, err := c.PredictFitWithResponse(ctx, nil, FitPredictionRequest{Setup: setup("18.6 mm")})
			return as(func(r *PredictFitResponse) []byte { return r.Body }, r, err)
		}},
		{"corrections", ok, func() (answer, []byte, error) {
			cuts := []TestCut{{Depth: deep("10.5 mm"), Feel: ptr(FeelSlidesFree)}}
			r, err := c.CorrectSetupWithResponse(ctx, nil, CorrectionRequest{Setup: setup("10.5 mm"), TestCuts: &cuts})
			return as(func(r *CorrectSetupResponse) []byte { return r.Body }, r, err)
		}},
		{"diagnoses", ok, func() (answer, []byte, error) {
			said := SetupUnsure{Bushing: &BushingUnsure{Diameter: ptr(mm(11.1125))}}
			cuts := []SeenCut{{Feel: ptr(Feel("will_not_start"))}}
			r, err := c.DiagnoseJointWithResponse(ctx, nil, DiagnosisRequest{Setup: &said, TestCuts: &cuts})
			return as(func(r *DiagnoseJointResponse) []byte { return r.Body }, r, err)
		}},
		{"joint-drawings", ok, func() (answer, []byte, error) {
			r, err := c.DrawJointWithResponse(ctx, nil, JointDrawingRequest{Setup: setup("10.5 mm")})
			return as(func(r *DrawJointResponse) []byte { return r.Body }, r, err)
		}},
		{"qr-codes", ok, func() (answer, []byte, error) {
			r, err := c.MakeQRCodeWithResponse(ctx, nil, QRCodeRequest{Link: "https://joints.example.org/"})
			return as(func(r *MakeQRCodeResponse) []byte { return r.Body }, r, err)
		}},
		{"setup-sheets", ok, func() (answer, []byte, error) {
			r, err := c.MakeSetupSheetWithResponse(ctx, nil, SetupSheetRequest{Setup: setup("10.5 mm")})
			return as(func(r *MakeSetupSheetResponse) []byte { return r.Body }, r, err)
		}},
	}
}

// callsOfJobs are those about tools, boards and drawers.
func callsOfJobs(ctx context.Context, c *ClientWithResponses) []call {
	ok := http.StatusOK
	return []call{
		{"cutter-recommendations", ok, func() (answer, []byte, error) {
			choose := SetupToChoose{Template: ptr(template()), Bushing: &Bushing{Diameter: mm(11.1125)}}
			r, err := c.RecommendCuttersWithResponse(ctx, nil, CutterRecommendationRequest{Setup: choose})
			return as(func(r *RecommendCuttersResponse) []byte { return r.Body }, r, err)
		}},
		{"layouts", ok, func() (answer, []byte, error) {
			r, err := c.LayOutWithResponse(ctx, nil, LayoutRequest{Setup: setup("10.5 mm"), BoardWidth: ptr(mm(177.8))})
			return as(func(r *LayOutResponse) []byte { return r.Body }, r, err)
		}},
		{"drawer-parts", ok, func() (answer, []byte, error) {
			r, err := c.PlanDrawerPartsWithResponse(ctx, nil, drawers())
			return as(func(r *PlanDrawerPartsResponse) []byte { return r.Body }, r, err)
		}},
		{"wood-movements", ok, func() (answer, []byte, error) {
			oak, poplar, wide := Species("white_oak"), Species("yellow_poplar"), mm(155.575)
			r, err := c.MoveWoodWithResponse(ctx, nil, WoodMovementRequest{
				Setup:     ptr(setup("10.5 mm")),
				PinBoard:  &WoodBoard{Species: &oak, Width: &wide, Moisture: ptr(11.0)},
				TailBoard: &WoodBoard{Species: &poplar, Width: &wide, Moisture: ptr(11.0)},
			})
			return as(func(r *MoveWoodResponse) []byte { return r.Body }, r, err)
		}},
		{"batches", ok, func() (answer, []byte, error) {
			item := BatchItem{Id: "a", Operation: "layouts", Body: BatchBody{"setup": setup("10.5 mm"), "board_width": mm(177.8)}}
			r, err := c.RunBatchWithResponse(ctx, nil, BatchRequest{Items: []BatchItem{item}})
			return as(func(r *RunBatchResponse) []byte { return r.Body }, r, err)
		}},
	}
}

// lists are the operations that need no question.
func lists(ctx context.Context, c *ClientWithResponses) []call {
	ok := http.StatusOK
	return []call{
		{"cutters", ok, func() (answer, []byte, error) {
			r, err := c.ListCuttersWithResponse(ctx, nil)
			return as(func(r *ListCuttersResponse) []byte { return r.Body }, r, err)
		}},
		{"bushings", ok, func() (answer, []byte, error) {
			r, err := c.ListBushingsWithResponse(ctx, nil)
			return as(func(r *ListBushingsResponse) []byte { return r.Body }, r, err)
		}},
		{"shop", ok, func() (answer, []byte, error) {
			r, err := c.ShowShopWithResponse(ctx, nil)
			return as(func(r *ShowShopResponse) []byte { return r.Body }, r, err)
		}},
		{"species", ok, func() (answer, []byte, error) {
			r, err := c.ListSpeciesWithResponse(ctx, nil)
			return as(func(r *ListSpeciesResponse) []byte { return r.Body }, r, err)
		}},
		{"operations", ok, func() (answer, []byte, error) {
			r, err := c.ListOperationsWithResponse(ctx, nil)
			return as(func(r *ListOperationsResponse) []byte { return r.Body }, r, err)
		}},
		{"a JSON Schema", ok, func() (answer, []byte, error) {
			r, err := c.GetRequestSchemaWithResponse(ctx, "layouts", nil)
			return as(func(r *GetRequestSchemaResponse) []byte { return r.Body }, r, err)
		}},
		{"fit-predictions in part", ok, func() (answer, []byte, error) {
			part := PredictFitParams{Fields: &[]string{"/fit/play/mm", "/fit/in_target"}}
			r, err := c.PredictFitWithResponse(ctx, &part, FitPredictionRequest{Setup: setup("10.5 mm")})
			return as(func(r *PredictFitResponse) []byte { return r.Body }, r, err)
		}},
		{"one species", ok, func() (answer, []byte, error) {
			r, err := c.ShowSpeciesWithResponse(ctx, "white_oak", nil)
			return as(func(r *ShowSpeciesResponse) []byte { return r.Body }, r, err)
		}},
	}
}

func drawers() DrawerPartsRequest {
	cutter := Cutter{Diameter: mm(12.7), Angle: 14}
	return DrawerPartsRequest{
		Setup: DrawerSetup{Template: ptr(template()), Bushing: Bushing{Diameter: mm(11.1125)}, Cutter: &cutter},
		Stock: []DrawerStock{{Id: "fronts", Thickness: mm(18.6)}, {Id: "sides", Thickness: mm(12.2)}},
		Drawers: []Drawer{{
			Id: "spare", Front: "fronts", Sides: "sides", Back: "fronts",
			Outside: &DrawerSize{Width: mm(914), Height: mm(66.675), Depth: mm(650)},
		}},
	}
}
