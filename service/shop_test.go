package service

import (
	"encoding/json"
	"net/http"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the operator listed is answered as it stands in the file, and each of it
// goes into a set-up.
func TestShopIsAnswered(t *testing.T) {
	text, err := os.ReadFile("../deploy/shop.json")
	require.NoError(t, err)
	shop, err := ReadShop(text)
	require.NoError(t, err)
	c := newCallerOf(t, Config{Shop: shop})
	w := ask(c.handler, request(http.MethodGet, "/v1/shop", ""))
	require.Equal(t, http.StatusOK, w.Code)
	c.validate(t, http.MethodGet, "/v1/shop", w.Code, w.Header().Get("Content-Type"), w.Body.Bytes())
	assert.JSONEq(t, string(text), w.Body.String())
	plain := ask(c.handler, request(http.MethodGet, "/v1/shop", "", "Accept", "text/plain")).Body.String()
	for _, name := range []string{"Harbour community workshop", "Template with wide fingers: one piece", "Bushing A: 7/16 in", "Drawer 1: 1/2 in, 14 deg", "Maple, 16 mm: 16 mm"} {
		assert.Contains(t, plain, name)
	}
	first := func(list, of string) json.RawMessage {
		var all map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(w.Body.Bytes(), &all))
		var items []map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(all[list], &items))
		return items[0][of]
	}
	setup := map[string]any{
		"template": first("templates", "template"), "bushing": first("bushings", "bushing"), "cutter": first("cutters", "cutter"),
		"pin_board": map[string]any{"thickness": first("boards", "thickness"), "species": first("boards", "species")}, "depth": "11 mm",
	}
	body, err := json.Marshal(map[string]any{"units": "mm", "setup": setup})
	require.NoError(t, err)
	status, raw := c.post(t, "/v1/fit-predictions", string(body))
	assert.Equal(t, http.StatusOK, status, "%s", raw)
}

func TestNoShopIsAnEmptyOne(t *testing.T) {
	c := newCaller(t)
	w := ask(c.handler, request(http.MethodGet, "/v1/shop", ""))
	c.validate(t, http.MethodGet, "/v1/shop", w.Code, w.Header().Get("Content-Type"), w.Body.Bytes())
	assert.JSONEq(t, `{"templates":[],"bushings":[],"cutters":[],"boards":[]}`, w.Body.String())
	assert.Equal(t, "Nothing is listed here.\n", ask(c.handler, request(http.MethodGet, "/v1/shop", "", "Accept", "text/plain")).Body.String())
}

// An error says all that is wrong, by its place.
func TestWrongShopsAreRefused(t *testing.T) {
	lists := func(templates, bushings, cutters, boards string) string {
		return `{"templates":[` + templates + `],"bushings":[` + bushings + `],"cutters":[` + cutters + `],"boards":[` + boards + `]}`
	}
	for name, wrong := range map[string]struct {
		text string
		says []string
	}{
		"no JSON":         {`{"templates":`, []string{"line 1"}},
		"a list missing":  {`{"templates":[],"bushings":[],"cutters":[]}`, []string{"#/boards: "}},
		"unknown member":  {strings.Replace(lists("", "", "", ""), "{", `{"routers":[],`, 1), []string{"#/routers: "}},
		"no length":       {lists("", `{"name":"A","bushing":{"diameter":"wide"}}`, "", ""), []string{"#/bushings/0/bushing/diameter: "}},
		"impossible":      {lists(`{"name":"A","template":{"kind":"one_piece","pitch":80,"opening":12}}`, "", "", ""), []string{"#/templates/0/template/pitch: A pitch of 80 mm is more than 4 openings"}},
		"one name twice":  {lists("", "", "", `{"name":"Oak","thickness":19},{"name":"Oak","thickness":12}`), []string{`#/boards/1/name: Another one before it is called "Oak" too.`}},
		"unknown species": {lists("", "", "", `{"name":"Oak","thickness":19,"species":"plastic"}`), []string{"#/boards/0/species: "}},
		"everything": {
			lists(`{"name":"T"}`, `{"name":"B","bushing":{"diameter":9000}}`, `{"name":"C","cutter":{"diameter":12,"angle":80}}`, ""),
			[]string{"#/templates/0/template: ", "#/bushings/0/bushing/diameter: ", "#/cutters/0/cutter/angle: "},
		},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := ReadShop([]byte(wrong.text))
			require.Error(t, err)
			for _, says := range wrong.says {
				assert.ErrorContains(t, err, says)
			}
		})
	}
}
