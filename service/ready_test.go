package service

import (
	"encoding/json"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/api/apitest"
)

// From the cabinet to the shop floor in one call: what drawer-parts answers for
// each set-up and joint is taken by every operation as it is, and is the joint
// that was planned.
func TestReadySetupsArePostedOn(t *testing.T) {
	c := newCaller(t)
	posted := 0
	for _, body := range apitest.Bodies(t, c.contract)["/v1/drawer-parts"] {
		text, err := json.Marshal(body)
		require.NoError(t, err)
		answer := answerOf[api.DrawerPartsAnswer](t, c, "/v1/drawer-parts", string(text))
		target := ""
		if wanted, ok := body.(map[string]any)["target"]; ok {
			raw, err := json.Marshal(wanted)
			require.NoError(t, err)
			target = `,"target":` + string(raw)
		}
		for _, s := range answer.Setups {
			ready := string(mustJSON(t, s.ReadySetup))
			p := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", `{"setup":`+ready+target+`}`)
			assert.InDelta(t, s.Play.MM, p.Fit.Play.MM, 1e-6)
			assert.InDelta(t, s.InTarget, p.Fit.InTarget, 1e-6)
			assert.Equal(t, s.Band, p.Fit.Band)
			posted++
		}
		for _, drawer := range answer.Drawers {
			ids := map[string]bool{}
			for _, part := range drawer.Parts {
				assert.False(t, ids[part.ID], part.ID)
				ids[part.ID] = true
				assert.Equal(t, part.Material == "plywood", part.Grain == "none", part.ID)
			}
			for _, j := range drawer.Joints {
				ready := string(mustJSON(t, j.ReadySetup))
				for path, more := range map[string]string{
					"/v1/fit-predictions": target, "/v1/corrections": `,"test_cuts":[]`, "/v1/diagnoses": "", "/v1/layouts": `,"board_width":150`, "/v1/joint-drawings": "", "/v1/setup-sheets": "",
				} {
					w := ask(c.handler, request(http.MethodPost, path, `{"setup":`+ready+more+`}`))
					require.Equal(t, http.StatusOK, w.Code, "%s of %s: %s", path, ready, w.Body)
				}
				require.NotNil(t, j.ReadySetup.PinBoard.Thickness)
				posted++
			}
		}
	}
	assert.Greater(t, posted, 8)
}

// A template that is known by a record stays so.
func TestReadySetupOfARecord(t *testing.T) {
	c := newCaller(t)
	first := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", recordBody)
	body := `{"setup":{"record":` + string(mustJSON(t, first.Record)) + `,"bushing":{"id":"ours","diameter":"7/16 in"},"cutter":{"id":"old","diameter":"1/2 in","angle":14}},` +
		`"stock":[{"id":"f","thickness":19},{"id":"s","thickness":12}],"drawers":[{"id":"one","outside":{"width":400,"height":120,"depth":400},"front":"f","sides":"s","back":"f"}]}`
	answer := answerOf[api.DrawerPartsAnswer](t, c, "/v1/drawer-parts", body)
	require.NotEmpty(t, answer.Setups)
	s := answer.Setups[0]
	require.NotNil(t, s.ReadySetup.Record)
	assert.Nil(t, s.ReadySetup.Template)
	p := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", `{"setup":`+string(mustJSON(t, s.ReadySetup))+`}`)
	assert.InDelta(t, s.Play.MM, p.Fit.Play.MM, 1e-4, "what the record teaches is weighed anew at this depth")
}

func mustJSON(t *testing.T, value any) []byte {
	t.Helper()
	text, err := json.Marshal(value)
	require.NoError(t, err)
	return text
}
