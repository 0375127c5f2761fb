package service

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/api"
	"snugtail/joint/seasons"
)

// plotted are requests whose plots are as unlike as may be: the contract's
// examples in both units, and what strains the drawing.
func plotted(t testing.TB, c *caller) map[string]string {
	all := map[string]string{
		"all missing": `{"joint":{"play":0.1,"pitch":22,"tail_widest":13,"depth":9},"pin_board":{"width":154,"species":"limba","moisture":4},"tail_board":{"species":"obeche","moisture":20}}`,
		"part missing, many climates": `{"joint":{"play":0.05,"pitch":22,"tail_widest":13.6,"depth":10.9},"pin_board":{"width":800,"species":"limba","grain":"flat_sawn","moisture":9},
			"tail_board":{"species":"limba","grain":"quarter_sawn","moisture":11},"climates":[{"name":"January & <cold> \"room\"","moisture":7},
			{"name":"February in the far northern annex room","moisture":7.1},{"moisture":7.2},{"moisture":7.2},{"name":"m4","moisture":7.4},{"name":"m5","moisture":7.45},{"moisture":7.5},
			{"moisture":8},{"season":"damp","moisture":13.9},{"name":"Überwinterung im Kartenhaus, сырой чулан","moisture":16.5},{"name":"海図室","moisture":16.9},{"name":"off","moisture":25}]}`,
		"play of a foot": `{"units":"in","joint":{"play":"12 in","pitch":22.2,"tail_widest":13.6,"depth":10.9},"pin_board":{"width":"60 in","species":"american_beech"}}`,
		"all the play":   `{"joint":{"play":2000,"pitch":22.2,"tail_widest":13.6,"depth":10.9},"pin_board":{"width":200}}`,
		"none at all":    `{"joint":{"play":-2000,"pitch":22.2,"tail_widest":13.6,"depth":10.9},"pin_board":{"width":2000}}`,
		"far apart": `{"units":"in","joint":{"play":"-0.3 mm","pitch":"22 mm","tail_widest":"13.6 mm","depth":"10.9 mm"},"pin_board":{"width":"2000 mm","species":"american_beech","grain":"flat_sawn","moisture":30},
			"tail_board":{"species":"redwood_young_growth","moisture":0,"grain":"quarter_sawn"}}`,
		"one tail": `{"joint":{"play":0.1,"pitch":22,"tail_widest":13,"depth":9},"pin_board":{"width":22,"species":"white_oak"},"tail_board":{"species":"teak"}}`,
	}
	for name, example := range c.contract.Paths.Value(woodPath).Post.RequestBody.Value.Content.Get(mediaJSON).Examples {
		for _, units := range []string{"mm", "in"} {
			if name == "cut_in_august" || units == example.Value.Value.(map[string]any)["units"] {
				all[name+" "+units] = withMembers(t, example.Value.Value, map[string]any{"units": units})
			}
		}
		all[name] = withMembers(t, example.Value.Value, nil)
	}
	return all
}

func drawn(t testing.TB, h http.Handler, body string) []byte {
	w := ask(h, request(http.MethodPost, woodPath, body, "Accept", "image/svg+xml"))
	if w.Code != http.StatusOK { // an example read in another unit may be no joint
		require.NotEmpty(t, problemIn(t, w).Errors)
		return nil
	}
	require.Equal(t, "image/svg+xml", w.Header().Get("Content-Type"))
	return w.Body.Bytes()
}

// box is what a text covers at the most.
type box struct {
	text                     string
	left, right, top, bottom float64
}

func (a box) covers(b box) bool {
	return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom
}

// boxes reads a drawing, which must be well-formed, and returns what its texts
// cover, by the widest that a font may make them.
func boxes(t testing.TB, svg []byte) (texts []box, title, desc string) {
	t.Helper()
	decoder := xml.NewDecoder(strings.NewReader(string(svg)))
	var open xml.StartElement
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			return texts, title, desc
		}
		require.NoError(t, err)
		switch token := token.(type) {
		case xml.StartElement:
			open = token.Copy()
			seen := map[string]bool{}
			for _, a := range open.Attr {
				require.False(t, seen[a.Name.Local], "%s has %s twice", open.Name.Local, a.Name.Local)
				seen[a.Name.Local] = true
				require.NotContains(t, a.Value, "NaN")
				require.NotContains(t, a.Value, "Inf")
			}
		case xml.CharData:
			switch open.Name.Local {
			case "title":
				title += string(token)
			case "desc":
				desc += string(token)
			case "text":
				texts = append(texts, boxOf(t, open, string(token)))
			}
		case xml.EndElement:
			open = xml.StartElement{}
		}
	}
}

