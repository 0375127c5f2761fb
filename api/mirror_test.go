package api_test

import (
	"encoding/json"
	"maps"
	"path"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
)

// mirrors says which Go type each schema with members of its own is.
var mirrors = map[string]any{
	"Target": api.Target{}, "TemplatePass": api.Pass{}, "Offset": api.Offset{}, "Bushing": api.Bushing{},
	"Cutter": api.Cutter{}, "CutterAtHand": api.Cutter{}, "Router": api.Router{}, "PinBoard": api.PinBoard{},
	"TailBoard": api.TailBoard{}, "Setup": api.Setup{}, "SetupToChoose": api.Setup{}, "Measured": api.Measured{},
	"TestCut": api.TestCut{}, "CutterRecommendationRequest": api.CutterRecommendationRequest{},
	"Assembly": api.Assembly{}, "Estimated": api.Estimated{},
	"Record": api.Record{}, "RecordSession": api.RecordSession{}, "RecordSetup": api.RecordSetup{}, "RecordLearned": api.RecordLearned{},
	"FitPredictionRequest": api.FitPredictionRequest{}, "CorrectionRequest": api.CorrectionRequest{},

	"Length": api.Length{}, "LengthOrNull": api.Length{}, "Caution": api.Caution{}, "WorkingLine": api.WorkingLine{},
	"Limit": api.Limit{}, "ShortfallOrNull": api.Shortfall{}, "SettingOrNull": api.Setting{}, "BushingAtHand": api.Bushing{}, "Boards": api.Boards{}, "RunReading": api.RunReading{}, "Run": api.Run{}, "RunLimitsOrNull": api.RunLimits{}, "RunSignal": api.RunSignal{},
	"PairedBushing": api.PairedBushing{}, "PairCost": api.PairCost{}, "Hold": api.Hold{}, "WindowOrNull": api.Window{}, "BreakEvenOrNull": api.BreakEven{}, "BestDepthOrNull": api.BestDepth{}, "Widths": api.Widths{}, "Seat": api.Seat{}, "Uncertainty": api.Uncertainty{},
	"Probability": api.Probability{}, "Contribution": api.Contribution{}, "Fit": api.Fit{},
	"RouterSettings": api.RouterSettings{}, "MeasureFirst": api.MeasureFirst{}, "Regrind": api.Regrind{},
	"FitPredictionAnswer": api.FitPredictionAnswer{}, "CutterChoice": api.CutterChoice{},
	"Recommendation": api.Recommendation{}, "Refusal": api.Refusal{}, "Change": api.Change{},
	"CutterRecommendationAnswer": api.CutterRecommendationAnswer{}, "Step": api.Step{}, "Estimate": api.Estimate{},
	"Disagreement": api.Disagreement{}, "PartOff": api.PartOff{}, "Salvage": api.Salvage{},
	"CheckAgain": api.CheckAgain{}, "CorrectionAnswer": api.CorrectionAnswer{}, "CuttersAnswer": api.CuttersAnswer{},
	"BushingChoice": api.BushingChoice{}, "BushingsAnswer": api.BushingsAnswer{}, "FieldError": api.FieldError{},
	"Problem": api.Problem{}, "Message": api.Message{},

	"Air": api.Air{}, "WoodBoard": api.WoodBoard{}, "WoodClimate": api.WoodClimate{}, "JointAsCut": api.JointAsCut{},
	"WoodMovementRequest": api.WoodMovementRequest{}, "WoodMovementAnswer": api.WoodMovementAnswer{},
	"InchPound": api.InchPound{}, "WoodFigure": api.WoodFigure{}, "BotanicalName": api.BotanicalName{}, "Wood": api.Wood{},
	"SpeciesListAnswer": api.SpeciesListAnswer{}, "SpeciesAnswer": api.SpeciesAnswer{}, "PlayNow": api.PlayNow{},
	"PlayNowOrNull": api.PlayNow{}, "CutBoard": api.CutBoard{}, "CutJoint": api.CutJoint{}, "BoardMoved": api.BoardMoved{},
	"MissingProperty": api.MissingProperty{}, "JointMoved": api.JointMoved{}, "WoodAdvice": api.WoodAdvice{}, "Citation": api.Citation{},

	"LayoutRequest": api.LayoutRequest{}, "LayoutSpacing": api.LayoutSpacing{}, "LayoutGroove": api.LayoutGroove{},
	"LayoutAnswer": api.LayoutAnswer{}, "Layout": api.Layout{}, "LayoutPinBoard": api.LayoutPinBoard{}, "LayoutTailBoard": api.LayoutTailBoard{},
	"LayoutPart": api.LayoutPart{}, "EdgePins": api.EdgePins{}, "NearestWidths": api.NearestWidths{}, "LayoutCorner": api.LayoutCorner{},
	"GrooveSeen": api.GrooveSeen{}, "LayoutGrooveFinding": api.LayoutGrooveFinding{}, "LayoutHeight": api.LayoutHeight{}, "LayoutLimit": api.Limit{},

	"DrawerPartsRequest": api.DrawerPartsRequest{}, "DrawerSetup": api.DrawerSetup{}, "DrawerStock": api.DrawerStock{},
	"DrawerSize": api.DrawerSize{}, "DrawerAllowance": api.DrawerAllowance{}, "DrawerGroove": api.DrawerGroove{},
	"DrawerLip": api.DrawerLip{}, "Drawer": api.Drawer{}, "LabourRates": api.LabourRates{},
	"DrawerPartsAnswer": api.DrawerPartsAnswer{}, "DrawerMade": api.DrawerMade{}, "DrawerPart": api.DrawerPart{}, "PartWork": api.PartWork{},
	"PartsSize": api.PartsSize{}, "DrawerRefusal": api.DrawerRefusal{}, "DrawerJoint": api.DrawerJoint{}, "SidesSawn": api.SidesSawn{},
	"JointDrawingRequest": api.JointDrawingRequest{}, "SetupSheetRequest": api.SetupSheetRequest{}, "QRCodeRequest": api.QRCodeRequest{},
	"DiagnosisRequest": api.DiagnosisRequest{}, "SetupUnsure": api.Setup{}, "BushingUnsure": api.Bushing{}, "CutterUnsure": api.Cutter{},
	"TemplateUnsurePass": api.Pass{}, "SeenCut": api.SeenCut{}, "SeenAt": api.SeenAt{}, "Findings": api.Findings{},
	"DiagnosisAnswer": api.DiagnosisAnswer{}, "DiagnosisCause": api.DiagnosisCause{}, "CauseSizeOrNull": api.CauseSize{},
	"Evidence": api.Evidence{}, "CauseCheck": api.CauseCheck{}, "CheckOutcome": api.CheckOutcome{}, "NextCheckOrNull": api.NextCheck{},
	"Minutes": api.Minutes{}, "CheckMinutes": api.CheckMinutes{}, "Decision": api.Decision{}, "Why": api.Why{},
	"CornerDifference": api.CornerDifference{}, "DiagnosisGroup": api.DiagnosisGroup{},
	"OperationsAnswer": api.OperationsAnswer{}, "OperationListed": api.OperationListed{},
	"BatchRequest": api.BatchRequest{}, "BatchItem": api.BatchItem{}, "BatchAnswer": api.BatchAnswer{}, "BatchResult": api.BatchResult{},
	"PartsWarning": api.PartsWarning{}, "PartsWarningParams": api.PartsWarningParams{}, "PartsInstead": api.PartsInstead{},
	"SeasonGap": api.SeasonGap{}, "HeightSeasons": api.HeightSeasons{}, "DrawerSeasons": api.DrawerSeasons{}, "NearestHeights": api.NearestHeights{},
	"RoughAllowance": api.RoughAllowance{}, "RoughSize": api.RoughSize{}, "Volume": api.Volume{}, "StockRough": api.StockRough{},
	"Shop": api.Shop{}, "ShopTemplate": api.ShopTemplate{}, "ShopBushing": api.ShopBushing{}, "ShopCutter": api.ShopCutter{}, "ShopBoard": api.ShopBoard{},
	"PartsSetup": api.PartsSetup{}, "TestStock": api.TestStock{}, "StockTotal": api.StockTotal{}, "Area": api.Area{}, "Labour": api.Labour{},
}

