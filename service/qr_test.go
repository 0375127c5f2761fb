package service

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/service/transfer"
)

// What the codes say is read in a browser (site/kiosk/browser). Here: they are
// there, within the page, and the sheet has one only where a link is given.
func TestQRCodes(t *testing.T) {
	c := newCaller(t)
	svg := asked(t, c.handler, "/v1/qr-codes", `{"link":"https://joints.example.org/#fit?depth=11+mm"}`, transfer.SVG)
	r := readDrawn(t, svg)
	assert.Equal(t, r.width, r.height)
	assert.Contains(t, string(svg), "https://joints.example.org/#fit?depth=11+mm</desc>")
	longest := "https://joints.example.org/#" + strings.Repeat("w", 1472)
	require.Len(t, longest, 1500)
	assert.NotEmpty(t, asked(t, c.handler, "/v1/qr-codes", `{"link":"`+longest+`"}`, transfer.SVG))
	for name, link := range map[string]string{"too long": longest + "w", "no address": "joints.example.org", "a script": "javascript:alert(1)", "no ASCII": "https://example.org/\u00e4"} {
		w := ask(c.handler, request(http.MethodPost, "/v1/qr-codes", `{"link":"`+link+`"}`))
		assert.Equal(t, http.StatusBadRequest, w.Code, name)
	}

	with := strings.Replace(fullest("letter"), `{`, `{"link":"`+longest+`",`, 1)
	for _, form := range []string{transfer.SVG, transfer.PDF, transfer.Text} {
		assert.NotEmpty(t, asked(t, c.handler, sheetPath, with, form))
	}
	sheet := asked(t, c.handler, sheetPath, with, transfer.SVG)
	assert.Contains(t, string(sheet), `id="sheet-qr"`)
	assert.Contains(t, allTexts(readDrawn(t, sheet)), english(t).Of("sheet.scan")[:20])
	assert.NotContains(t, string(asked(t, c.handler, sheetPath, fullest("letter"), transfer.SVG)), "sheet-qr")
	assert.NotContains(t, string(asked(t, c.handler, sheetPath, with, transfer.Text)), "joints.example.org")
}