func boxOf(t testing.TB, e xml.StartElement, content string) box {
	t.Helper()
	size, x, y, anchor, turned := 20.0, 0.0, 0.0, "start", false
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	for _, a := range e.Attr {
		switch a.Name.Local {
		case "x":
			x = number(a.Value)
		case "y":
			y = number(a.Value)
		case "font-size":
			size = number(a.Value)
		case "text-anchor":
			anchor = a.Value
		case "transform":
			turned = true
		}
	}
	assert.GreaterOrEqual(t, size, 16.0, "%q is too small for a kiosk", content)
	width := textWidth(content, size)
	left := map[string]float64{"start": x, "middle": x - width/2, "end": x - width}[anchor]
	if turned { // about its own middle, a quarter turn to the left
		return box{content, x - size, x + 0.3*size, y - width/2, y + width/2}
	}
	return box{content, left, left + width, y - 0.8*size, y + 0.25*size}
}

// Every plot is well-formed XML with title and description, and its texts lie
// within it, none over another.
func TestPlots(t *testing.T) {
	c := newCaller(t)
	for name, body := range plotted(t, c) {
		t.Run(name, func(t *testing.T) {
			svg := drawn(t, c.handler, body)
			if svg == nil {
				t.Skip("no joint in this unit")
			}
			texts, title, desc := boxes(t, svg)
			assert.Equal(t, plotTitle, title)
			assert.Contains(t, desc, "Cut with ")
			assert.Greater(t, len(texts), 20)
			for i, a := range texts {
				assert.True(t, a.left >= 0 && a.right <= plotSize && a.top >= 0 && a.bottom <= plotSize, "out of the drawing: %+v", a)
				for _, b := range texts[:i] {
					assert.False(t, a.covers(b), "%+v covers %+v", a, b)
				}
			}
		})
	}
}

// What the plot says is what the answer says.
func TestPlotSays(t *testing.T) {
	c := newCaller(t)
	texts := func(body string) string {
		svg := drawn(t, c.handler, body)
		require.NotEmpty(t, svg)
		all, _, _ := boxes(t, svg)
		var lines []string
		for _, b := range all {
			lines = append(lines, b.text)
		}
		return "\n" + strings.Join(lines, "\n") + "\n"
	}
	mm := texts(redOakAndPoplar)
	for _, line := range []string{
		"pin board: red oak, flat-sawn, 154 mm wide, cut at 11 %", "tail board: yellow poplar, flat-sawn, 154 mm wide, cut at 11 %",
		"boards cut, 11 %", "driest, 6 %", "now, 8 %", "dampest, 10 %", "play, mm", "hand fit", "-0.05 to 0.2", "above 0.5", "-0.4", "20", "80", "12",
	} {
		assert.Contains(t, mm, "\n"+line+"\n")
	}
	assert.NotContains(t, mm, "runs on")
	inches := texts(`{"units":"in","joint":{"play":"0.1 mm","pitch":"22 mm","tail_widest":"13 mm","depth":"9 mm"},"pin_board":{"width":"154 mm"}}`)
	assert.Contains(t, inches, "\nplay, in\n")
	assert.Contains(t, inches, "\n-0.002 to 0.0079\n")
	limba := texts(plotted(t, c)["part missing, many climates"])
	assert.Contains(t, limba, "Where the curves stop, the table has no tangential shrinkage of limba.")
	assert.Contains(t, texts(plotted(t, c)["far apart"]), "The curve of the outermost tails runs on beyond the plot.")
}

// The curve goes through the plays that the answer gives.
func TestPlotDrawsTheAnswer(t *testing.T) {
	m, err := solveMovement(requestOf(t, redOakAndPoplar))
	require.NoError(t, err)
	points, err := m.question.OverHumidity(sweep)
	require.NoError(t, err)
	year, err := m.question.Through(m.climates)
	require.NoError(t, err)
	p := &plot{movement: m, points: points, year: &year}
	p.setMarks()
	p.setScale()
	assert.InDelta(t, plotLeft, p.x(20), 1e-9)
	assert.InDelta(t, plotRight, p.x(85), 1e-9)
	for _, o := range year.Outcomes {
		x, seen := p.moistureAt(o.Climate.Moisture.Percent)
		require.True(t, seen)
		i, found := slices.BinarySearchFunc(points, x, func(point seasons.Point, x float64) int { return int(math.Copysign(1, p.x(point.Humidity)-x)) })
		require.False(t, found)
		before, after := points[i-1].PlayOutermost.MM(), points[i].PlayOutermost.MM()
		assert.GreaterOrEqual(t, o.PlayOutermost.MM(), min(before, after))
		assert.LessOrEqual(t, o.PlayOutermost.MM(), max(before, after))
	}
	assert.Greater(t, p.y(0), p.y(0.1), "more play is higher")
}