// oneGoType are schemas that Go holds in one type, with the members of all.
var oneGoType = []string{"TemplateUnsureOnePiece", "TemplateUnsureTwoPosition", "TemplateOnePiece", "TemplateTwoPosition", "TemplateAllowance", "TemplateProven"}

// formsOfUnions are objects that Go reads as one form of a LengthIn or a Depth.
var formsOfUnions = []string{"LengthObject", "DepthObject"}

// noGoType are schemas of what is made of the contract itself.
var noGoType = []string{"JSONSchema"}

// written are the schemas without a type, and the Go types that read them
// themselves.
var written = map[string]reflect.Type{
	"LengthIn":         reflect.TypeFor[api.LengthIn](),
	"LengthInFromZero": reflect.TypeFor[api.LengthIn](),
	"LengthInSigned":   reflect.TypeFor[api.LengthIn](),
	"LengthInReach":    reflect.TypeFor[api.LengthIn](),
	"Depth":            reflect.TypeFor[api.Depth](),
	"Template":         reflect.TypeFor[api.Template](),
	"TemplateUnsure":   reflect.TypeFor[api.Template](),
	"BatchBody":        reflect.TypeFor[json.RawMessage](), // any operation's request
	"MessageParams":    reflect.TypeFor[api.Params](),
	"BatchResultBody":  reflect.TypeFor[json.RawMessage](), // and answer
}

