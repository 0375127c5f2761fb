package service

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"maps"
	"math"
	"math/rand/v2"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/api"
	"snugtail/api/apitest"
	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/service/draw"
	"snugtail/service/message"
	"snugtail/service/read"
	"snugtail/service/strict"
	"snugtail/service/transfer"
)

const (
	drawingPath = "/v1/joint-drawings"
	sheetPath   = "/v1/setup-sheets"
)

// drawnSetups are set-ups whose drawings are as unlike as may be.
var drawnSetups = map[string]string{
	"one piece": `{"template":{"kind":"one_piece","pitch":22.225,"opening":12.35,"opening_reach":15.1,"finger_reach":13.9,"thickness":9.525},
		"bushing":{"id":"brass-1","diameter":11.1125,"bore":9.525,"barrel":7.94},"cutter":{"id":"1_2in_14deg","diameter":12.7,"angle":14,"cutting_length":12.7,"shank":6.35},
		"depth":11.1125,"pin_board":{"thickness":18.9,"width":177.8},"tail_board":{"thickness":12.7,"width":177.8}}`,
	"two positions, off axis": `{"template":{"kind":"two_position","tail_pass":{"opening":14.1,"finger":11.3,"opening_reach":5,"finger_reach":14},
		"pin_pass":{"opening":13.8,"finger":11.6,"opening_reach":16.2,"finger_reach":3},"thickness":8},"bushing":{"diameter":12,"bore":10,"barrel":6,"offset":{"x":0.05,"y":-0.1}},
		"cutter":{"diameter":13,"angle":12,"runout":0.02,"cutting_length":14,"shank":8},"depth":10.3,"pin_board":{"thickness":19},"tail_board":{"thickness":14}}`,
	"allowance alone": `{"template":{"kind":"allowance","allowance":2.5},"bushing":{"diameter":11.11},"cutter":{"diameter":12.7,"angle":14},"depth":11.1,"pin_board":{"thickness":18.8}}`,
	"proven":          `{"template":{"kind":"proven","cutter":{"diameter":12.7,"angle":14},"bushing":{"diameter":11.1},"depth":11.1},"bushing":{"diameter":11.1},"cutter":{"diameter":12.7,"angle":12},"depth":12.5}`,
	"interference": `{"template":{"kind":"one_piece","pitch":22.225,"opening":12.35,"opening_reach":15.1,"finger_reach":13.9,"thickness":9.5},"bushing":{"diameter":11.11,"bore":9.5,"barrel":8},
		"cutter":{"diameter":12.7,"angle":14,"cutting_length":12.7,"shank":6.35},"depth":11.9,"pin_board":{"thickness":18.9},"tail_board":{"thickness":12.5}}`,
	"shoulder open":    `{"template":{"kind":"one_piece","pitch":22.225,"opening":12.35,"thickness":9.5},"bushing":{"diameter":11.11},"cutter":{"diameter":12.7,"angle":14},"depth":{"pin_board":10.6,"tail_board":11.2},"pin_board":{"thickness":18.9}}`,
	"gap at the floor": `{"template":{"kind":"one_piece","pitch":22.225,"opening":12.35,"thickness":9.5},"bushing":{"diameter":11.11},"cutter":{"diameter":12.7,"angle":14},"depth":{"pin_board":11.1,"tail_board":10.3},"pin_board":{"thickness":18.9}}`,
	"thin side": `{"template":{"kind":"one_piece","pitch":22.225,"opening":12.35,"opening_reach":15.1,"finger_reach":13.9},"bushing":{"diameter":11.11},
		"cutter":{"diameter":12.7,"angle":14},"depth":10.9,"tail_board":{"thickness":6}}`,
	"of metres": `{"template":{"kind":"one_piece","pitch":800,"opening":500,"opening_reach":700,"finger_reach":500,"thickness":100},"bushing":{"diameter":200,"bore":150,"barrel":80},
		"cutter":{"diameter":280,"angle":20,"cutting_length":300},"depth":200,"pin_board":{"thickness":2000},"tail_board":{"thickness":1800}}`,
	"of hairs": `{"template":{"kind":"one_piece","pitch":0.5,"opening":0.3,"opening_reach":0.4,"finger_reach":0.3,"thickness":0.2},"bushing":{"diameter":0.2},"cutter":{"diameter":0.25,"angle":10},"depth":0.2}`,
	"will not clear": `{"template":{"kind":"one_piece","pitch":22.225,"opening":12.35,"thickness":9.5},"bushing":{"diameter":9,"bore":8,"barrel":12},"cutter":{"diameter":12.7,"angle":7,"cutting_length":9,"neck":5},
		"depth":6,"pin_board":{"thickness":6.5}}`,
}

func drawingRequest(setup, more string) string { return `{"setup":` + setup + more + `}` }

