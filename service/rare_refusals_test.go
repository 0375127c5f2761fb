package service

import (
	"encoding/json"
	"fmt"
	"html"
	"io"
	"net/http"
	"os"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
)

// A set-up that fits, by its members, for the rows of these tests.
const (
	rareTemplate = `"template":{"kind":"one_piece","pitch":22.225,"opening":12.3}`
	rareBushing  = `"bushing":{"diameter":11.11}`
	rareBearing  = `"bushing":{"kind":"bearing","diameter":11.11}`
	rareCutter   = `"cutter":{"diameter":12.7,"angle":14}`
	rareTools    = rareBushing + `,` + rareCutter
)

// rare is a request that is seldom made, and a part of what its answer says: of the
// sentence of a key, with its values.
type rare struct{ key, path, body, says, media string }

// answered is what an answer says, its line breaks and the escapes of SVG undone.
func answered(t *testing.T, h http.Handler, r *http.Request) (status int, text string) {
	t.Helper()
	w := ask(h, r)
	return w.Code, strings.Join(strings.Fields(html.UnescapeString(w.Body.String())), " ")
}

func rareSetup(members string) string { return `{"setup":{` + members + `}}` }

func rareDepth(depth string) string {
	return rareSetup(rareTemplate + `,` + rareTools + `,"depth":"` + depth + `"`)
}

