package service

import (
	"testing"

	"github.com/stretchr/testify/require"

	"snugtail/service/transfer"
)

// What is left out of a template is told once, as missing: nothing is worked
// out from what is not there.
func TestNothingFollowsFromWhatIsMissing(t *testing.T) {
	c := newCaller(t)
	for template, missing := range map[string][]string{
		`{"kind":"proven","cuttre":{"diameter":12.7,"angle":14},"bushing":{"diameter":11},"depth":11}`:     {"#/setup/template/cutter", "#/setup/template/cuttre"},
		`{"kind":"proven","cutter":{"diameter":12.7},"bushing":{"diameter":11},"depth":11}`:                {"#/setup/template/cutter/angle"},
		`{"kind":"two_position","tail_pass":{"opening":12.3,"finger":10},"pin_pass":{"opening":12.3}}`:     {"#/setup/template/pin_pass/finger"},
		`{"kind":"two_position","tail_pass":{"opening":12.3,"finger":10},"pinpass":{}}`:                    {"#/setup/template/pin_pass", "#/setup/template/pinpass"},
		`{"kind":"proven","cutter":{"diameter":12.7,"angle":14},"bushing":{"bore":9},"depth":"11 metres"}`: {"#/setup/template/bushing/diameter", "#/setup/template/depth"},
	} {
		body := `{"setup":{"template":` + template + `,"bushing":{"diameter":11},"cutter":{"diameter":12.7,"angle":14},"depth":10}}`
		w := c.askIn(t, "/v1/fit-predictions", body, transfer.JSON, "")
		require.Equal(t, 400, w.Code)
		require.NotContains(t, w.Body.String(), "NaN")
		var pointers []string
		for _, field := range problemIn(t, w).Errors {
			pointers = append(pointers, field.Pointer)
		}
		require.ElementsMatch(t, missing, pointers, "%s", body)
	}
}