// asked posts and returns what comes as the media type asked for.
func asked(t require.TestingT, h http.Handler, path, body, media string) []byte {
	return askedIn(t, h, message.Default, path, body, media)
}

// askedIn is asked, in a language.
func askedIn(t require.TestingT, h http.Handler, language, path, body, media string) []byte {
	w := ask(h, request(http.MethodPost, path, body, "Accept", media, "Accept-Language", language))
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body.String())
	require.Equal(t, media, strings.TrimSuffix(w.Header().Get("Content-Type"), "; charset=utf-8"))
	return w.Body.Bytes()
}

// readSVG is a drawing as it was read back.
type readSVG struct {
	title, desc   string
	width, height float64
	texts         []readText
	views         map[string]*readView
}

type readText struct {
	box  draw.Box
	text string
}

// readView is a group with a scale, its outlines in mm of the joint, y up.
type readView struct {
	scale float64
	parts map[string][][]draw.Point
	lines map[string][][]draw.Point // of the dimensions, by what they measure
}

func readDrawn(t require.TestingT, svg []byte) *readSVG {
	r := &readSVG{views: map[string]*readView{}}
	decoder := xml.NewDecoder(bytes.NewReader(svg))
	var stack []map[string]string
	var view *readView
	var viewDepth int
	var measure string
	var text *readText
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			return r
		}
		require.NoError(t, err)
		switch token := token.(type) {
		case xml.StartElement:
			a := map[string]string{"": token.Name.Local}
			for _, attr := range token.Attr {
				require.NotContains(t, a, attr.Name.Local, "twice")
				require.NotContains(t, attr.Value, "NaN")
				require.NotContains(t, attr.Value, "Inf")
				a[attr.Name.Local] = attr.Value
			}
			stack = append(stack, a)
			switch {
			case a[""] == "svg":
				var left, top float64 // of a view that is cropped
				_, err := fmt.Sscanf(a["viewBox"], "%g %g %g %g", &left, &top, &r.width, &r.height)
				require.NoError(t, err)
				r.width, r.height = left+r.width, top+r.height
				if a["width"] != "" { // else it is shown as large as there is room
					require.Equal(t, fmt.Sprintf("%gmm", r.width), a["width"], "a unit is a mm")
				}
			case a["data-scale"] != "":
				view = &readView{scale: float(t, a["data-scale"]), parts: map[string][][]draw.Point{}, lines: map[string][][]draw.Point{}}
				viewDepth, r.views[a["id"]] = len(stack), view
			case a["data-measure"] != "":
				measure = a["data-measure"]
			case a[""] == "path" && view != nil && a["data-part"] != "":
				view.parts[a["data-part"]] = append(view.parts[a["data-part"]], scaled(readPath(t, a["d"]), view.scale))
			case a[""] == "path" && view != nil && measure != "" && a["stroke-width"] == "0.1":
				view.lines[measure] = append(view.lines[measure], scaled(readPath(t, a["d"]), view.scale))
			case a[""] == "text":
				text = &readText{box: textBox(t, a)}
			}
		case xml.CharData:
			switch name := stackTop(stack)[""]; name {
			case "title":
				r.title += string(token)
			case "desc":
				r.desc += string(token)
			case "text":
				text.text += string(token)
			}
		case xml.EndElement:
			if text != nil && token.Name.Local == "text" {
				r.texts, text = append(r.texts, *text), nil
			}
			if view != nil && len(stack) == viewDepth {
				view = nil
			}
			if stackTop(stack)["data-measure"] != "" {
				measure = ""
			}
			stack = stack[:len(stack)-1]
		}
	}
}

func stackTop(stack []map[string]string) map[string]string {
	if len(stack) == 0 {
		return nil
	}
	return stack[len(stack)-1]
}

func float(t require.TestingT, text string) float64 {
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return x
}

func textBox(t require.TestingT, a map[string]string) draw.Box {
	x, y, size, width := float(t, a["x"]), float(t, a["y"]), float(t, a["font-size"]), float(t, a["textLength"])
	before := map[string]float64{"middle": width / 2, "end": width}[a["text-anchor"]]
	if a["transform"] != "" { // a quarter turn to the left about its point
		require.Equal(t, "rotate(-90 "+a["x"]+" "+a["y"]+")", a["transform"])
		return draw.Box{Left: x - draw.Ascent*size, Top: y + before - width, Right: x + draw.Descent*size, Bottom: y + before}
	}
	return draw.Box{Left: x - before, Top: y - draw.Ascent*size, Right: x - before + width, Bottom: y + draw.Descent*size}
}

var pathPart = regexp.MustCompile(`([MLA])([^MLAZ]*)`)

// readPath reads the points of a path; an arc leaves its end.
func readPath(t require.TestingT, d string) []draw.Point {
	var all []draw.Point
	for _, part := range pathPart.FindAllStringSubmatch(d, -1) {
		numbers := strings.Fields(part[2])
		require.GreaterOrEqual(t, len(numbers), 2)
		last := len(numbers) - 2
		all = append(all, draw.Point{X: float(t, numbers[last]), Y: float(t, numbers[last+1])})
	}
	return all
}

