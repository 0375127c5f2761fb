// Command clients makes one call of every operation through a client that ogen
// generates from the contract, which decodes and checks every answer.
// `.ci/clients` generates client/, compiles this and runs it against the service.
package main

import (
	"context"
	"fmt"
	"os"
	"strings"

	"snugtail/api/clients/go-ogen/client"
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
	fmt.Printf("Go client by ogen: %d calls answered, 1 refused as it should be\n", calls)
}

// open is for a service that asks for no key.
type open struct{}

func (open) Key(context.Context, client.OperationName) (client.Key, error) { return client.Key{}, nil }

func template() client.Template {
	return client.NewTemplateOnePieceTemplate(client.TemplateOnePiece{
		Kind:    client.TemplateOnePieceKindOnePiece,
		Pitch:   client.NewStringLengthIn("7/8 in"),
		Opening: client.NewFloat64LengthIn(12.3),
	})
}

var (
	bushing = client.Bushing{Diameter: client.NewStringLengthIn("7/16 in")}
	cutter  = client.Cutter{Diameter: client.NewLengthObjectLengthIn(client.LengthObject{Mm: 12.7}), Angle: 14}
)

func wide() client.OptLengthIn { return client.NewOptLengthIn(client.NewStringLengthIn("6 1/8 in")) }

func setup(depth client.Depth) client.Setup {
	return client.Setup{
		Template: client.NewOptTemplate(template()), Bushing: bushing, Cutter: cutter, Depth: depth,
		PinBoard: client.NewOptPinBoard(client.PinBoard{Thickness: client.NewOptLengthIn(client.NewFloat64LengthIn(18.6)), Width: wide()}),
	}
}

func good() client.Setup { return setup(client.NewStringDepth("10.5 mm")) }

// call is one operation; its answer is of the type that is wanted.
type call struct {
	what string
	do   func() (any, error)
}

// answerOf makes any of what a call answers.
func answerOf[R any](answer R, err error) (any, error) { return answer, err }

func run(ctx context.Context, base string) (int, error) {
	c, err := client.NewClient(base, open{})
	if err != nil {
		return 0, fmt.Errorf("making the client: %w", err)
	}
	answered := 0
	for _, call := range append(questions(ctx, c), lists(ctx, c)...) {
		answer, err := call.do()
		if err != nil {
			return answered, fmt.Errorf("%s: %w", call.what, err)
		}
		if name := fmt.Sprintf("%T", answer); strings.Contains(name, "Problem") || strings.Contains(name, "Bad") {
			return answered, fmt.Errorf("%s: answered as %s: %+v", call.what, name, answer)
		}
		answered++
	}
	if err := postBack(ctx, c); err != nil {
		return answered, err
	}
	return answered + 2, refused(ctx, c)
}

func questions(ctx context.Context, c *client.Client) []call {
	species := func(id client.Species) client.OptWoodBoard {
		return client.NewOptWoodBoard(client.WoodBoard{Species: client.NewOptSpecies(id), Width: wide(), Moisture: client.NewOptFloat64(11)})
	}
	return []call{
		{"fit-predictions", func() (any, error) {
			return answerOf(c.PredictFit(ctx, &client.FitPredictionRequest{Setup: good()}, client.PredictFitParams{}))
		}},
		{"diagnoses", func() (any, error) {
			cut := client.SeenCut{Feel: client.NewOptFeel(client.FeelWillNotStart)}
			return answerOf(c.DiagnoseJoint(ctx, &client.DiagnosisRequest{TestCuts: []client.SeenCut{cut}}, client.DiagnoseJointParams{}))
		}},
		{"joint-drawings", func() (any, error) {
			return answerOf(c.DrawJoint(ctx, &client.JointDrawingRequest{Setup: good()}, client.DrawJointParams{}))
		}},
		{"setup-sheets", func() (any, error) {
			return answerOf(c.MakeSetupSheet(ctx, &client.SetupSheetRequest{Setup: good()}, client.MakeSetupSheetParams{}))
		}},
		{"cutter-recommendations", func() (any, error) {
			choose := client.SetupToChoose{Template: client.NewOptTemplate(template()), Bushing: client.NewOptBushing(bushing)}
			return answerOf(c.RecommendCutters(ctx, &client.CutterRecommendationRequest{Setup: choose}, client.RecommendCuttersParams{}))
		}},
		{"layouts", func() (any, error) {
			return answerOf(c.LayOut(ctx, &client.LayoutRequest{Setup: good(), BoardWidth: wide()}, client.LayOutParams{}))
		}},
		{"drawer-parts", func() (any, error) {
			return answerOf(c.PlanDrawerParts(ctx, drawers(), client.PlanDrawerPartsParams{}))
		}},
		{"wood-movements", func() (any, error) {
			return answerOf(c.MoveWood(ctx, &client.WoodMovementRequest{
				Setup: client.NewOptSetup(good()), PinBoard: species("white_oak"), TailBoard: species("yellow_poplar"),
			}, client.MoveWoodParams{}))
		}},
		{"batches", func() (any, error) {
			item := client.BatchItem{ID: "a", Operation: client.BatchItemOperationDiagnoses, Body: client.BatchBody{"test_cuts": []byte(`[{"feel": "rattles"}]`)}}
			return answerOf(c.RunBatch(ctx, &client.BatchRequest{Items: []client.BatchItem{item}}, client.RunBatchParams{}))
		}},
	}
}

