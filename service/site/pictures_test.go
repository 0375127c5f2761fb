package site

import (
	"encoding/xml"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/service/message"

	"snugtail/joint/layout"
	"snugtail/service/codes"
)

func drawnPictures(t *testing.T) string {
	t.Helper()
	languages, err := message.Load()
	require.NoError(t, err)
	k, err := LoadKiosk("", languages)
	require.NoError(t, err)
	w := httptest.NewRecorder()
	require.NoError(t, k.modules["pictures.en.svg"].Serve(echo.New().NewContext(httptest.NewRequest(http.MethodGet, "/", nil), w)))
	picture := w.Body.String()
	require.NoError(t, xml.Unmarshal([]byte(picture), new(struct{})))
	return picture
}

// Every length that the page asks for is in a picture, but for what has no place
// in one.
func TestEveryLengthIsPictured(t *testing.T) {
	picture := drawnPictures(t)
	shown := map[string]bool{}
	for _, fields := range regexp.MustCompile(`data-for="([^"]+)"`).FindAllStringSubmatch(picture, -1) {
		for field := range strings.FieldsSeq(fields[1]) {
			shown[field] = true
		}
	}
	unpictured := map[string]bool{"cutters.diameter": true}
	asked := 0
	forms, err := kioskFiles.ReadFile("kiosk/forms.js")
	require.NoError(t, err)
	for _, field := range regexp.MustCompile(`\b(?:length|measured|signed)\((?:"setup\.|`+"`"+`\$\{cut\}\.)([a-z_.]+)["`+"`"+`]`).FindAllStringSubmatch(string(forms), -1) {
		asked++
		assert.True(t, shown[strings.ReplaceAll(field[1], ".", "-")] || unpictured[field[1]], field[1])
	}
	assert.Greater(t, asked, 25)
}

// Each corner is drawn at its stop, with both boards' bottom edges on that side.
func TestCornersAreDrawnAtTheirStops(t *testing.T) {
	picture := drawnPictures(t)
	for _, c := range layout.Corners() {
		label := codes.CornerLabels[c.Depthwise][c.Side]
		_, rest, found := strings.Cut(picture, `<g data-corner="`+label+`" data-stop="`+codes.Sides[c.Stop]+`">`)
		require.True(t, found, label)
		group, _, _ := strings.Cut(rest, "</g>")
		assert.Equal(t, 2, strings.Count(group, `data-part="bottom_edge"`), label)
		assert.Equal(t, 2, strings.Count(group, `data-part="stop"`), label)
	}
}

func TestPicturesNeedTheirTexts(t *testing.T) {
	_, err := pictures(func(string) (string, error) { return "", assert.AnError })
	require.Error(t, err)
}