func scaled(points []draw.Point, scale float64) []draw.Point {
	for i := range points {
		points[i] = draw.Point{X: points[i].X / scale, Y: -points[i].Y / scale}
	}
	return points
}

// assertReadable: every text lies within the page, none over another.
func assertReadable(t require.TestingT, r *readSVG) {
	const slack = 0.02 // texts are placed to 0.01 mm
	for i, a := range r.texts {
		require.True(t, a.box.Left >= -slack && a.box.Right <= r.width+slack && a.box.Top >= -slack && a.box.Bottom <= r.height+slack, "%q leaves the page: %v", a.text, a.box)
		for _, b := range r.texts[:i] {
			require.False(t, a.box.Left < b.box.Right-slack && b.box.Left < a.box.Right-slack && a.box.Top < b.box.Bottom-slack && b.box.Top < a.box.Bottom-slack,
				"%q covers %q", a.text, b.text)
		}
	}
}

// Every set-up's drawing can be read, in both units and on both papers, with
// any choice of views, and has title and description.
func TestDrawings(t *testing.T) {
	c := newCaller(t)
	for name, setup := range drawnSetups {
		t.Run(name, func(t *testing.T) {
			for _, more := range []string{
				``, `,"paper":"letter","job":"Chart cabinet <\"top\" & all>, 海図室"`, `,"views":["end_view"]`, `,"views":["plan"],"paper":"letter"`,
				`,"views":["cutter"]`, `,"views":["cutter","plan"]`, `,"views":["plan","end_view"]`, `,"exaggeration":50`, `,"exaggeration":1,"views":["end_view"]`,
			} {
				for language, titled := range map[string][2]string{"en": {"joint to scale", "depth of cut"}, "de": {"Verbindung im Maßstab", "Frästiefe"}} {
					svg := askedIn(t, c.handler, language, drawingPath, drawingRequest(setup, more), transfer.SVG)
					assert.Contains(t, string(svg), ` lang="`+language+`"`)
					r := readDrawn(t, svg)
					assertReadable(t, r)
					assert.Contains(t, r.title, titled[0])
					assert.Contains(t, r.desc, titled[1])
					assert.NotEmpty(t, r.texts)
					pdf := askedIn(t, c.handler, language, drawingPath, drawingRequest(setup, more), transfer.PDF)
					assert.Equal(t, 1, bytes.Count(pdf, []byte("/Type /Page ")))
					assert.Contains(t, string(pdf), "/Lang ("+language+")")
				}
			}
		})
	}
}

// The same in inches: sizes are stated in the request's unit.
func TestDrawingsInInches(t *testing.T) {
	c := newCaller(t)
	body := `{"units":"in","setup":{"template":{"kind":"one_piece","pitch":"7/8","opening":"12.35 mm"},"bushing":{"diameter":"7/16"},"cutter":{"diameter":"1/2","angle":14},"depth":"7/16"}}`
	r := readDrawn(t, asked(t, c.handler, drawingPath, body, transfer.SVG))
	assertReadable(t, r)
	all := allTexts(r)
	for _, text := range []string{"pitch 0.875", "depth of cut 0.4375", "cutter \u00d80.5", "Sizes in the drawing are in inches.", "flank 14\u00b0"} {
		assert.Contains(t, all, text)
	}
	assert.NotContains(t, all, "are in mm")
	r = readDrawn(t, askedIn(t, c.handler, "de", drawingPath, body, transfer.SVG))
	assertReadable(t, r)
	for _, text := range []string{"Teilung 0,875", "Frästiefe 0,4375", "Fräser \u00d80,5", "Maße in der Zeichnung in Zoll.", "Flanke 14\u00b0", "Maße in Zoll"} {
		assert.Contains(t, strings.ReplaceAll(allTexts(r), "\n", " "), text)
	}
}

func allTexts(r *readSVG) string {
	var all []string
	for _, text := range r.texts {
		all = append(all, text.text)
	}
	return strings.Join(all, "\n")
}

// spansAt are where a level line is inside the outlines, left to right.
func spansAt(rings [][]draw.Point, y float64) [][2]float64 {
	var all [][2]float64
	for _, ring := range rings {
		var xs []float64
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if (a.Y <= y) != (b.Y <= y) {
				xs = append(xs, a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y))
			}
		}
		for i := range xs {
			for k := i; k > 0 && xs[k] < xs[k-1]; k-- {
				xs[k], xs[k-1] = xs[k-1], xs[k]
			}
		}
		for i := 0; i+1 < len(xs); i += 2 {
			all = append(all, [2]float64{xs[i], xs[i+1]})
		}
	}
	return all
}

