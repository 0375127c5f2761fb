package service

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a refusal says is enough to write the request anew: each row was once
// refused without the words that helped, or not understood.
func TestRefusalsSayWhatToWrite(t *testing.T) {
	c := newCaller(t)
	setup := func(bushing, pinBoard string) string {
		return `{"setup":{"template":{"kind":"allowance","allowance":2.4},"bushing":` + bushing + `,"cutter":{"diameter":12.7,"angle":14},"depth":10.5,"pin_board":` + pinBoard + `}`
	}
	const plain = `{"thickness":18}`
	for name, row := range map[string]struct {
		path, body string
		says       string // empty: it is answered
	}{
		"a typesetter's fraction": {"/v1/fit-predictions", setup(`{"diameter":"7⁄16 in"}`, plain) + "}", ""},
		"a range":                 {"/v1/fit-predictions", setup(`{"diameter":"10.5 to 11 mm"}`, plain) + "}", "10.75 +/- 0.25 mm"},
		"a bushing's id":          {"/v1/fit-predictions", setup(`{"id":"blå","diameter":11}`, plain) + "}", "1 to 64 letters, digits, `_`, `.` and `-`"},
		"a stock's id":            {"/v1/drawer-parts", `{"setup":{"template":{"kind":"allowance","allowance":2.4},"bushing":{"diameter":11}},"stock":[{"id":"the fronts","thickness":18}],"drawers":[]}`, "1 to 64 letters, digits, `_`, `.` and `-`"},
		"a drawer's id": {
			"/v1/drawer-parts", `{"setup":{"template":{"kind":"allowance","allowance":2.4},"bushing":{"diameter":11}},"stock":[{"id":"s","thickness":18}],"drawers":[{"id":" x","front":"s","sides":"s"}]}`,
			"1 to 64 characters, the first no space",
		},
		"an oak":          {"/v1/fit-predictions", setup(`{"diameter":11}`, `{"thickness":18,"species":"oak"}`) + "}", "red_oak, white_oak"},
		"a cedar":         {"/v1/fit-predictions", setup(`{"diameter":11}`, `{"thickness":18,"species":"cedar"}`) + "}", "incense_cedar, spanish_cedar, western_redcedar"},
		"a botanist's":    {"/v1/fit-predictions", setup(`{"diameter":11}`, `{"thickness":18,"species":"Acer saccharum"}`) + "}", `did you mean "sugar_maple"?`},
		"of some kind":    {"/v1/fit-predictions", setup(`{"diameter":11}`, `{"thickness":18,"species":"Khaya spp."}`) + "}", `did you mean "khaya"?`},
		"felt tight":      {"/v1/corrections", setup(`{"diameter":11}`, plain) + `,"test_cuts":[{"depth":10.5,"feel":"tight"}]}`, ""},
		"felt loose":      {"/v1/diagnoses", `{"test_cuts":[{"feel":"loose"}]}`, ""},
		"one for many":    {"/v1/fit-prediction", `{}`, "Did you mean /v1/fit-predictions?"},
		"half a name":     {"/v1/corrections/", `{}`, "Did you mean /v1/corrections?"},
		"without version": {"/layouts", `{}`, "Did you mean /v1/layouts?"},
	} {
		t.Run(name, func(t *testing.T) {
			w := ask(c.handler, request(http.MethodPost, row.path, row.body))
			if row.says == "" {
				assert.Equal(t, http.StatusOK, w.Code, w.Body)
				return
			}
			p := problemIn(t, w)
			told := p.Detail
			for _, field := range p.Errors {
				told += "\n" + field.Detail
			}
			assert.Contains(t, told, row.says)
		})
	}
}

// A problem is text where the client would rather read it, with the same words.
func TestProblemsAsText(t *testing.T) {
	c := newCaller(t)
	const body = `{"setup":{"template":{"kind":"allowance","allowance":2.4},"bushing":{"diametre":11},"cutter":{"diameter":"12,7 mm","angle":14},"depth":10.5}}`
	for accept, asText := range map[string]bool{
		"text/plain": true, "text/*": true, "text/plain, */*;q=0.1": true, "text/plain, application/json;q=0.5": true,
		"": false, "*/*": false, "application/json": false, "text/plain, application/json": false,
		"text/plain, application/problem+json": false, "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8": false,
	} {
		w := ask(c.handler, request(http.MethodPost, "/v1/fit-predictions", body, "Accept", accept))
		require.Equal(t, http.StatusBadRequest, w.Code, accept)
		assert.Equal(t, asText, strings.HasPrefix(w.Header().Get("Content-Type"), "text/plain"), accept)
		assert.Equal(t, 1, strings.Count(strings.Join(w.Header().Values("Vary"), ","), "Accept-Language"), accept)
		assert.Len(t, problemIn(t, w).Errors, 3)
	}
	as := func(accept string) string {
		return ask(c.handler, request(http.MethodPost, "/v1/fit-predictions", body, "Accept", accept, "X-Request-ID", "one")).Body.String()
	}
	assert.Equal(t, `The request is not as the contract says.
- #/setup/bushing/diameter: required
- #/setup/bushing/diametre: `+"`diametre` is not known here; did you mean\n  `diameter`?"+`
- #/setup/cutter/diameter: "12,7 mm": write decimals with a point.
Request one
`, as("text/plain"))
}