func requestOf(t testing.TB, body string) *api.WoodMovementRequest {
	in := new(api.WoodMovementRequest)
	require.NoError(t, json.Unmarshal([]byte(body), in))
	return in
}

// Whatever the request, a plot is well-formed, or there is a problem.
func TestPlotsOfMutants(t *testing.T) {
	c := newCaller(t)
	k, err := embeddedContract()
	require.NoError(t, err)
	bodies := bodiesOf(t, k)
	for i, body := range bodies[woodPath] {
		r := rand.New(rand.NewPCG(uint64(i), 5))
		pool := append(gather(body, nil), edges()...)
		good := 0
		for range 300 {
			text, err := json.Marshal(mutant(r, body, pool))
			require.NoError(t, err)
			svg := drawn(t, c.handler, string(text))
			if svg != nil {
				good++
				boxes(t, svg)
			}
		}
		assert.Positive(t, good)
	}
}

// In a real browser, with its own fonts: texts within the drawing, none over
// another. With SNUGTAIL_PLOT set to a file's name, the first plot is kept there.
func TestPlotInABrowser(t *testing.T) {
	c := newCaller(t)
	all, names := plotted(t, c), []string{"cut_in_august", "one_wood", "part missing, many climates", "play of a foot", "all missing"}
	plots := map[string][]byte{}
	for i, name := range names {
		plots["/"+strconv.Itoa(i)] = drawn(t, c.handler, all[name])
	}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if plots[r.URL.Path] == nil { // the browser asks for an icon
			w.WriteHeader(http.StatusNoContent)
			return
		}
		w.Header().Set("Content-Type", "image/svg+xml")
		_, _ = w.Write(plots[r.URL.Path])
	}))
	defer server.Close()
	b := startBrowser(t)
	for i, name := range names {
		b.session = ""
		b.open(server.URL + "/" + strconv.Itoa(i))
		b.until("the plot is drawn", `document.querySelector("svg > desc") !== null && document.querySelectorAll("text").length > 20`)
		assert.Equal(t, "", b.eval(overlapping), name)
		if name == "cut_in_august" {
			b.screenshot(os.Getenv("SNUGTAIL_PLOT"))
		}
	}
	assert.Empty(t, b.complaints)
}

// overlapping names the texts that lie over another or out of the drawing.
const overlapping = `(() => {
	const svg = document.documentElement, all = [...document.querySelectorAll("text")], bad = [];
	const frame = svg.getBoundingClientRect(), scale = Math.min(frame.width, frame.height) / 1080;
	const left = frame.left + (frame.width - 1080 * scale) / 2, top = frame.top + (frame.height - 1080 * scale) / 2;
	const boxes = all.map(e => e.getBoundingClientRect());
	boxes.forEach((a, i) => {
		if (a.left < left || a.top < top || a.right > left + 1080 * scale || a.bottom > top + 1080 * scale) bad.push("out: " + all[i].textContent);
		const thin = 0.15 * a.height; // above and below the letters a box is empty
		boxes.slice(0, i).forEach((b, k) => {
			if (a.left < b.right && b.left < a.right && a.top + thin < b.bottom - thin && b.top + thin < a.bottom - thin) bad.push(all[i].textContent + " over " + all[k].textContent);
		});
	});
	return bad.join("; ");
})()`

// Labels that are spread cover nothing and stay beside the plot, in their order.
func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		top := rapid.Float64Range(130, 300).Draw(t, "top")
		labels := make([]bandLabel, rapid.IntRange(1, 5).Draw(t, "labels"))
		at := plotBottom
		for i := range labels {
			at = rapid.Float64Range(top, at).Draw(t, "at")
			labels[i].at = at
		}
		spread(labels, top)
		for i := range labels {
			assert.GreaterOrEqual(t, labels[i].at, top+bandLabelHeight/2-1e-9)
			assert.LessOrEqual(t, labels[i].at, plotBottom-bandLabelHeight/2+1e-9)
			if i > 0 {
				assert.GreaterOrEqual(t, labels[i-1].at-labels[i].at, bandLabelHeight-1e-9)
			}
		}
	})
}