// What is drawn, measured back from the SVG, is what package joint says:
// widths, depths, lap and play, to the resolution of its coordinates.
func TestDrawnShapesMeasureAsTheJoint(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		body := s.body("mm", "")
		var in api.JointDrawingRequest
		require.NoError(t, json.Unmarshal([]byte(body), &in))
		setup, _ := read.New("mm", nil).Setup(in.Setup)
		j, err := joint.New(setup)
		if err != nil {
			t.Skip(err.Error())
		}
		view := readDrawn(t, asked(t, c.handler, drawingPath, body, transfer.SVG)).views["joint-end-view"]
		require.NotNil(t, view)
		// Coordinates are written to 0.0001 mm on paper; a width has two ends,
		// each of them a little further out for measuring inside of the corner.
		resolution := 4 * 0.0001 / view.scale
		near := func(want, got float64, what string) { require.InDelta(t, want, got, resolution, what) }

		front, side := view.parts["pin_board"], view.parts["tail_board"]
		floor, face := math.Inf(1), math.Inf(-1)
		outside := math.Inf(1)
		for _, p := range front[0] {
			outside = math.Min(outside, p.Y)
			face = math.Max(face, p.Y)
		}
		for _, p := range side[0] {
			floor = math.Min(floor, p.Y)
		}
		h := s.depth
		near(h, face-floor, "depth")
		lap, _ := j.Lap()
		shown := math.Min(lap.MM(), math.Max(1.2*h, 12)) // more is broken off
		near(shown, floor-outside, "lap")

		in9 := 1e-3 // just inside the ends of the flanks
		lean := 2 * in9 * setup.Cutter.Angle.Tan()
		w, _ := j.Widths()
		pins, tails := spansAt(front, face-in9), spansAt(side, floor+in9)
		near(w.PinWidest.MM()-lean, pins[1][1]-pins[1][0], "pin")
		near(w.TailWidest.MM()-lean, tails[0][1]-tails[0][0], "tail")
		roots := spansAt(front, floor+in9)
		near(w.PinRoot.MM()+lean, roots[1][1]-roots[1][0], "pin root")
		near(w.TailSocketWidest.MM()-lean, roots[1][0]-roots[0][1], "tail socket")
		shoulder := spansAt(side, face-in9)
		near(w.TailRoot.MM()+lean, shoulder[0][1]-shoulder[0][0], "tail root")
		near(w.PinSocketWidest.MM()-lean, shoulder[1][0]-shoulder[0][1], "pin socket")
		middle := (floor + face) / 2
		a, b := spansAt(front, middle), spansAt(side, middle)
		near(j.Play().MM(), a[1][0]-a[0][1]-(b[0][1]-b[0][0]), "play")

		for name, want := range map[string]float64{
			"pin_widest": w.PinWidest.MM(), "pin_root": w.PinRoot.MM(), "tail_widest": w.TailWidest.MM(), "tail_root": w.TailRoot.MM(),
			"pin_socket_widest": w.PinSocketWidest.MM(), "tail_socket_widest": w.TailSocketWidest.MM(), "pitch": s.pitch,
		} {
			near(want, dimensionLine(view, name, false), name)
		}
		near(h, dimensionLine(view, "depth", true), "depth's line")
		near(shown, dimensionLine(view, "lap", true), "lap's line")
	})
}

// The cutter's outline, measured back, is the cutter: as wide as its tip there,
// narrower by its angle above, up to where it is broken off or ends; and the
// slot in the wood is as wide as the cutter at the face.
func TestDrawnCutterMeasuresAsTheCutter(t *testing.T) {
	c := newCaller(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawSetup(t)
		view := readDrawn(t, asked(t, c.handler, drawingPath, s.body("mm", ""), transfer.SVG)).views["joint-cutter"]
		require.NotNil(t, view)
		require.NotEmpty(t, view.parts["cutter"])
		tip, top := math.Inf(1), math.Inf(-1)
		for _, p := range view.parts["cutter"][0] {
			tip, top = math.Min(tip, p.Y), math.Max(top, p.Y)
		}
		face := tip + s.depth
		tan := math.Tan(s.angle * math.Pi / 180)
		resolution := 4 * 0.0001 / view.scale
		require.GreaterOrEqual(t, top, face-resolution, "it is shown as deep as it cuts, at the least")
		for _, share := range []float64{0.01, 0.3, 0.7, 0.99} {
			z := share * (top - tip)
			spans := spansAt(view.parts["cutter"], tip+z)
			require.Len(t, spans, 1)
			require.InDelta(t, s.cutter-2*z*tan, spans[0][1]-spans[0][0], resolution, "%g of its height", share)
		}
		slot := spansAt(view.parts["wood"], face-1e-3)
		require.Len(t, slot, 2, "wood on both sides")
		require.InDelta(t, s.cutter-2*(s.depth-1e-3)*tan, slot[1][0]-slot[0][1], resolution)
	})
}

