package service

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/api/apitest"
	"snugtail/service/draw"
	"snugtail/service/say"
	"snugtail/service/site"
	"snugtail/service/transfer"
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
	for name, example := range c.contract.Paths.Value(woodPath).Post.RequestBody.Value.Content.Get(transfer.JSON).Examples {
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

// Every plot is well-formed XML with title and description, large enough for a
// kiosk, and its texts lie within it, none over another.
func TestPlots(t *testing.T) {
	c := newCaller(t)
	for name, body := range plotted(t, c) {
		t.Run(name, func(t *testing.T) {
			svg := drawn(t, c.handler, body)
			if svg == nil {
				t.Skip("no joint in this unit")
			}
			r := readDrawn(t, svg)
			assert.Equal(t, english(t).Of("plot.title"), r.title)
			assert.Contains(t, r.desc, "Cut with ")
			assert.Greater(t, len(r.texts), 20)
			assertReadable(t, r)
			for _, size := range regexp.MustCompile(`font-size="([^"]*)"`).FindAllSubmatch(svg, -1) {
				assert.GreaterOrEqual(t, float(t, string(size[1])), r.width/66, "too small for a kiosk")
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
		return "\n" + allTexts(readDrawn(t, svg)) + "\n"
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

// measuredPlot is a plot as somebody reads it who lays a rule along its ticks.
type measuredPlot struct {
	texts map[string]readMark
	paths map[string][][]draw.Point // "play outermost", "range outermost", "band hand_fit"
}

// readMark is a text's place on the plot, and whether it is bold.
type readMark struct {
	at   draw.Point
	bold bool
}

func measured(t testing.TB, svg []byte) *measuredPlot {
	m := &measuredPlot{texts: map[string]readMark{}, paths: map[string][][]draw.Point{}}
	for _, text := range regexp.MustCompile(`<text x="([^"]*)" y="([^"]*)"([^>]*)>([^<]*)<`).FindAllSubmatch(svg, -1) {
		m.texts[string(text[4])] = readMark{draw.Point{X: float(t, string(text[1])), Y: float(t, string(text[2]))}, bytes.Contains(text[3], []byte("bold"))}
	}
	for _, path := range regexp.MustCompile(`<path data-(play|range|band)="([^"]*)"[^>]* d="([^"]*)"`).FindAllSubmatch(svg, -1) {
		name := string(path[1]) + " " + string(path[2])
		m.paths[name] = append(m.paths[name], readPath(t, string(path[3])))
	}
	return m
}

// plotEnds is the plot's lower edge, and nameApart how far a mark's name stands
// from its line, mm.
const plotEnds, nameApart = 168, 1.2

// play is what the axis says of a height on the plot, by two of its figures.
func (m *measuredPlot) play(y float64) float64 {
	const below = 1.2 // a figure's baseline, below its tick
	zero, fifth := m.texts["0.0"].at.Y-below, m.texts["-0.4"].at.Y-below
	return -0.4 * (y - zero) / (fifth - zero)
}

// at is the height of a curve where a mark with that name crosses it.
func (m *measuredPlot) at(t testing.TB, curve []draw.Point, name string) float64 {
	require.Contains(t, m.texts, name)
	x := m.texts[name].at.X - nameApart
	i := slices.IndexFunc(curve, func(p draw.Point) bool { return p.X >= x })
	require.Positive(t, i, name)
	a, b := curve[i-1], curve[i]
	return a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X)
}

// The curves, read off the drawing, go through the plays that the answer gives
// as JSON, and so do the ends of their ranges.
func TestPlotDrawsTheAnswer(t *testing.T) {
	c := newCaller(t)
	answer := answerOf[api.WoodMovementAnswer](t, c, woodPath, redOakAndPoplar)
	m := measured(t, drawn(t, c.handler, redOakAndPoplar))
	require.Len(t, answer.Climates, 3)
	const near = 0.005
	for _, climate := range answer.Climates {
		name := english(t).Text(say.ClimateTitle(climate.Name, climate.Season, climate.Moisture))
		for code, play := range map[string]*api.PlayNow{"outermost": climate.Outermost, "middle": climate.Middle} {
			assert.InDelta(t, play.Play.MM, m.play(m.at(t, m.paths["play "+code][0], name)), near, "%s of %s", code, name)
			for end, want := range map[string]api.Length{"low": play.Uncertainty.Low, "high": play.Uncertainty.High} {
				found := slices.ContainsFunc(m.paths["range "+code], func(edge []draw.Point) bool {
					return edge[0].X < m.texts[name].at.X && edge[len(edge)-1].X > m.texts[name].at.X && math.Abs(m.play(m.at(t, edge, name))-want.MM) < near
				})
				below := want.MM < m.play(plotEnds)
				assert.True(t, found != below, "the %s end of %s of %s, %g mm, is drawn where it is", end, code, name, want.MM)
			}
		}
	}
}

// Each band is shaded from where it begins to where it ends, and named beside
// its middle; the one to aim at stands out.
func TestPlotShadesTheBands(t *testing.T) {
	c := newCaller(t)
	svg := drawn(t, c.handler, redOakAndPoplar)
	m := measured(t, svg)
	assert.Equal(t, 4, bytes.Count(svg, []byte(`stroke-dasharray="0.6 0.8"`)), "an edge between each two of five bands")
	for band, limits := range map[string][2]float64{"loose": {0.2, 0.5}, "hand_fit": {-0.05, 0.2}} {
		require.Len(t, m.paths["band "+band], 1, band)
		rect := m.paths["band "+band][0]
		assert.InDelta(t, limits[1], m.play(rect[0].Y), 0.002, band)
		assert.InDelta(t, limits[0], m.play(rect[2].Y), 0.002, band)
		label := m.texts[strings.ReplaceAll(band, "_", " ")]
		assert.InDelta(t, (rect[0].Y+rect[2].Y)/2, label.at.Y+0.6, 0.02, "there is room beside %s", band)
		assert.Greater(t, label.at.X, rect[1].X)
	}
	for _, name := range []string{"too loose", "loose", "hand fit", "tight", "will not close"} {
		require.Contains(t, m.texts, name)
		assert.Equal(t, name == "hand fit", m.texts[name].bold, name)
	}
}

// Whatever the request, a plot is well-formed, or there is a problem.
func TestPlotsOfMutants(t *testing.T) {
	c := newCaller(t)
	k, err := site.EmbeddedContract()
	require.NoError(t, err)
	bodies := apitest.Bodies(t, k.Document)
	for i, body := range bodies[woodPath] {
		r := rand.New(rand.NewPCG(uint64(i), 5))
		pool := append(apitest.Gather(body, nil), apitest.Edges()...)
		good := 0
		for range apitest.Rounds(300, 2*time.Second) {
			text, err := json.Marshal(apitest.Mutant(r, body, pool))
			require.NoError(t, err)
			svg := drawn(t, c.handler, string(text))
			if svg != nil {
				good++
				readDrawn(t, svg)
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
	const frame = svg.getBoundingClientRect(), scale = Math.min(frame.width, frame.height) / 216;
	const left = frame.left + (frame.width - 216 * scale) / 2, top = frame.top + (frame.height - 216 * scale) / 2;
	const boxes = all.map(e => e.getBoundingClientRect());
	boxes.forEach((a, i) => {
		if (a.left < left || a.top < top || a.right > left + 216 * scale || a.bottom > top + 216 * scale) bad.push("out: " + all[i].textContent);
		const thin = 0.15 * a.height; // above and below the letters a box is empty
		boxes.slice(0, i).forEach((b, k) => {
			if (a.left < b.right && b.left < a.right && a.top + thin < b.bottom - thin && b.top + thin < a.bottom - thin) bad.push(all[i].textContent + " over " + all[k].textContent);
		});
	});
	return bad.join("; ");
})()`

// The third form is taken only where it is asked for.
func TestAcceptOfThePlot(t *testing.T) {
	c := newCaller(t)
	for accept, want := range map[string]string{
		"":                                 transfer.JSON,
		"*/*":                              transfer.JSON,
		"image/*":                          transfer.SVG,
		"image/svg+xml, text/plain;q=0.9":  transfer.SVG,
		"image/svg+xml;q=0.3, text/plain":  transfer.Text + "; charset=utf-8",
		"image/avif,image/svg+xml,*/*;q=0": transfer.SVG,
		"image/png":                        "",
	} {
		w := ask(c.handler, request(http.MethodPost, woodPath, redOakAndPoplar, "Accept", accept))
		if want == "" {
			assert.Equal(t, http.StatusNotAcceptable, w.Code)
			assert.Equal(t, "The answer comes as application/json, text/plain and image/svg+xml.", problemIn(t, w).Detail)
			continue
		}
		assert.Equal(t, want, w.Header().Get("Content-Type"), accept)
		assert.Equal(t, "Accept, Accept-Language", w.Header().Get("Vary"))
		assert.Equal(t, "no-store", w.Header().Get("Cache-Control"))
	}
	assert.Equal(t, drawn(t, c.handler, redOakAndPoplar), drawn(t, c.handler, redOakAndPoplar), "the same bytes")
	assert.Equal(t, http.StatusNotAcceptable, ask(c.handler, request(http.MethodGet, "/v1/species", "", "Accept", "image/svg+xml")).Code)
}

func BenchmarkPlot(b *testing.B) {
	h := benchService(b)
	body := exampleOf(b, woodPath)
	r := request(http.MethodPost, woodPath, body, "Accept", transfer.SVG)
	repeat(b, func() {
		r.Body = io.NopCloser(strings.NewReader(body))
		w := sink{header: http.Header{}}
		h.ServeHTTP(&w, r)
		if w.status != http.StatusOK {
			b.Fatal(fmt.Sprint(w.status))
		}
	})
}