// lists are the operations that need no question.
func lists(ctx context.Context, c *client.Client) []call {
	return []call{
		{"cutters", func() (any, error) { return answerOf(c.ListCutters(ctx, client.ListCuttersParams{})) }},
		{"bushings", func() (any, error) { return answerOf(c.ListBushings(ctx, client.ListBushingsParams{})) }},
		{"species", func() (any, error) { return answerOf(c.ListSpecies(ctx, client.ListSpeciesParams{})) }},
		{"operations", func() (any, error) { return answerOf(c.ListOperations(ctx, client.ListOperationsParams{})) }},
		{"a JSON Schema", func() (any, error) {
			return answerOf(c.GetRequestSchema(ctx, client.GetRequestSchemaParams{Operation: "layouts"}))
		}},
		{"one species", func() (any, error) {
			return answerOf(c.ShowSpecies(ctx, client.ShowSpeciesParams{ID: "white_oak"}))
		}},
	}
}

func drawers() *client.DrawerPartsRequest {
	size := client.DrawerSize{Width: client.NewFloat64LengthIn(914), Height: client.NewFloat64LengthIn(66.675), Depth: client.NewStringLengthIn("650 mm")}
	return &client.DrawerPartsRequest{
		Setup: client.DrawerSetup{Template: client.NewOptTemplate(template()), Bushing: bushing, Cutter: client.NewOptCutter(cutter)},
		Stock: []client.DrawerStock{
			{ID: "fronts", Thickness: client.NewFloat64LengthIn(18.6)},
			{ID: "sides", Thickness: client.NewFloat64LengthIn(12.2)},
		},
		Drawers: []client.Drawer{{ID: "spare", Front: "fronts", Sides: "sides", Back: "fronts", Outside: client.NewOptDrawerSize(size)}},
	}
}

// postBack posts the record of a correction, and its next depth, as they were answered.
func postBack(ctx context.Context, c *client.Client) error {
	cut := client.TestCut{Depth: client.NewStringDepth("10.5 mm"), Feel: client.NewOptFeel(client.FeelSlidesFree)}
	first, err := c.CorrectSetup(ctx, &client.CorrectionRequest{Setup: good(), TestCuts: []client.TestCut{cut}}, client.CorrectSetupParams{})
	if err != nil {
		return fmt.Errorf("a correction, for its record: %w", err)
	}
	corrected, ok := first.(*client.CorrectionAnswerHeaders)
	if !ok {
		return fmt.Errorf("a correction, for its record: answered as %T", first)
	}
	next := client.NewDepthObjectDepth(client.DepthObject{Mm: client.NewOptFloat64(corrected.Response.NextDepth.Value.Mm)})
	second, err := c.PredictFit(ctx, &client.FitPredictionRequest{Setup: client.Setup{
		Record: client.NewOptRecord(corrected.Response.Record), Bushing: bushing, Cutter: cutter, Depth: next,
	}}, client.PredictFitParams{})
	if err != nil {
		return fmt.Errorf("a record posted back: %w", err)
	}
	predicted, ok := second.(*client.FitPredictionAnswerHeaders)
	if !ok || predicted.Response.Fit.Band != client.BandHandFit {
		return fmt.Errorf("a record posted back: answered as %T", second)
	}
	return nil
}

// refused is typed too.
func refused(ctx context.Context, c *client.Client) error {
	answer, err := c.PredictFit(ctx, &client.FitPredictionRequest{Setup: setup(client.NewFloat64Depth(18.6))}, client.PredictFitParams{})
	if err != nil {
		return fmt.Errorf("a joint that can't be cut: %w", err)
	}
	if _, ok := answer.(*client.ImpossibleJointApplicationProblemJSONHeaders); !ok {
		return fmt.Errorf("a joint that can't be cut: answered as %T", answer)
	}
	return nil
}