func TestEverySchemaHasItsGoType(t *testing.T) {
	for name, ref := range document(t).Components.Schemas {
		_, mirrored := mirrors[name]
		_, reads := written[name]
		if !mirrored && !reads && !slices.Contains(oneGoType, name) && !slices.Contains(slices.Concat(formsOfUnions, noGoType), name) {
			assert.True(t, ref.Value.Type.Is(openapi3.TypeString), "%s has no Go type", name)
		}
	}
}

// member is a field of a Go type as JSON has it.
type member struct {
	reflect.StructField
	omitempty bool
}

func members(t *testing.T, of reflect.Type) map[string]member {
	all := map[string]member{}
	for i := range of.NumField() {
		f := of.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		require.NotEmpty(t, name, "%s.%s has no JSON name", of, f.Name)
		require.NotContains(t, all, name, "%s", of)
		all[name] = member{f, options == "omitempty"}
	}
	return all
}

func TestGoTypesMirrorTheSchemas(t *testing.T) {
	doc := document(t)
	for name, mirror := range mirrors {
		t.Run(name, func(t *testing.T) {
			schema := doc.Components.Schemas[name]
			require.NotNil(t, schema, "the contract has no such schema")
			of := reflect.TypeOf(mirror)
			fields := members(t, of)
			assert.ElementsMatch(t, slices.Collect(maps.Keys(schema.Value.Properties)), slices.Collect(maps.Keys(fields)))
			assert.Subset(t, slices.Collect(maps.Keys(schema.Value.Properties)), schema.Value.Required)
			inRequest := schema.Value.AdditionalProperties.Has != nil
			for property, ref := range schema.Value.Properties {
				field, required := fields[property], slices.Contains(schema.Value.Required, property)
				assert.Empty(t, unlike(ref, field.Type), "%s is a %s", property, field.Type)
				if inRequest {
					assert.True(t, required || field.omitempty, "%s may be left out, so Go must be able to", property)
					assert.False(t, ref.Value.Nullable, "%s: no request takes null", property)
					continue
				}
				assert.Equal(t, required, !field.omitempty, "%s: required, or left out when empty", property)
				isPointer := field.Type.Kind() == reflect.Pointer
				assert.Equal(t, ref.Value.Nullable, isPointer && !field.omitempty, "%s: null, or a pointer that is always written", property)
			}
		})
	}
}

func TestTemplateHoldsTheMembersOfEveryKind(t *testing.T) {
	schemas := document(t).Components.Schemas
	fields, used := members(t, reflect.TypeFor[api.Template]()), map[string]bool{}
	for _, name := range oneGoType {
		for property, ref := range schemas[name].Value.Properties {
			used[property] = true
			assert.Contains(t, fields, property, name)
			assert.Empty(t, unlike(ref, fields[property].Type), "%s.%s is a %s", name, property, fields[property].Type)
		}
	}
	assert.ElementsMatch(t, slices.Collect(maps.Keys(used)), slices.Collect(maps.Keys(fields)))
}

// unlike says what keeps a Go type from holding what a schema takes, if anything.
func unlike(ref *openapi3.SchemaRef, goType reflect.Type) string {
	if goType.Kind() == reflect.Pointer {
		goType = goType.Elem()
	}
	name := path.Base(ref.Ref)
	if reads, ok := written[name]; ok {
		return differ(reads == goType, name)
	}
	if mirror, ok := mirrors[name]; ok {
		return differ(reflect.TypeOf(mirror) == goType, name)
	}
	switch s := ref.Value; {
	case s.Type.Is(openapi3.TypeString):
		return differ(goType.Kind() == reflect.String, "string")
	case s.Type.Is(openapi3.TypeBoolean):
		return differ(goType.Kind() == reflect.Bool, "boolean")
	case s.Type.Is(openapi3.TypeInteger):
		return differ(goType.Kind() == reflect.Int, "integer")
	case s.Type.Is(openapi3.TypeNumber):
		return differ(goType.Kind() == reflect.Float64, "number")
	case s.Type.Is(openapi3.TypeArray) && goType.Kind() == reflect.Slice:
		return unlike(s.Items, goType.Elem())
	case s.AdditionalProperties.Schema != nil && goType.Kind() == reflect.Map:
		return unlike(s.AdditionalProperties.Schema, goType.Elem())
	default:
		return "something else in the contract"
	}
}

func differ(same bool, inContract string) string {
	if same {
		return ""
	}
	return inContract + " in the contract"
}

// An answer with nothing known still has every member that the contract requires.
func TestEmptyAnswersAreComplete(t *testing.T) {
	schemas := document(t).Components.Schemas
	for name, mirror := range mirrors {
		schema := schemas[name].Value
		if schema.AdditionalProperties.Has != nil {
			continue
		}
		text := toJSON(t, mirror)
		for _, required := range schema.Required {
			assert.Contains(t, text, `"`+required+`":`, name)
		}
	}
}
