package service

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint/layout"
	"snugtail/service/codes"
	"snugtail/service/say"
	"snugtail/service/transfer"
)

// byPoppler reads a PDF with a tool of poppler's.
func byPoppler(t *testing.T, pdf []byte, tool string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil && os.Getenv("CI") != "true" {
		t.Skipf("%s is not installed", tool)
	}
	file := filepath.Join(t.TempDir(), "page.pdf")
	require.NoError(t, os.WriteFile(file, pdf, 0o600))
	args = append(args, file)
	if tool == "pdftotext" {
		args = append(args, "-")
	}
	out, err := exec.Command(tool, args...).CombinedOutput() // #nosec G204 -- a reader of PDFs
	require.NoError(t, err, "%s: %s", tool, out)
	return string(out)
}

// The printed page, read by another reader: its words whatever their letters, its
// fonts embedded, its title, language and structure.
func TestSheetIsReadBack(t *testing.T) {
	c := newCaller(t)
	body := drawingRequest(drawnSetups["one piece"], `,"job":"Łódź, Ωμέγα, Причал"`)
	pdf := asked(t, c.handler, sheetPath, body, transfer.PDF)
	assert.Equal(t, pdf, asked(t, c.handler, sheetPath, body, transfer.PDF), "the same bytes twice")
	assert.Contains(t, string(pdf), "/Lang (en)")
	words := strings.Join(strings.Fields(byPoppler(t, pdf, "pdftotext")), " ")
	for _, want := range []string{"Set-up sheet: Łódź, Ωμέγα, Причал", "Settings", "DEPTH OF CUT", "11.1 mm (7/16 in)", english(t).Text(say.SheetRuler()), english(t).Of("sheet.corners_legend")} {
		assert.Contains(t, words, want)
	}
	assert.NotContains(t, words, "?")
	fonts := strings.Split(strings.TrimSpace(byPoppler(t, pdf, "pdffonts")), "\n")[2:]
	assert.Len(t, fonts, 2)
	for _, font := range fonts {
		assert.Regexp(t, `^[A-Z]{6}\+LiberationSans(-Bold)? +CID TrueType +Identity-H +yes yes yes `, font)
	}
	info := byPoppler(t, pdf, "pdfinfo")
	assert.Regexp(t, `(?m)^Title: +Set-up sheet: Łódź, Ωμέγα, Причал$`, info)
	assert.Regexp(t, `(?m)^Tagged: +yes$`, info)
	structure := byPoppler(t, pdf, "pdfinfo", "-struct-text")
	assert.Contains(t, structure, "blow the slot out", "lines of a paragraph do not run together")
	for _, part := range []string{"H1 (block)", "H2 (block)", "Table (block)", "TH:", "L (block)", "Figure"} {
		assert.Contains(t, structure, part)
	}
}

// Letters that the font lacks are told of on the page, which keeps them in its
// text; those that it has are not.
func TestSheetTellsOfLettersItCannotPrint(t *testing.T) {
	c := newCaller(t)
	for job, want := range map[string]string{"海図室": "U+6D77, U+56F3, U+5BA4.", "Łódź": ""} {
		body := drawingRequest(drawnSetups["one piece"], `,"job":"`+job+`"`)
		svg := string(asked(t, c.handler, sheetPath, body, transfer.SVG))
		assert.Contains(t, svg, job)
		if want == "" {
			assert.NotContains(t, svg, "U+")
			continue
		}
		assert.Contains(t, svg, want)
		assert.Contains(t, byPoppler(t, asked(t, c.handler, sheetPath, body, transfer.PDF), "pdftotext"), job)
	}
}

// What keeps fingers whole stands above what invites to reach for the cutter, and
// once.
func TestPowerOffStandsAboveTheSettings(t *testing.T) {
	c := newCaller(t)
	caution := "Switch the router off and unplug it"
	for name, body := range sheetRequests() {
		text := string(asked(t, c.handler, sheetPath, body, transfer.Text))
		if name == "fits" || strings.Contains(text, "Stop adjusting") {
			continue // nothing is touched any more
		}
		at := strings.Index(text, caution)
		require.NotEqual(t, -1, at, name)
		assert.Less(t, at, strings.Index(text, "SETTINGS"), name)
		assert.Equal(t, 1, strings.Count(text, caution), name)
		svg := string(asked(t, c.handler, sheetPath, body, transfer.SVG))
		assert.Less(t, strings.Index(svg, caution), strings.Index(svg, ">Settings<"), name)
	}
}

// Where something is to be done before a joint is cut, no figure on the page can be
// taken for a depth to set.
func TestNoDepthWhereNothingIsToBeCut(t *testing.T) {
	c := newCaller(t)
	requests := map[string]string{"fullest": fullest("a4"), "will not clear": drawingRequest(drawnSetups["will not clear"], "")}
	for name, body := range requests {
		svg := string(asked(t, c.handler, sheetPath, body, transfer.SVG))
		assert.NotContains(t, svg, english(t).Of("sheet.row.depth"), name)
		assert.NotContains(t, svg, `data-measure="depth`, name)
		assert.Contains(t, svg, english(t).Of("sheet.joint_not_yet"), name)
	}
	svg := string(asked(t, c.handler, sheetPath, drawingRequest(drawnSetups["one piece"], ""), transfer.SVG))
	assert.Contains(t, svg, `data-measure="depth`)
}

// Each corner is drawn with the edges and stops of package layout.
func TestSheetDrawsCornersAtTheirStops(t *testing.T) {
	c := newCaller(t)
	svg := string(asked(t, c.handler, sheetPath, drawingRequest(drawnSetups["one piece"], ""), transfer.SVG))
	for _, corner := range layout.Corners() {
		label, stop := codes.CornerLabels[corner.Depthwise][corner.Side], codes.Sides[corner.Stop]
		_, rest, found := strings.Cut(svg, `<g data-corner="`+label+`" data-stop="`+stop+`">`)
		require.True(t, found, label)
		group, _, _ := strings.Cut(rest, "</g>")
		edges := regexp.MustCompile(`data-part="bottom_edge"[^>]* d="M([0-9.]+) `).FindAllStringSubmatch(group, -1)
		stops := regexp.MustCompile(`data-part="stop"[^>]* d="M([0-9.]+) `).FindAllStringSubmatch(group, -1)
		require.Len(t, edges, 2, label)
		require.Len(t, stops, 2, label)
		for i := range edges {
			edge, block := float(t, edges[i][1]), float(t, stops[i][1])
			assert.Equal(t, corner.Stop == layout.Right, block > edge, "%s: a stop stands outside the edge", label)
		}
	}
}