// dimensionLine is how long the one level line of a dimension is, or the
// upright one.
func dimensionLine(v *readView, name string, upright bool) float64 {
	longest := 0.0
	for _, line := range v.lines[name] {
		a, b := line[0], line[1]
		if (a.X == b.X) == upright && (a.Y == b.Y) != upright {
			longest = math.Max(longest, math.Hypot(b.X-a.X, b.Y-a.Y))
		}
	}
	return longest
}

// Play drawn larger is larger by the factor that the drawing states.
func TestDrawnLarger(t *testing.T) {
	c := newCaller(t)
	for _, row := range []struct {
		setup, more string
		want        float64 // of the gap, over the play
		says        string
	}{
		{"one piece", "", 5, "drawn 5 times"}, // play 0.11
		{"one piece", `,"exaggeration":12.5`, 12.5, "drawn 12.5 times"},
		{"interference", "", 2, "drawn 2 times"}, // -0.28
		// More than 60 % of the socket at the shoulder's height, S_p - g + 2 r(h),
		// is not drawn as play: 0.6 (500 - 200 + 280 - 400 tan 20) / 214.41.
		{"of metres", `,"exaggeration":2`, 1.2156, "drawn 1.22 times"},
	} {
		r := readDrawn(t, asked(t, c.handler, drawingPath, drawingRequest(drawnSetups[row.setup], row.more), transfer.SVG))
		view := r.views["joint-play-larger"]
		require.NotNil(t, view, row.setup)
		a, b := view.parts["pin_board"], view.parts["tail_board"]
		floor := math.Inf(1)
		for _, p := range b[0] {
			floor = math.Min(floor, p.Y)
		}
		pins, tail := spansAt(a, floor+0.1), spansAt(b, floor+0.1)
		gap := pins[1][0] - pins[0][1] - (tail[0][1] - tail[0][0])
		var in api.JointDrawingRequest
		require.NoError(t, json.Unmarshal([]byte(drawingRequest(drawnSetups[row.setup], "")), &in))
		setup, _ := read.New("mm", nil).Setup(in.Setup)
		j, err := joint.New(setup)
		require.NoError(t, err)
		assert.InDelta(t, row.want, gap/j.Play().MM(), 0.005, row.setup)
		assert.Contains(t, allTexts(r), row.says)
	}
	r := readDrawn(t, asked(t, c.handler, drawingPath, drawingRequest(drawnSetups["one piece"], `,"exaggeration":1`), transfer.SVG))
	assert.NotContains(t, r.views, "joint-play-larger", "as it is, it is drawn already")
}

// What a set-up leaves open is said, and nothing is drawn for it.
func TestDrawingsSayWhatIsNotKnown(t *testing.T) {
	c := newCaller(t)
	note := func(code string) string { return english(t).Of("drawing.note." + code) }
	for setup, want := range map[string][]string{
		"allowance alone": {note("widths_unknown"), note("plan_unknown"), note("template_unknown"), note("barrel_unknown"), note("flank_unknown")},
		"shoulder open":   {note("ends_unknown"), "shoulder open 0.6", note("barrel_unknown")},
		"interference":    {note("jammed"), note("overlap"), "proud"},
		"thin side":       {"nose", note("template_unknown")},
		"will not clear":  {"flare cuts"},
	} {
		r := readDrawn(t, asked(t, c.handler, drawingPath, drawingRequest(drawnSetups[setup], ""), transfer.SVG))
		for _, text := range want {
			if setup == "thin side" && text == "nose" {
				continue // its nose is cut off
			}
			assert.Contains(t, allTexts(r), text, setup)
		}
		if setup == "allowance alone" {
			assert.NotContains(t, r.views, "joint-plan")
			assert.NotContains(t, allTexts(r), "pin, face")
		}
	}
}

func TestDrawingsAreTheSameEveryTime(t *testing.T) {
	c, replica := newCaller(t), newCaller(t)
	for _, path := range []string{drawingPath, sheetPath} {
		for _, media := range []string{transfer.SVG, transfer.PDF} {
			body := drawingRequest(drawnSetups["one piece"], "")
			first := asked(t, c.handler, path, body, media)
			assert.Equal(t, first, asked(t, c.handler, path, body, media))
			assert.Equal(t, first, asked(t, replica.handler, path, body, media))
		}
	}
}

