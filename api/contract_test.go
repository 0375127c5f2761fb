package api_test

import (
	"encoding/json"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"snugtail/api"
	"snugtail/api/apitest"
)

func document(t testing.TB) *openapi3.T {
	t.Helper()
	document, err := api.Document()
	require.NoError(t, err)
	return document
}

func TestJSONSaysWhatTheYAMLSays(t *testing.T) {
	asJSON, err := api.JSON()
	require.NoError(t, err)
	var fromJSON, fromYAML any
	require.NoError(t, json.Unmarshal(asJSON, &fromJSON))
	require.NoError(t, yaml.Unmarshal(api.YAML(), &fromYAML))
	again, err := json.Marshal(fromYAML) // makes 1 and 1.0 the same number
	require.NoError(t, err)
	require.JSONEq(t, string(again), string(asJSON))

	loaded, err := openapi3.NewLoader().LoadFromData(asJSON)
	require.NoError(t, err)
	require.NoError(t, loaded.Validate(t.Context()))
}

func TestExamplesAreValid(t *testing.T) {
	require.NoError(t, document(t).Validate(t.Context(), openapi3.EnableExamplesValidation(), openapi3.EnableSchemaPatternValidation()))
}

func TestYAMLIsACopy(t *testing.T) {
	api.YAML()[0] = '#'
	assert.Equal(t, byte('o'), api.YAML()[0])
}

// operation is one of the contract, with where it stands.
type operation struct {
	*openapi3.Operation
	method, path string
}

func operations(document *openapi3.T) []operation {
	var all []operation
	for _, path := range slices.Sorted(maps.Keys(document.Paths.Map())) {
		for method, op := range document.Paths.Value(path).Operations() {
			all = append(all, operation{op, method, path})
		}
	}
	return all
}

func TestOperations(t *testing.T) {
	var got []string
	for _, op := range operations(document(t)) {
		got = append(got, op.method+" "+op.path+" "+op.OperationID)
	}
	assert.ElementsMatch(t, []string{
		"POST /v1/cutter-recommendations recommendCutters",
		"POST /v1/fit-predictions predictFit",
		"POST /v1/corrections correctSetup",
		"POST /v1/diagnoses diagnoseJoint",
		"POST /v1/layouts layOut",
		"POST /v1/drawer-parts planDrawerParts",
		"POST /v1/batches runBatch",
		"POST /v1/wood-movements moveWood",
		"POST /v1/joint-drawings drawJoint",
		"POST /v1/qr-codes makeQRCode",
		"POST /v1/setup-sheets makeSetupSheet",
		"GET /v1/species listSpecies",
		"GET /v1/species/{id} showSpecies",
		"GET /v1/cutters listCutters",
		"GET /v1/bushings listBushings",
		"GET /v1 listOperations",
		"GET /v1/schemas/{operation}.json getRequestSchema",
		"GET /v1/shop showShop",
		"GET /openapi.yaml getContractYaml",
		"GET /openapi.json getContractJson",
		"GET /docs showDocs",
	}, got)
}

func TestServerIsWhereTheContractCameFrom(t *testing.T) {
	// Another one would be matched against Host, which turns requests through a proxy into 404.
	servers := document(t).Servers
	require.Len(t, servers, 1)
	assert.Equal(t, "/", servers[0].URL)
}

// A key may be asked for wherever 401 is listed, and nowhere else.
func TestKeysAreAskedForWhereTheContractSaysSo(t *testing.T) {
	doc := document(t)
	require.Len(t, doc.Components.SecuritySchemes, 1)
	require.Len(t, doc.Security, 2)
	assert.Empty(t, doc.Security[0], "without keys everyone gets in")
	for name, scheme := range doc.Components.SecuritySchemes {
		assert.Contains(t, doc.Security[1], name)
		assert.Equal(t, "bearer", scheme.Value.Scheme)
	}
	for _, op := range operations(doc) {
		if op.Responses.Value("401") != nil {
			assert.Nil(t, op.Security, op.OperationID)
			continue
		}
		require.NotNil(t, op.Security, op.OperationID)
		assert.Empty(t, *op.Security, op.OperationID)
	}
}

func TestEveryOperationIsDescribed(t *testing.T) {
	doc := document(t)
	for _, op := range operations(doc) {
		assert.Regexp(t, `^[a-z][A-Za-z]+$`, op.OperationID, "camelCase")
		assert.True(t, strings.HasSuffix(op.Summary, "?"), "%s: the summary is the question it answers", op.OperationID)
		assert.NotEmpty(t, op.Description, op.OperationID)
		require.Len(t, op.Tags, 1, op.OperationID)
		assert.NotNil(t, doc.Tags.Get(op.Tags[0]), op.OperationID)
	}
}

