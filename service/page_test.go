package service

import (
	"encoding/xml"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/service/transfer"
)

var svgHead = regexp.MustCompile(`^<svg [^>]*>`)

// Several drawings stand in one page: their ids begin with their requests' own,
// and what they name is there.
func TestIDsWithinDrawings(t *testing.T) {
	c := newCaller(t)
	setup := strings.TrimSuffix(strings.TrimPrefix(predictBody, "{"), "}")
	seen := map[string]bool{}
	for path, more := range map[string]string{
		"/v1/joint-drawings": "", "/v1/setup-sheets": "",
		"/v1/wood-movements": `,"pin_board":{"species":"white_oak","width":150,"moisture":9},"tail_board":{"species":"white_oak","width":150,"moisture":9}`,
	} {
		for _, id := range []string{"a", "b-2", ""} {
			own := ""
			if id != "" {
				own = `"id":"` + id + `",`
			}
			w := ask(c.handler, request(http.MethodPost, path, "{"+own+setup+more+"}", "Accept", transfer.SVG))
			require.Equal(t, http.StatusOK, w.Code, w.Body)
			text := w.Body.String()
			ids := regexp.MustCompile(` id="([^"]+)"`).FindAllStringSubmatch(text, -1)
			require.NotEmpty(t, ids)
			for _, each := range ids {
				assert.False(t, seen[path+each[1]], each[1])
				seen[path+each[1]] = true
				assert.Equal(t, id != "", id != "" && strings.HasPrefix(each[1], id+"-"), each[1])
			}
			for _, named := range regexp.MustCompile(`aria-labelledby="([^"]+)"`).FindAllStringSubmatch(text, -1) {
				for _, id := range strings.Fields(named[1]) {
					assert.Contains(t, text, ` id="`+id+`"`)
				}
			}
			require.NoError(t, xml.Unmarshal(w.Body.Bytes(), new(struct{ XMLName xml.Name })))
		}
	}
	p := problemIn(t, ask(c.handler, request(http.MethodPost, "/v1/joint-drawings", `{"id":"a b",`+setup+`}`, "Accept", transfer.SVG)))
	assert.Equal(t, "#/id", p.Errors[0].Pointer)
}

// A view alone is cropped to itself and has no size of its own; on paper, and
// beside others, it has.
func TestViewAloneIsCropped(t *testing.T) {
	c := newCaller(t)
	setup := strings.TrimSuffix(predictBody, "}")
	box := regexp.MustCompile(`viewBox="([0-9.]+) ([0-9.]+) ([0-9.]+) ([0-9.]+)"`)
	for _, view := range []string{"end_view", "plan", "cutter"} {
		w := ask(c.handler, request(http.MethodPost, "/v1/joint-drawings", setup+`,"views":["`+view+`"]}`, "Accept", transfer.SVG))
		require.Equal(t, http.StatusOK, w.Code, w.Body)
		head := svgHead.FindString(w.Body.String())
		assert.NotContains(t, head, "mm", view)
		found := box.FindStringSubmatch(head)
		require.NotNil(t, found, head)
		width, err := strconv.ParseFloat(found[3], 64)
		require.NoError(t, err)
		height, err := strconv.ParseFloat(found[4], 64)
		require.NoError(t, err)
		assert.Less(t, width*height, 297*210.0*0.95, "less than the page")
		assert.Greater(t, width*height, 50*50.0)
	}
	all := ask(c.handler, request(http.MethodPost, "/v1/joint-drawings", predictBody, "Accept", transfer.SVG)).Body.String()
	assert.Contains(t, svgHead.FindString(all), `width="297mm" height="210mm" viewBox="0 0 297 210"`)
}
