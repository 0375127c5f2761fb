package service

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/service/draw"
	"snugtail/service/message"
	"snugtail/service/read"
	"snugtail/service/say"
	"snugtail/service/transfer"
)

// fullest is a request that asks of a page what it can be asked at the most:
// the longest names, both depths, and test cuts with all kinds of steps.
func fullest(paper string) string {
	id := func(letter string) string { return strings.Repeat(letter, 64) }
	return `{"units":"in","paper":"` + paper + `","job":"` + strings.Repeat("W", 50) + " " + strings.Repeat("Ä", 49) + `","setup":{
		"template":{"kind":"two_position","tail_pass":{"opening":"14.1 mm","finger":"11.3 mm","opening_reach":"16.123 mm","finger_reach":"14.123 mm"},
			"pin_pass":{"opening":"13.8 mm","finger":"11.6 mm","opening_reach":"16.234 mm","finger_reach":"3.123 mm"},"thickness":"8.123 mm"},
		"bushing":{"id":"` + id("W") + `","diameter":"12.01 mm","bore":"10 mm","barrel":"6.123 mm","offset":{"x":"0.05 mm","y":"-0.1 mm"}},
		"cutter":{"id":"` + id("M") + `","diameter":"13.01 mm","angle":12.34,"runout":"0.02 mm","cutting_length":"14 mm","shank":"8 mm","condition":"unknown"},
		"depth":{"pin_board":"11.123 mm","tail_board":"10.423 mm"},"router":{"adjuster_lead":"1.523 mm","adjuster_step":"0.5 mm","turned_in_use":true},
		"pin_board":{"thickness":"15.523 mm","width":"203.123 mm","species":"white_oak","moisture":12,"grain":"flat_sawn"},
		"tail_board":{"thickness":"14.123 mm","width":"203.123 mm","species":"american_beech","moisture":8,"grain":"quarter_sawn"}},
		"test_cuts":[{"depth":{"pin_board":"11.123 mm","tail_board":"10.423 mm"},"feel":"rattles","seat":"0.61 mm","edge_step":"3 mm","pulled_gap":"1.5 mm","shoulder_gap":"0.7 mm"},
			{"depth":"11.8 mm","feel":"hard_blows","measured":{"pin_widest":"15 mm"}},{"depth":"12.8 mm","feel":"rattles"}]}`
}

// sheetRequests are requests whose pages are as unlike as may be.
func sheetRequests() map[string]string {
	all := map[string]string{"fullest, a4": fullest("a4"), "fullest, letter": fullest("letter")}
	for name, setup := range drawnSetups {
		all[name] = drawingRequest(setup, `,"paper":"letter","job":"Chart cabinet, top drawers"`)
	}
	loose := `{"template":{"kind":"one_piece","pitch":22.225,"opening":12.35,"thickness":9.5},"bushing":{"diameter":11.11},"cutter":{"diameter":12.7,"angle":14},"depth":10.4,"router":{"adjuster_lead":1.5},"pin_board":{"thickness":18.9}}`
	all["too loose"] = drawingRequest(loose, `,"test_cuts":[{"depth":10.4,"feel":"rattles","pulled_gap":0.9}]`)
	all["fits"] = drawingRequest(loose, `,"target":{"play":0.5,"to":0.8},"test_cuts":[{"depth":10.4,"pulled_gap":1}]`)
	all["not to be reached"] = drawingRequest(strings.Replace(loose, `18.9`, `13`, 1), `,"test_cuts":[{"depth":10.4,"pulled_gap":0.9}]`)
	all["never to be reached"] = drawingRequest(strings.Replace(loose, `18.9`, `10.8`, 1), `,"test_cuts":[{"depth":10.4,"pulled_gap":0.9}]`)
	return all
}

// The page's margin and the height of a line to write on, mm.
const sheetMargin, sheetLine = 9.0, 7.0