// Refusals are problems, whatever was asked for, with every bad field.
func TestRefusedDrawings(t *testing.T) {
	c := newCaller(t)
	one := drawnSetups["one piece"]
	for name, row := range map[string]struct {
		path, body, accept string
		status             int
		pointers           []string
	}{
		"no JSON":         {drawingPath, drawingRequest(one, ""), transfer.JSON, 406, nil},
		"no JSON of that": {sheetPath, drawingRequest(one, ""), transfer.JSON, 406, nil},
		"no text":         {drawingPath, drawingRequest(one, ""), transfer.Text, 406, nil},
		"many at once": {
			drawingPath, drawingRequest(one, `,"views":["front"],"exaggeration":0.5,"paper":"a3","job":"a\u0007","target":{},"explain":true`), transfer.SVG, 400,
			[]string{"#/exaggeration", "#/explain", "#/job", "#/paper", "#/target", "#/views/0"},
		},
		"a long job":  {sheetPath, drawingRequest(one, `,"job":"`+strings.Repeat("x", 101)+`"`), transfer.PDF, 400, []string{"#/job"}},
		"no view":     {drawingPath, drawingRequest(one, `,"views":[]`), transfer.PDF, 400, []string{"#/views"}},
		"views there": {sheetPath, drawingRequest(one, `,"views":["plan"],"exaggeration":2`), transfer.PDF, 400, []string{"#/exaggeration", "#/views"}},
		"no length":   {drawingPath, drawingRequest(strings.Replace(one, `"depth":11.1125`, `"depth":"deep"`, 1), ""), transfer.SVG, 400, []string{"#/setup/depth"}},
		"too deep":    {drawingPath, drawingRequest(strings.Replace(one, `"depth":11.1125`, `"depth":20`, 1), ""), transfer.SVG, 422, []string{"#/setup/depth"}},
		"too deep, cut": {
			sheetPath, drawingRequest(one, `,"test_cuts":[{"depth":20}]`), transfer.Text, 422, []string{"#/test_cuts/0/depth"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			w := ask(c.handler, request(http.MethodPost, row.path, row.body, "Accept", row.accept))
			require.Equal(t, row.status, w.Code, w.Body)
			var pointers []string
			for _, field := range problemIn(t, w).Errors {
				pointers = append(pointers, field.Pointer)
			}
			assert.ElementsMatch(t, row.pointers, pointers)
		})
	}
}

func TestFormsOfDrawings(t *testing.T) {
	c := newCaller(t)
	for _, row := range []struct{ path, accept, want string }{
		{drawingPath, "", transfer.SVG},
		{drawingPath, "*/*", transfer.SVG},
		{drawingPath, "text/html, application/pdf;q=0.9, image/*;q=0.8", transfer.PDF},
		{sheetPath, "", transfer.PDF},
		{sheetPath, "text/*", transfer.Text + "; charset=utf-8"},
		{sheetPath, "image/*, */*;q=0.1", transfer.SVG},
	} {
		w := ask(c.handler, request(http.MethodPost, row.path, drawingRequest(drawnSetups["one piece"], ""), "Accept", row.accept))
		require.Equal(t, http.StatusOK, w.Code)
		assert.Equal(t, row.want, w.Header().Get("Content-Type"), row)
		assert.Equal(t, "Accept, Accept-Language", w.Header().Get("Vary"))
	}
}

// Every example of the contract is drawn.
func TestDrawingExamples(t *testing.T) {
	c := newCaller(t)
	for _, path := range []string{drawingPath, sheetPath} {
		op := c.contract.Paths.Value(path).Post
		for _, example := range op.RequestBody.Value.Content.Get(transfer.JSON).Examples {
			body := withMembers(t, example.Value.Value, nil)
			for media := range op.Responses.Status(http.StatusOK).Value.Content {
				out := asked(t, c.handler, path, body, media)
				if media == transfer.SVG {
					assertReadable(t, readDrawn(t, out))
					assertReadable(t, readDrawn(t, askedIn(t, c.handler, "de", path, body, media)))
				}
			}
		}
	}
}

// A record says of a set-up what test cuts taught: the drawing shows that play.
func TestDrawingOfARecord(t *testing.T) {
	c := newCaller(t)
	first := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", recordBody)
	raw, err := json.Marshal(first.Record)
	require.NoError(t, err)
	setup := fmt.Sprintf(`{"record":%s,"bushing":{"id":"ours","diameter":"7/16 in"},"cutter":{"id":"old","diameter":"1/2 in","angle":14},"depth":10}`, raw)
	predicted := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", drawingRequest(setup, ""))
	r := readDrawn(t, asked(t, c.handler, drawingPath, drawingRequest(setup, ""), transfer.SVG))
	assert.Contains(t, allTexts(r), "play "+strings.TrimSuffix(length.Length(predicted.Fit.Play.MM).Decimal(length.UnitMillimetre), " mm"))
}

// Target: under 5 ms.
func BenchmarkDrawing(b *testing.B) {
	s, err := New(Config{})
	require.NoError(b, err)
	for _, media := range []string{transfer.SVG, transfer.PDF} {
		b.Run(media, func(b *testing.B) { benchmarkForm(b, s.Handler(), drawingPath, media, "") })
	}
}

func benchmarkForm(b *testing.B, h http.Handler, path, media, more string) {
	body := drawingRequest(drawnSetups["one piece"], more)
	b.ReportAllocs()
	for b.Loop() {
		if w := ask(h, request(http.MethodPost, path, body, "Accept", media)); w.Code != http.StatusOK {
			b.Fatal(w.Body)
		}
	}
}