// Marks' texts cover no other text and no other mark's line.
func TestMarks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := new(plot)
		x := plotRight
		for range rapid.IntRange(1, 26).Draw(t, "marks") {
			x = rapid.Float64Range(plotLeft, x).Draw(t, "x")
			m := mark{x: x, text: strings.Repeat("n", rapid.IntRange(1, 50).Draw(t, "letters"))}
			placeMark(p.marks, &m)
			p.marks = append(p.marks, m)
		}
		for i, a := range p.marks {
			if a.text == "" {
				continue
			}
			require.Less(t, a.row, labelRows)
			end := a.x + 6 + textWidth(a.text, smallText)
			assert.LessOrEqual(t, end, float64(plotSize))
			for k, b := range p.marks {
				if k != i && b.text != "" && b.x >= a.x && b.x < end && k < i {
					assert.Greater(t, a.row, b.row, "%+v is covered by %+v", a, b)
				}
			}
		}
	})
}

func TestTickStep(t *testing.T) {
	for _, row := range []struct {
		span     float64
		step     float64
		decimals int
	}{{1.2, 0.1, 1}, {1.3, 0.2, 1}, {0.05, 0.005, 3}, {12, 1, 0}, {13, 2, 0}, {120, 10, 0}, {0.7, 0.1, 1}, {6.1, 1, 0}, {2000, 200, 0}} {
		step, decimals := tickStep(row.span)
		assert.InDelta(t, row.step, step, 1e-9, "%g", row.span)
		assert.Equal(t, row.decimals, decimals, "%g", row.span)
	}
	rapid.Check(t, func(t *rapid.T) {
		span := math.Pow(10, rapid.Float64Range(-3, 5).Draw(t, "power"))
		step, decimals := tickStep(span)
		assert.LessOrEqual(t, span/step, 12.0+1e-9)
		assert.Greater(t, span/step, 4.0)
		shown, err := strconv.ParseFloat(strconv.FormatFloat(step, 'f', decimals, 64), 64)
		require.NoError(t, err)
		assert.InEpsilon(t, step, shown, 1e-9, "the decimals show it whole")
	})
}

func TestShortened(t *testing.T) {
	assert.Equal(t, "chart room", shortened("chart room", 18, 200))
	assert.Equal(t, "chart...", shortened("chart room", 18, 100))
	assert.Equal(t, "", shortened("chart room", 18, 60))
}

// Text in an element or attribute never ends it, and is read back as it was.
func TestDrawingEscapes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		content := rapid.StringMatching(`[ -~äß海]{0,20}`).Draw(t, "content")
		d := new(drawing)
		d.text("text", content, "id", content)
		var read struct {
			ID      string `xml:"id,attr"`
			Content string `xml:",chardata"`
		}
		require.NoError(t, xml.Unmarshal(d.Bytes(), &read), d.String())
		assert.Equal(t, content, read.Content)
		assert.Equal(t, content, read.ID)
	})
	d := new(drawing)
	d.text("text", "a\x00\x1b\ufffeb")
	require.NoError(t, xml.Unmarshal(d.Bytes(), new(any)), "what XML takes in no form is replaced")
}

// The third form is taken only where it is asked for.
func TestAcceptOfThePlot(t *testing.T) {
	c := newCaller(t)
	for accept, want := range map[string]string{
		"":                                 mediaJSON,
		"*/*":                              mediaJSON,
		"image/*":                          mediaSVG,
		"image/svg+xml, text/plain;q=0.9":  mediaSVG,
		"image/svg+xml;q=0.3, text/plain":  mediaText + "; charset=utf-8",
		"image/avif,image/svg+xml,*/*;q=0": mediaSVG,
		"image/png":                        "",
	} {
		w := ask(c.handler, request(http.MethodPost, woodPath, redOakAndPoplar, "Accept", accept))
		if want == "" {
			assert.Equal(t, http.StatusNotAcceptable, w.Code)
			assert.Equal(t, "The answer comes as application/json, text/plain and image/svg+xml.", problemIn(t, w).Detail)
			continue
		}
		assert.Equal(t, want, w.Header().Get("Content-Type"), accept)
		assert.Equal(t, "Accept", w.Header().Get("Vary"))
		assert.Equal(t, "no-store", w.Header().Get("Cache-Control"))
	}
	assert.Equal(t, drawn(t, c.handler, redOakAndPoplar), drawn(t, c.handler, redOakAndPoplar), "the same bytes")
	assert.Equal(t, http.StatusNotAcceptable, ask(c.handler, request(http.MethodGet, "/v1/species", "", "Accept", "image/svg+xml")).Code)
}

func BenchmarkPlot(b *testing.B) {
	h := benchService(b)
	body := exampleOf(b, woodPath)
	r := request(http.MethodPost, woodPath, body, "Accept", mediaSVG)
	repeat(b, func() {
		r.Body = io.NopCloser(strings.NewReader(body))
		w := sink{header: http.Header{}}
		h.ServeHTTP(&w, r)
		if w.status != http.StatusOK {
			b.Fatal(fmt.Sprint(w.status))
		}
	})
}