// Every page is one page of its paper; its texts lie within it, none over
// another, and are large enough to read.
func TestSheets(t *testing.T) {
	c := newCaller(t)
	requests := sheetRequests()
	for name, body := range sheetRequests() {
		requests[name+", chart"] = strings.TrimSuffix(body, "}") + `,"chart":true}`
	}
	for name, body := range requests {
		for language, in := range texts(t) {
			t.Run(name+", "+language, func(t *testing.T) {
				svg := askedIn(t, c.handler, language, sheetPath, body, transfer.SVG)
				assert.Contains(t, string(svg), ` lang="`+language+`"`)
				r := readDrawn(t, svg)
				assertReadable(t, r)
				assertInColumns(t, r, in)
				written := "notes"
				if strings.HasSuffix(name, ", chart") || name == "fits" { // from there on it is a run
					written = "chart"
				}
				smallest := math.Inf(1)
				for _, text := range r.texts {
					smallest = math.Min(smallest, (text.box.Bottom-text.box.Top)/(draw.Ascent+draw.Descent))
				}
				assert.Greater(t, smallest, 0.8*1.8, "mm, about 4 points")
				for _, code := range []string{"settings", "steps", "depth", "template", "cautions", written, "stop.right"} {
					assert.Contains(t, allTexts(r), in.Of("sheet."+code))
				}
				for _, text := range []string{"100 mm", "4 " + in.Of("drawing.unit.in"), "FL", "BR"} {
					assert.Contains(t, allTexts(r), text)
				}
				bottom := 0.0 // of the lowest line to write on
				for _, d := range regexp.MustCompile(` d="M([0-9.]+) ([0-9.]+)L([0-9.]+) ([0-9.]+)"`).FindAllStringSubmatch(string(svg), -1) {
					bottom = math.Max(bottom, float(t, d[4]))
				}
				assert.LessOrEqual(t, bottom, r.height-sheetMargin+0.01)
				assert.Greater(t, bottom, r.height-sheetMargin-3*sheetLine, "the page is used")

				pdf := askedIn(t, c.handler, language, sheetPath, body, transfer.PDF)
				assert.Contains(t, string(pdf), "/Lang ("+language+")")
				assert.Equal(t, 1, bytes.Count(pdf, []byte("/Type /Page ")))
				assert.Contains(t, string(pdf), "/Count 1")
				size := "[0 0 595.276 841.89]"
				if strings.Contains(body, `"letter"`) {
					size = "[0 0 612 792]"
				}
				assert.Contains(t, string(pdf), "/MediaBox "+size)
			})
		}
	}
}

// assertInColumns: no text of the page for the bench reaches into its margin, over
// the gap between two columns or out of a cell.
func assertInColumns(t *testing.T, r *readSVG, in message.Printer) {
	t.Helper()
	const slack, apart, corners = 0.02, 6.0, 62.0
	right := r.width - sheetMargin
	at := func(code string) (found []draw.Box) {
		for _, text := range r.texts {
			if text.text == in.Of(code) {
				found = append(found, text.box)
			}
		}
		return found
	}
	settings := at("sheet.settings")
	require.Len(t, settings, 1)
	figure := slices.IndexFunc(r.texts, func(x readText) bool {
		return strings.HasPrefix(x.text, in.Of("sheet.joint")+", ") || strings.HasPrefix(x.text, in.Of("sheet.joint_not_yet")+", ")
	})
	require.NotEqual(t, -1, figure)
	middle := (sheetMargin + right) / 2
	for _, text := range r.texts {
		b := text.box
		assert.True(t, b.Left >= sheetMargin-slack && b.Right <= right+slack, "%q in the margin: %v", text.text, b)
		if b.Top >= settings[0].Top && b.Bottom <= r.texts[figure].box.Top {
			assert.True(t, b.Right <= middle-apart/2+slack || b.Left >= middle+apart/2-slack, "%q between the columns: %v", text.text, b)
		}
	}
	cell := (right - sheetMargin) / float64(len(say.SheetColumns))
	for i, name := range say.SheetColumns {
		for _, b := range at("sheet.column." + name) {
			if b.Bottom > r.height/2 {
				assert.LessOrEqual(t, b.Right, sheetMargin+float64(i+1)*cell, name)
			}
		}
	}
	for _, stop := range []string{"left", "right"} {
		for _, b := range at("sheet.stop." + stop) {
			edge := right
			if b.Left < right-corners/2 {
				edge = right - corners/2 - 1
			}
			assert.LessOrEqual(t, b.Right, edge+slack, stop)
		}
	}
}

// pdfLines are the straight lines of a PDF's page, in points.
func pdfLines(t *testing.T, pdf []byte) [][4]float64 {
	t.Helper()
	_, content, found := bytes.Cut(pdf, []byte("stream\n"))
	require.True(t, found)
	content, _, found = bytes.Cut(content, []byte("endstream"))
	require.True(t, found, "the stream is not compressed")
	var all [][4]float64
	var x, y float64
	for _, line := range strings.Split(string(content), "\n") {
		var a, b float64
		var op string
		if n, _ := fmt.Sscan(line, &a, &b, &op); n != 3 {
			continue
		}
		if op == "l" {
			all = append(all, [4]float64{x, y, a, b})
		}
		x, y = a, b
	}
	return all
}