// Whatever a request says, what is drawn of it can be read: changed requests,
// of which some are still good.
func TestChangedRequestsAreReadable(t *testing.T) {
	c := newCaller(t)
	bodies := map[string][]string{sheetPath: {fullest("a4"), fullest("letter")}}
	for _, name := range slices.Sorted(maps.Keys(drawnSetups)) {
		setup := drawnSetups[name]
		bodies[drawingPath] = append(bodies[drawingPath], drawingRequest(setup, `,"views":["plan","end_view","cutter"],"exaggeration":4,"paper":"letter"`))
		bodies[sheetPath] = append(bodies[sheetPath], drawingRequest(setup, `,"test_cuts":[{"depth":10,"pulled_gap":0.4,"seat":0.6}]`))
	}
	for path, all := range bodies {
		drawn, tried := 0, 0
		for i, body := range all {
			value, _, broken := strict.Parse(body, 0, strict.Skim{})
			require.Nil(t, broken)
			r := rand.New(rand.NewPCG(uint64(i), 3))
			pool := append(apitest.Gather(value, nil), apitest.Edges()...)
			for range apitest.Rounds(80, 250*time.Millisecond) {
				changed, err := json.Marshal(apitest.MutantOf(r, value, pool))
				require.NoError(t, err)
				w := ask(c.handler, request(http.MethodPost, path, string(changed), "Accept", transfer.SVG))
				tried++
				if w.Code != http.StatusOK {
					require.Contains(t, []int{400, 422}, w.Code, "%s", changed)
					continue
				}
				drawn++
				assertReadable(named{t, string(changed)}, readDrawn(t, w.Body.Bytes()))
				assertReadable(named{t, string(changed)}, readDrawn(t, askedIn(t, c.handler, "de", path, string(changed), transfer.SVG)))
			}
		}
		t.Logf("%s: %d of %d drawn", path, drawn, tried)
		assert.Greater(t, drawn, tried/40, path)
	}
}

// named is a test that says of which request a failure is.
type named struct {
	*testing.T
	request string
}

func (n named) FailNow() {
	n.Log(n.request)
	n.T.FailNow()
}

// The corner of a drawer: pins and tails lie where /v1/layouts says, both as the
// outlines are drawn and as the numbers beside them say, whatever the width.
func TestDrawnCorner(t *testing.T) {
	c := newCaller(t)
	setup := drawnSetups["one piece"]
	for _, width := range []string{"133.35", "60", "101.3", "400", "1999"} {
		for _, more := range []string{``, `,"views":["corner","plan"]`, `,"views":["corner","end_view","cutter"],"paper":"letter"`} {
			l := answerOf[api.LayoutAnswer](t, c, "/v1/layouts", drawingRequest(setup, `,"board_width":`+width)).Layout
			svg := asked(t, c.handler, drawingPath, drawingRequest(setup, `,"board_width":`+width+more), transfer.SVG)
			r := readDrawn(t, svg)
			assertReadable(t, r)
			assertReadable(t, readDrawn(t, askedIn(t, c.handler, "de", drawingPath, drawingRequest(setup, `,"board_width":`+width+more), transfer.SVG)))
			require.Contains(t, r.views, "joint-corner")
			view := r.views["joint-corner"]
			if width == "1999" {
				continue // the outlines' figures are rounded on paper
			}
			assertCorners(t, view.parts["tail_board"], l.TailBoard.Tails)
			assertCorners(t, view.parts["pin_board"], l.PinBoard.TailSockets)
			for _, p := range l.PinBoard.Pins {
				for _, at := range []api.Length{p.From, p.To} {
					assert.Contains(t, string(svg), `data-position="`+strconv.FormatFloat(at.MM, 'f', -1, 64)+`"`)
				}
			}
			if width == "133.35" {
				whole := l.PinBoard.Pins[1]
				assert.True(t, slices.ContainsFunc(r.texts, func(x readText) bool { return x.text+" mm" == whole.From.Text }), "%s", whole.From.Text)
			}
		}
	}
	assert.Equal(t, 1, bytes.Count(asked(t, c.handler, drawingPath, drawingRequest(setup, `,"board_width":120`), transfer.PDF), []byte("/Type /Page ")))
}

// assertCorners: every end of the parts is a corner of the one outline, from its
// left edge.
func assertCorners(t *testing.T, outlines [][]draw.Point, parts []api.LayoutPart) {
	t.Helper()
	require.Len(t, outlines, 1)
	left := math.Inf(1)
	for _, p := range outlines[0] {
		left = min(left, p.X)
	}
	has := func(x float64) bool {
		return slices.ContainsFunc(outlines[0], func(p draw.Point) bool { return math.Abs(p.X-left-x) < 0.02 })
	}
	require.NotEmpty(t, parts)
	for _, p := range parts {
		for _, at := range []api.Length{p.From, p.To, p.NarrowFrom, p.NarrowTo} {
			assert.True(t, has(at.MM), "%g is no corner", at.MM)
		}
	}
}