func TestResponsesOfOperations(t *testing.T) {
	post := []string{"200", "400", "401", "406", "408", "413", "415", "422", "429", "500", "503", "default"}
	get := []string{"200", "304", "400", "401", "406", "429", "500", "503", "default"}
	file := []string{"200", "304", "500", "default"}
	for _, op := range operations(document(t)) {
		want := post
		if op.method == "GET" {
			want = get
		}
		if !strings.HasPrefix(op.path, "/v1/") {
			want = file
		}
		if op.OperationID == "runBatch" { // its items alone can be impossible
			want = slices.DeleteFunc(slices.Clone(post), func(status string) bool { return status == "422" })
		}
		switch op.OperationID {
		case "showSpecies":
			want = append([]string{"404"}, get...)
		case "listOperations": // explains, so everyone gets in
			want = append([]string{"400", "406"}, file...)
		case "getRequestSchema":
			want = append([]string{"400", "404"}, file...)
		}
		assert.ElementsMatch(t, want, slices.Collect(maps.Keys(op.Responses.Map())), op.OperationID)
		for status, response := range op.Responses.Map() {
			assert.Contains(t, response.Value.Headers, "X-Request-ID", "%s %s", op.OperationID, status)
			if status >= "400" {
				assert.ElementsMatch(t, []string{"application/problem+json", "text/plain"}, slices.Collect(maps.Keys(response.Value.Content)))
			}
		}
		if strings.HasPrefix(op.path, "/v1/") {
			forms := slices.Collect(maps.Keys(op.Responses.Value("200").Value.Content))
			if own, drawn := formsWithoutJSON[op.OperationID]; drawn {
				assert.ElementsMatch(t, own, forms, op.OperationID)
				continue
			}
			assert.ElementsMatch(t, append([]string{"application/json"}, formsBesideJSON(op.OperationID)...), forms, op.OperationID)
		}
	}
}

func formsBesideJSON(id string) []string {
	if id == "runBatch" {
		return []string{"application/x-ndjson"}
	}
	return append([]string{"text/plain"}, furtherForms[id]...)
}

// formsWithoutJSON are those of answers that are no data.
var formsWithoutJSON = map[string][]string{
	"drawJoint":        {"image/svg+xml", "application/pdf"},
	"getRequestSchema": {"application/schema+json"},
	"makeQRCode":       {"image/svg+xml"},
	"makeSetupSheet":   {"application/pdf", "image/svg+xml", "text/plain"},
}

// furtherForms are the forms of an answer beside JSON and text.
var furtherForms = map[string][]string{
	"planDrawerParts": {"text/csv"},
	"moveWood":        {"image/svg+xml"},
}

// requestTypes are what each operation's body is decoded into.
var requestTypes = map[string]func() any{
	"recommendCutters": func() any { return new(api.CutterRecommendationRequest) },
	"predictFit":       func() any { return new(api.FitPredictionRequest) },
	"correctSetup":     func() any { return new(api.CorrectionRequest) },
	"diagnoseJoint":    func() any { return new(api.DiagnosisRequest) },
	"layOut":           func() any { return new(api.LayoutRequest) },
	"moveWood":         func() any { return new(api.WoodMovementRequest) },
	"drawJoint":        func() any { return new(api.JointDrawingRequest) },
	"makeQRCode":       func() any { return new(api.QRCodeRequest) },
	"makeSetupSheet":   func() any { return new(api.SetupSheetRequest) },
	"planDrawerParts":  func() any { return new(api.DrawerPartsRequest) },
	"runBatch":         func() any { return new(api.BatchRequest) },
}

func TestEveryRequestExampleIsAccepted(t *testing.T) {
	for _, op := range operations(document(t)) {
		if op.RequestBody == nil {
			continue
		}
		body := op.RequestBody.Value.Content.Get("application/json")
		require.NotEmpty(t, body.Examples, op.OperationID)
		for name, example := range body.Examples {
			t.Run(op.OperationID+" "+name, func(t *testing.T) {
				assert.NotEmpty(t, example.Value.Summary)
				text := toJSON(t, example.Value.Value)
				require.NoError(t, visit(body.Schema.Value, text))
				decoder := json.NewDecoder(strings.NewReader(text))
				decoder.DisallowUnknownFields()
				require.NoError(t, decoder.Decode(requestTypes[op.OperationID]()))
			})
		}
	}
}