// The check ruler is 100 mm and 4 in long in the PDF, and the joint beside
// them is at 1:1: measured in points, of which 72 are an inch.
func TestSheetIsAtFullSize(t *testing.T) {
	c := newCaller(t)
	const mm = 72 / 25.4
	body := drawingRequest(drawnSetups["one piece"], "")
	var in api.SetupSheetRequest
	require.NoError(t, json.Unmarshal([]byte(body), &in))
	setup, _ := read.New("mm", nil).Setup(in.Setup)
	j, err := joint.New(setup)
	require.NoError(t, err)
	w, _ := j.Widths()
	const resolution = 0.0011 // points: coordinates are written to 0.001

	lines := pdfLines(t, asked(t, c.handler, sheetPath, body, transfer.PDF))
	has := func(what string, want float64, fits func(l [4]float64) bool) {
		t.Helper()
		best := math.Inf(1)
		for _, l := range lines {
			if length := math.Hypot(l[2]-l[0], l[3]-l[1]); fits(l) && math.Abs(length-want) < math.Abs(best-want) {
				best = length
			}
		}
		assert.InDelta(t, want, best, resolution, what)
	}
	level := func(l [4]float64) bool { return l[1] == l[3] }
	has("100 mm", 100*mm, level)
	has("4 in", 288, level)
	has("a pin at the face", w.PinWidest.MM()*mm, level)
	has("a socket's floor", w.TailSocketWidest.MM()*mm, func(l [4]float64) bool {
		return level(l) && math.Abs(math.Abs(l[2]-l[0])-w.TailWidest.MM()*mm) > 0.05
	})
	has("a tail's end", w.TailWidest.MM()*mm, level)
	h, angle := setup.Depth.PinBoard.MM(), setup.Cutter.Angle.Radians()
	has("a flank", h/math.Cos(angle)*mm, func(l [4]float64) bool { return !level(l) && l[0] != l[2] })
	has("depth of cut", h*mm, func(l [4]float64) bool { return l[0] == l[2] })
	lap, _ := j.Lap()
	has("lap", lap.MM()*mm, func(l [4]float64) bool { return l[0] == l[2] })

	// and the divisions are where they say.
	svg := string(asked(t, c.handler, sheetPath, body, transfer.SVG))
	for name, want := range map[string][2]float64{"mm": {100, 101}, "in": {101.6, 65}} {
		_, ruler, found := strings.Cut(svg, `id="sheet-ruler-`+name+`"`)
		require.True(t, found)
		ruler, _, _ = strings.Cut(ruler, "</g>")
		var xs []float64
		for _, d := range regexp.MustCompile(` d="M([0-9.]+) [0-9.]+L([0-9.]+) `).FindAllStringSubmatch(ruler, -1) {
			if d[1] == d[2] {
				xs = append(xs, float(t, d[1]))
			}
		}
		require.Len(t, xs, int(want[1]), name)
		for i, x := range xs {
			assert.InDelta(t, want[0]*float64(i)/float64(len(xs)-1), x-xs[0], 2e-4)
		}
	}
}

// With test cuts the page has the steps, the depth, and the gauge
// of the correction for the same request.
func TestSheetIsTheCorrection(t *testing.T) {
	c := newCaller(t)
	for name, body := range sheetRequests() {
		if !strings.Contains(body, "test_cuts") {
			continue
		}
		t.Run(name, func(t *testing.T) {
			var asking map[string]any
			require.NoError(t, json.Unmarshal([]byte(body), &asking))
			delete(asking, "job")
			delete(asking, "paper")
			raw, err := json.Marshal(asking)
			require.NoError(t, err)
			a := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", string(raw))
			text := unwrapped(asked(t, c.handler, sheetPath, body, transfer.Text))
			assert.Contains(t, text, a.Summary)
			for _, step := range a.Steps {
				assert.Contains(t, text, fmt.Sprintf("%d. %s", step.Order, step.Text))
			}
			for _, caution := range a.Cautions {
				assert.Contains(t, text, caution.Text)
			}
			assert.NotContains(t, text, a.Record.Checksum, "a record is no use on paper")
			if a.Decision.Depth == nil { // then the page names none
				assert.NotRegexp(t, "DEPTH OF CUT"+" [0-9]", text)
				assert.NotContains(t, text, "depth gauge:")
				return
			}
			assert.Contains(t, text, a.Record.Gauge)
			figure := english(t).Setting(length.Length(a.Decision.Depth.MM))
			assert.Contains(t, a.Decision.Text, figure)
			assert.Contains(t, text, "DEPTH OF CUT"+" "+figure+" (")
		})
	}
}