// Refusals that few requests meet, as text.
func TestRareRefusals(t *testing.T) {
	c := newCaller(t)
	twoPosition := `"template":{"kind":"two_position","tail_pass":{"opening":21.5,"finger":0.7},"pin_pass":{"opening":12,"finger":10.2}}`
	unknown := make([]string, 51)
	for i := range unknown {
		unknown[i] = fmt.Sprintf(`"a%d":1`, i)
	}
	for _, row := range []rareSaying{
		{"json_expected.colon", predictPath, `{"setup" 1}`, "line 1, column 10: '1' stands where a colon should"},
		{"json_expected.comma_or_bracket", predictPath, `{"a":[1 2]}`, "'2' stands where a comma or the array's closing bracket should"},
		{"json_expected.decimal", predictPath, `{"a":1.}`, "'}' stands where a digit after the point should"},
		{"json_expected.exponent", predictPath, `{"a":1e+}`, "'}' stands where a digit of the exponent should"},
		{"json_expected.escape", predictPath, `{"a":"\`, "the text ends where the rest of an escape should stand"},
		{"field.not_a_length.zero_denominator", predictPath, rareDepth("1/0 in"), `"1/0 in": nothing can be divided by zero.`},
		{"field.not_a_length.tolerance", predictPath, rareDepth("11 +/- -1 mm"), `"11 +/- -1 mm": after +/- write a tolerance of zero or more, such as 0.500 +/- 0.002 in.`},
		{"field.impossible.no_tail_left", predictPath, rareSetup(twoPosition + `,` + rareTools + `,"depth":10.9`), "The cutter leaves no tail: -0.89 mm at its root."},
		{"parameter_wrong.unknown", predictPath + "?nonsense=1", rareDepth("10.9 mm"), "`nonsense` is no parameter here; known: fields"},
		{"plain.problem.many", predictPath, rareSetup(strings.Join(unknown, ",")), "The request is not as the contract says. At least 50 fields are wrong; errors lists the first 50."},
	} {
		t.Run(row.key, func(t *testing.T) {
			status, text := answered(t, c.handler, request(http.MethodPost, row.path, row.body, "Accept", "text/plain"))
			assert.Contains(t, []int{http.StatusBadRequest, http.StatusUnprocessableEntity}, status)
			assert.Contains(t, text, row.says)
		})
	}
}

// A record brings its template with it.
func TestRareRefusalOfTwoTemplates(t *testing.T) {
	c := newCaller(t)
	a := answerOf[api.CorrectionAnswer](t, c, correctionPath, `{"setup":{`+rareTemplate+`,`+rareTools+`,"depth":10.9},"test_cuts":[{"depth":10.9,"feel":"hand_pressure"}]}`)
	record, err := json.Marshal(a.Record)
	require.NoError(t, err)
	body := rareSetup(rareTemplate + `,` + rareTools + `,"depth":10.9,"record":` + string(record))
	status, text := answered(t, c.handler, request(http.MethodPost, predictPath, body, "Accept", "text/plain"))
	assert.Equal(t, http.StatusBadRequest, status)
	assert.Contains(t, text, "#/setup/template: Give the template or the record of an earlier session with it, not both.")
}

// Bodies that don't come, or come in a form that is not read.
func TestRareRefusalsOfBodies(t *testing.T) {
	c := newCaller(t)
	late := iotest.ErrReader(os.ErrDeadlineExceeded)
	line := item("a", "fit-predictions", rareDepth("10.9 mm")) + "\n"
	for _, row := range []struct {
		key, path, media string
		body             io.Reader
		status           int
		says             string
	}{
		{"problem_detail.body_late", predictPath, "application/json", late, http.StatusRequestTimeout, "The request took too long to arrive: the body did not arrive in time"},
		{"problem_detail.no_line", batchPath, "application/x-ndjson", late, http.StatusRequestTimeout, "no line arrived in time"},
		{"problem_detail.rest_missing", batchPath, "application/x-ndjson", io.MultiReader(strings.NewReader(line), late), http.StatusOK, `"status":408,"answered":1,`},
		{"problem_detail.rest_missing", batchPath, "application/x-ndjson", io.MultiReader(strings.NewReader(line), late), http.StatusOK, "the rest did not arrive"},
		{"problem_detail.media.lines_coded", batchPath, "application/x-ndjson", strings.NewReader(line), http.StatusUnsupportedMediaType, "It can't be read: the lines are coded; send them plain."},
	} {
		t.Run(row.key, func(t *testing.T) {
			r := request(http.MethodPost, row.path, "", "Content-Type", row.media)
			r.Body = io.NopCloser(row.body)
			if row.path == predictPath {
				r.Header.Set("Accept", "text/plain")
			}
			if row.status == http.StatusUnsupportedMediaType {
				r.Header.Set("Content-Encoding", "gzip")
			}
			status, text := answered(t, c.handler, r)
			assert.Equal(t, row.status, status)
			assert.Contains(t, text, row.says)
		})
	}
}

// A whole number is one however it is written.
func TestRareNumbersAreRead(t *testing.T) {
	c := newCaller(t)
	plain := partsExample(t, c, "sides_already_sawn", nil)
	require.Contains(t, plain, `"count":4`)
	_, want := c.post(t, partsPath, plain)
	for _, four := range []string{"4.0", "40e-1", "0.4E1"} {
		status, got := c.post(t, partsPath, strings.ReplaceAll(plain, `"count":4`, `"count":`+four))
		require.Equal(t, http.StatusOK, status, "%s", got)
		assert.Equal(t, string(want), string(got))
	}
	status, got := c.post(t, partsPath, strings.ReplaceAll(plain, `"count":4`, `"count":4.5`))
	assert.Equal(t, http.StatusBadRequest, status, "%s", got)
}

// The fullest correction and diagnosis, with the fullest record, are computed: only
// questions about many pairs may be too dear, and only they are told what to leave out.
func TestRareFullQuestionsAreNotTooDear(t *testing.T) {
	length := new(api.LengthIn)
	widths := api.Measured{PinWidest: length, PinSocketWidest: length, TailWidest: length, TailSocketWidest: length}
	cut := api.TestCut{PulledGap: length, WentIn: length, Measured: &widths, Along: make([]api.SeenAt, 20)}
	cuts := make([]api.TestCut, 50)
	record := &api.Record{Sessions: make([]api.RecordSession, 10)}
	for i := range cuts {
		cuts[i] = cut
	}
	for i := range record.Sessions {
		record.Sessions[i].TestCuts = cuts
	}
	setup := &api.Setup{Record: record}
	for _, question := range []any{
		&api.CorrectionRequest{Setup: setup, TestCuts: cuts}, &api.SetupSheetRequest{Setup: setup, TestCuts: cuts},
		&api.DiagnosisRequest{Setup: setup}, &api.FitPredictionRequest{Setup: setup}, &api.WoodMovementRequest{Setup: setup},
	} {
		assert.Less(t, costOf(question), mostCost/2, "%T", question)
	}
}