// examplesOf are the values of a form's one example or of its several.
func examplesOf(media *openapi3.MediaType) []any {
	var values []any
	if media.Example != nil {
		values = append(values, media.Example)
	}
	for _, example := range media.Examples {
		values = append(values, example.Value.Value)
	}
	return values
}

// Every problem that an operation lists has an example, and it has the status
// under which it is listed.
func TestEveryProblemHasAnExample(t *testing.T) {
	for _, op := range operations(apitest.ClosedDocument(t)) {
		for status, response := range op.Responses.Map() {
			media := response.Value.Content.Get("application/problem+json")
			if media == nil {
				assert.Less(t, status, "400", op.OperationID)
				continue
			}
			examples := examplesOf(media)
			require.NotEmpty(t, examples, "%s %s", op.OperationID, status)
			for _, example := range examples {
				require.NoError(t, visit(media.Schema.Value, toJSON(t, example)))
				var problem api.Problem
				require.NoError(t, json.Unmarshal([]byte(toJSON(t, example)), &problem))
				if status != "default" {
					assert.Equal(t, status, strconv.Itoa(problem.Status))
				}
			}
		}
	}
}

// reach calls see once for every schema that can be got to from a schema.
func reach(ref *openapi3.SchemaRef, seen map[*openapi3.Schema]bool, see func(*openapi3.Schema)) {
	if ref == nil || seen[ref.Value] {
		return
	}
	seen[ref.Value] = true
	see(ref.Value)
	reach(ref.Value.Items, seen, see)
	reach(ref.Value.Not, seen, see)
	reach(ref.Value.AdditionalProperties.Schema, seen, see)
	for _, several := range []openapi3.SchemaRefs{ref.Value.OneOf, ref.Value.AnyOf, ref.Value.AllOf} {
		for _, one := range several {
			reach(one, seen, see)
		}
	}
	for _, property := range ref.Value.Properties {
		reach(property, seen, see)
	}
}

func isObject(s *openapi3.Schema) bool {
	return s.Type.Is(openapi3.TypeObject) || len(s.Properties) > 0 || len(s.Required) > 0
}

func TestRequestsAreClosed(t *testing.T) {
	objects, doc := 0, document(t)
	for _, op := range operations(doc) {
		if op.RequestBody == nil {
			continue
		}
		reach(op.RequestBody.Value.Content.Get("application/json").Schema, map[*openapi3.Schema]bool{}, func(s *openapi3.Schema) {
			if !isObject(s) {
				return
			}
			if s == doc.Components.Schemas["BatchBody"].Value { // held against its own operation's schema
				return
			}
			objects++
			closed := s.AdditionalProperties.Has
			assert.True(t, closed != nil && !*closed, "%s: an object of a request is not closed: %q", op.OperationID, s.Description)
		})
	}
	assert.Greater(t, objects, 30, "the walk must have seen the requests")
}

func TestAnswersAreOpenToClientsAndClosedInTests(t *testing.T) {
	walk := func(document *openapi3.T, see func(*openapi3.Schema)) {
		for _, op := range operations(document) {
			for _, response := range op.Responses.Map() {
				for _, media := range response.Value.Content {
					reach(media.Schema, map[*openapi3.Schema]bool{}, see)
				}
			}
		}
	}
	open := document(t)
	asked := map[*openapi3.Schema]bool{} // a record is answered and posted back: closed, as every request is
	for _, op := range operations(open) {
		if op.RequestBody != nil {
			reach(op.RequestBody.Value.Content.Get("application/json").Schema, asked, func(*openapi3.Schema) {})
		}
	}
	walk(open, func(s *openapi3.Schema) {
		if !asked[s] {
			closed := s.AdditionalProperties.Has
			assert.True(t, closed == nil || *closed, "an answer is closed to clients: %q", s.Description)
		}
	})
	closed := apitest.ClosedDocument(t)
	walk(closed, func(s *openapi3.Schema) {
		if len(s.Properties) > 0 {
			assert.NotNil(t, s.AdditionalProperties.Has, "an answer is open in tests: %q", s.Description)
		}
	})
	margin := closed.Components.Schemas["Limit"].Value.Properties["margin"].Value
	assert.Error(t, visit(margin, `{"mm": 1, "in": 0.03937, "text": "1 mm", "ft": 0.003281}`))
	assert.NoError(t, visit(margin, `null`))
}