// unwrapped is a text with its lines joined.
func unwrapped(text []byte) string { return strings.Join(strings.Fields(string(text)), " ") }

// Without test cuts it leads to the first one, at the set-up's own depth.
func TestFirstSheet(t *testing.T) {
	c := newCaller(t)
	body := drawingRequest(drawnSetups["one piece"], `,"job":"Chart cabinet, top drawers"`)
	predicted := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", drawingRequest(drawnSetups["one piece"], ""))
	text := unwrapped(asked(t, c.handler, sheetPath, body, transfer.Text))
	for _, want := range []string{
		"Set-up sheet: Chart cabinet, top drawers", predicted.Summary,
		"cutter/bit 12.7 mm (1/2 in), 14 deg, 1_2in_14deg", "bushing/guide bush 11.11 mm (7/16 in), brass-1",
		"DEPTH OF CUT 11.1 mm (7/16 in)", "lap left in front 7.79 mm", "cutter below base 20.65 mm (13/16 in), not the depth of cut",
		"below bushing's tip 12.7 mm (1/2 in), not the depth of cut", "openings reach 15.1 mm (0.594 in) in from its end",
		"Cut one slot in scrap and measure it in the wood. Change the depth until it is 11.1 mm.",
		"depth 11.1 mm: to be tried.", "FL left stop", "FR right stop", "BL right stop", "BR left stop",
	} {
		assert.Contains(t, text, want)
	}
	broken := unwrapped(asked(t, c.handler, sheetPath, drawingRequest(drawnSetups["will not clear"], ""), transfer.Text))
	assert.Contains(t, broken, "1. Do not cut yet: ")
	assert.NotContains(t, broken, "3. ", "no steps lead to what is not to be cut")
	assert.NotRegexp(t, "(DEPTH OF CUT|cutter below base|depth gauge:) .*[0-9]", broken[:strings.Index(broken, strings.ToUpper(english(t).Of("sheet.depth")))])
	two := unwrapped(asked(t, c.handler, sheetPath, drawingRequest(drawnSetups["two positions, off axis"], ""), transfer.Text))
	assert.Contains(t, two, "Clamp one board after the other")
	unequal := unwrapped(asked(t, c.handler, sheetPath, drawingRequest(drawnSetups["shoulder open"], ""), transfer.Text))
	assert.Contains(t, unequal, "DEPTH, pin board 10.6 mm")
	assert.Contains(t, unequal, "DEPTH, tail board 11.2 mm")
}

// As text no line is wider than 72 columns, and the PDF and the SVG have its words.
func TestSheetAsText(t *testing.T) {
	c := newCaller(t)
	for name, body := range sheetRequests() {
		for _, language := range []string{"en", "de"} {
			text := string(askedIn(t, c.handler, language, sheetPath, body, transfer.Text))
			assert.NotRegexp(t, `\[[a-z_.]+\]`, text, "every sentence is there")
			for _, line := range strings.Split(text, "\n") {
				assert.LessOrEqual(t, len([]rune(line)), receiptWidth, "%s: %q", name, line)
				assert.Equal(t, strings.TrimRight(line, " "), line)
			}
			drawn := map[string]bool{}
			for _, t := range readDrawn(t, askedIn(t, c.handler, language, sheetPath, body, transfer.SVG)).texts {
				for _, word := range strings.Fields(t.text) {
					drawn[word] = true
				}
			}
			for _, word := range strings.Fields(text) {
				if word = strings.TrimPrefix(word, "!"); strings.ToUpper(word) != word { // headings are in capitals there
					assert.True(t, drawn[word], "%s: %q is not on the page", name, word)
				}
			}
		}
	}
}

// Target: under 50 ms.
func BenchmarkSheet(b *testing.B) {
	s, err := New(Config{})
	require.NoError(b, err)
	for _, media := range []string{transfer.PDF, transfer.SVG, transfer.Text} {
		b.Run(media, func(b *testing.B) {
			benchmarkForm(b, s.Handler(), sheetPath, media, `,"test_cuts":[{"depth":11.1125,"pulled_gap":0.9}]`)
		})
	}
	b.Run("fullest", func(b *testing.B) {
		for b.Loop() {
			if w := ask(s.Handler(), request(http.MethodPost, sheetPath, fullest("letter"), "Accept", transfer.PDF)); w.Code != http.StatusOK {
				b.Fatal(w.Body)
			}
		}
	})
}