// A corner needs a width, and a template that is known by its openings.
func TestRefusedCorners(t *testing.T) {
	c := newCaller(t)
	for name, row := range map[string]struct{ setup, more, pointer string }{
		"no width":      {"one piece", `,"views":["plan","corner"]`, "#/views/1"},
		"no openings":   {"allowance alone", `,"board_width":100`, "#/board_width"},
		"no length":     {"one piece", `,"board_width":"wide"`, "#/board_width"},
		"too wide":      {"of hairs", `,"board_width":300`, "#/board_width"},
		"five views":    {"one piece", `,"board_width":100,"views":["plan","corner","cutter","end_view","plan"]`, "#/views"},
		"out of bounds": {"one piece", `,"board_width":3000`, "#/board_width"},
	} {
		t.Run(name, func(t *testing.T) {
			w := ask(c.handler, request(http.MethodPost, drawingPath, drawingRequest(drawnSetups[row.setup], row.more), "Accept", transfer.SVG))
			require.Equal(t, http.StatusBadRequest, w.Code, w.Body)
			problem := problemIn(t, w)
			require.NotEmpty(t, problem.Errors)
			assert.Equal(t, row.pointer, problem.Errors[0].Pointer)
		})
	}
}

// End view and plan stand one above the other at one scale: in first angle the plan
// below, on letter paper above, as the title block's symbol says.
func TestViewsAreInProjection(t *testing.T) {
	c := newCaller(t)
	for paper, row := range map[string]struct {
		symbol string
		below  bool
	}{"a4": {"first_angle", true}, "letter": {"third_angle", false}} {
		svg := asked(t, c.handler, drawingPath, drawingRequest(drawnSetups["one piece"], `,"paper":"`+paper+`"`), transfer.SVG)
		r := readDrawn(t, svg)
		end, plan := r.views["joint-end-view"], r.views["joint-plan"]
		require.NotNil(t, end)
		require.NotNil(t, plan)
		scales := regexp.MustCompile(`id="joint-(?:end-view|plan)" data-scale="([0-9.]+)"`).FindAllSubmatch(svg, -1)
		require.Len(t, scales, 2)
		assert.Equal(t, scales[0][1], scales[1][1], "one scale")
		left, low := leftmost(end.parts["pin_board"][0]), end.parts["pin_board"][0][0].Y
		assert.InDelta(t, left, leftmost(plan.parts["pin_board"][0]), 2e-4, "one above the other")
		assert.Equal(t, row.below, plan.parts["pin_board"][0][0].Y < low, "%s: y points up in what is read", paper)
		assert.Contains(t, string(svg), `data-projection="`+row.symbol+`"`)
		for _, text := range []string{"Title", "Scale", "Date", "Drawn for", draw.ScaleText(float(t, string(scales[0][1])))} {
			assert.Contains(t, allTexts(r), text)
		}
	}
}

func leftmost(ring []draw.Point) float64 {
	least := math.Inf(1)
	for _, p := range ring {
		least = math.Min(least, p.X)
	}
	return least
}

// A drawing names no depth but its own.
func TestDrawingsNameNoOtherDepth(t *testing.T) {
	c := newCaller(t)
	for name, setup := range drawnSetups {
		svg := string(asked(t, c.handler, drawingPath, drawingRequest(setup, ""), transfer.SVG))
		assert.NotContains(t, svg, "depth for the target", name)
		assert.NotContains(t, svg, "best depth", name)
	}
}

// An overlap within a hand fit is drawn pressed home and marked; a larger one where
// the boards first touch.
func TestPlanOfAHandFitIsPressedHome(t *testing.T) {
	c := newCaller(t)
	const setup = `{"template":{"kind":"one_piece","pitch":22.225,"opening":12.35,"opening_reach":14,"finger_reach":9.5},"bushing":{"diameter":11.11},` +
		`"cutter":{"diameter":12.7,"angle":14},"depth":%s,"pin_board":{"thickness":18.9},"tail_board":{"thickness":12.7}}`
	for depth, pressed := range map[string]bool{"11.4": true, "11.8": false} {
		r := readDrawn(t, asked(t, c.handler, drawingPath, drawingRequest(fmt.Sprintf(setup, depth), ""), transfer.SVG))
		assert.Equal(t, pressed, strings.Contains(allTexts(r), english(t).Of("drawing.note.pressed")), depth)
		assert.Equal(t, !pressed, strings.Contains(allTexts(r), english(t).Of("drawing.note.jammed")), depth)
		assert.Len(t, r.views["joint-plan"].parts["overlap"], map[bool]int{true: 2}[pressed], depth)
	}
}