// everySchema calls see for every schema of the contract's components, with
// its path of names.
func everySchema(document *openapi3.T, see func(path string, ref *openapi3.SchemaRef)) {
	var walk func(path string, ref *openapi3.SchemaRef)
	walk = func(path string, ref *openapi3.SchemaRef) {
		see(path, ref)
		if ref.Ref != "" {
			return
		}
		for name, property := range ref.Value.Properties {
			walk(path+"."+name, property)
		}
		if ref.Value.Items != nil {
			walk(path+"[]", ref.Value.Items)
		}
	}
	for name, ref := range document.Components.Schemas {
		walk(name, &openapi3.SchemaRef{Value: ref.Value})
	}
}

func TestSchemasAreFlat(t *testing.T) {
	doc := document(t)
	everySchema(doc, func(path string, ref *openapi3.SchemaRef) {
		s := ref.Value
		assert.Empty(t, s.AllOf, path)
		if ref.Ref == "" && strings.ContainsAny(path, ".[") {
			assert.Empty(t, s.Properties, "%s: an object has a name of its own", path)
		}
		assert.Empty(t, s.AnyOf, path)
		assert.Nil(t, s.Not, path)
		if len(s.OneOf) == 0 {
			return
		}
		if s.Discriminator == nil {
			assertToldApartByType(t, path, s)
			return
		}
		for _, branch := range s.OneOf {
			kind := branch.Value.Properties[s.Discriminator.PropertyName].Value.Enum[0].(string)
			assert.Equal(t, branch.Ref, s.Discriminator.Mapping[kind].Ref, "%s: %s", path, kind)
		}
		assert.Len(t, s.Discriminator.Mapping, len(s.OneOf), path)
	})
}

// assertToldApartByType: generators tell the forms of a union apart by their
// JSON types, of which no two may be the same; two objects stop some of them.
func assertToldApartByType(t *testing.T, path string, union *openapi3.Schema) {
	var types []string
	for _, form := range union.OneOf {
		require.Len(t, form.Value.Type.Slice(), 1, path)
		types = append(types, form.Value.Type.Slice()[0])
	}
	assert.Equal(t, []string{openapi3.TypeString, openapi3.TypeNumber, openapi3.TypeObject}, types, path)
}

func TestNoSchemaIsUnused(t *testing.T) {
	doc := document(t)
	used := map[*openapi3.Schema]bool{}
	for _, op := range operations(doc) {
		if op.RequestBody != nil {
			reach(op.RequestBody.Value.Content.Get("application/json").Schema, used, func(*openapi3.Schema) {})
		}
		for _, response := range op.Responses.Map() {
			for _, media := range response.Value.Content {
				reach(media.Schema, used, func(*openapi3.Schema) {})
			}
		}
	}
	for name, ref := range doc.Components.Schemas {
		assert.True(t, used[ref.Value], name)
	}
}

func texts(values []any) []string {
	all := make([]string, 0, len(values))
	for _, value := range values {
		if value != nil { // null is one of the values of what may be null
			all = append(all, value.(string))
		}
	}
	return all
}

// A field's own codes are told one by one where the field is described, but
// for these, which are described elsewhere.
var codesDescribedElsewhere = map[string]string{
	"Refusal.code":        "LimitCode",
	"LayoutLimit.code":    "LimitCode",
	"TemplateProven.feel": "Feel",
}

func TestCodes(t *testing.T) {
	snake := regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
	segment := regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`) // of a path
	initials := regexp.MustCompile(`^[FB][LR]$`)        // as corners are marked on the wood
	everySchema(document(t), func(path string, ref *openapi3.SchemaRef) {
		form := snake
		switch {
		case path == "BatchItem.operation":
			form = segment
		case slices.Contains([]string{"Corner", "SeenCut.corner", "TestCut.corner"}, path):
			form = initials
		}
		for _, code := range texts(ref.Value.Enum) {
			assert.Regexp(t, form, code, path)
			if _, elsewhere := codesDescribedElsewhere[path]; !elsewhere && len(ref.Value.Enum) > 1 {
				assert.Contains(t, ref.Value.Description, "`"+code+"`", path)
			}
		}
		distinct := slices.Compact(slices.Sorted(slices.Values(texts(ref.Value.Enum))))
		assert.Len(t, distinct, len(texts(ref.Value.Enum)), path)
	})
}

func TestCodesTakenFromAnotherList(t *testing.T) {
	schemas := document(t).Components.Schemas
	limits := texts(schemas["LimitCode"].Value.Enum)
	refusals := texts(schemas["Refusal"].Value.Properties["code"].Value.Enum)
	assert.Equal(t, append(limits, "impossible_joint", "too_shallow", "no_setting"), refusals)
	assert.Equal(t, append(texts(schemas["LimitCode"].Value.Enum), "groove_in_tail"), texts(schemas["LayoutLimit"].Value.Properties["code"].Value.Enum))
	assert.Subset(t, schemas["Feel"].Value.Enum, schemas["TemplateProven"].Value.Properties["feel"].Value.Enum)
	bands := schemas["Band"].Value.Enum
	assert.ElementsMatch(t, bands, schemas["Probability"].Value.Required)
}

// A property says what it is itself, or, where it is a $ref, beside which 3.0
// takes no description, in the list of its object's description.
func TestEveryPropertyIsDescribed(t *testing.T) {
	for name, ref := range document(t).Components.Schemas {
		assert.NotEmpty(t, ref.Value.Description, name)
		for property, schema := range ref.Value.Properties {
			if schema.Ref == "" {
				assert.NotEmpty(t, schema.Value.Description, "%s.%s", name, property)
				continue
			}
			if strings.Contains(schema.Ref, "/Message") {
				continue // what is said is the same everywhere, and described there
			}
			assert.Contains(t, ref.Value.Description, "- `"+property+"`: ", name)
		}
		for _, listed := range regexp.MustCompile("(?m)^- `([a-z_]+)`: ").FindAllStringSubmatch(ref.Value.Description, -1) {
			if len(ref.Value.Properties) > 0 {
				assert.Contains(t, ref.Value.Properties, listed[1], "%s describes what it does not have", name)
			}
		}
	}
}

// Generators take a number without format for 32 bits.
func TestNumbersSayTheirSize(t *testing.T) {
	everySchema(document(t), func(path string, ref *openapi3.SchemaRef) {
		switch s := ref.Value; {
		case s.Type.Is(openapi3.TypeNumber):
			assert.Equal(t, "double", s.Format, path)
		case s.Type.Is(openapi3.TypeInteger):
			assert.Equal(t, "int32", s.Format, path)
		case s.Type.Is(openapi3.TypeArray) && strings.Contains(path, "Request"):
			assert.NotNil(t, s.MaxItems, "%s: a list in a request has an end", path)
		}
	})
}

// Schemas that are written out more than once, since 3.0 has no other way to
// say them twice, differ in nothing but what they are meant to.
func TestRepeatedSchemasAreAlike(t *testing.T) {
	schemas := document(t).Components.Schemas
	alike := func(a, b string, but func(*openapi3.Schema)) {
		left, right := *schemas[a].Value, *schemas[b].Value
		for _, s := range []*openapi3.Schema{&left, &right} {
			s.Description = ""
			but(s)
		}
		assert.Equal(t, left, right, "%s and %s", a, b)
	}
	alike("LengthIn", "LengthInFromZero", func(*openapi3.Schema) {})
	alike("LengthIn", "LengthInSigned", func(*openapi3.Schema) {})
	alike("LengthIn", "LengthInReach", func(*openapi3.Schema) {})
	alike("Length", "LengthOrNull", func(s *openapi3.Schema) { s.Nullable = false })
	alike("PlayNow", "PlayNowOrNull", func(s *openapi3.Schema) { s.Nullable = false })
	alike("Setup", "SetupToChoose", func(s *openapi3.Schema) { s.Required = nil })
	alike("SetupToChoose", "DrawerSetup", func(s *openapi3.Schema) {
		s.Required = nil
		s.Properties = maps.Clone(s.Properties)
		for _, board := range []string{"pin_board", "tail_board"} { // each drawer's own
			delete(s.Properties, board)
		}
	})
	optional := func(s *openapi3.Schema) { s.Required = nil }
	alike("Bushing", "BushingUnsure", optional)
	alike("Cutter", "CutterUnsure", optional)
	alike("TemplatePass", "TemplateUnsurePass", optional)
	alike("TemplateOnePiece", "TemplateUnsureOnePiece", optional)
	alike("Cutter", "CutterAtHand", func(s *openapi3.Schema) {
		s.Required = nil
		s.Properties = maps.Clone(s.Properties)
		delete(s.Properties, "id") // in `cutters` it may name a built-in one
	})
	alike("LengthIn", "Depth", func(s *openapi3.Schema) { s.OneOf = s.OneOf[:2] }) // but for the object
	alike("LengthObject", "DepthObject", func(s *openapi3.Schema) {
		s.Required = nil
		s.Properties = maps.Clone(s.Properties)
		delete(s.Properties, "pin_board")
		delete(s.Properties, "tail_board")
		mm := *s.Properties["mm"].Value
		mm.Description = ""
		s.Properties["mm"] = &openapi3.SchemaRef{Value: &mm}
	})
}
