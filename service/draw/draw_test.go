package draw

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/length"
	"snugtail/joint/shape"
)

func TestTextWidth(t *testing.T) {
	for _, row := range []struct {
		text string
		font Font
		want float64 // thousandths of the size: Adobe Font Metrics of Helvetica, Core 14, to which ours is cut
	}{
		{"", Regular, 0},
		{"i", Regular, 222},
		{"W", Regular, 944},
		{"W", Bold, 944},
		{"0.5 mm", Regular, 556 + 278 + 556 + 278 + 833 + 833},
		{"joint", Bold, 278 + 611 + 278 + 611 + 333},
		{"Ä", Regular, 667},
		{"€", Regular, 556},
		{"海", Regular, 1000},
	} {
		assert.InDelta(t, row.want*3/1000, TextWidth(row.text, 3, row.font), 0.0005*3*float64(len(row.text)), row.text)
	}
}

func TestAppendNumber(t *testing.T) {
	for _, row := range []struct {
		x     float64
		steps int64
		want  string
	}{
		{0, 100, "0"},
		{math.Copysign(0, -1), 100, "0"},
		{-0.001, 100, "0"},
		{1.5, 100, "1.5"},
		{-1.25, 10000, "-1.25"},
		{5.55625, 10000, "5.5563"},         // 7/16 in / 2: half-way, away from zero
		{5.55625 - 1e-15, 10000, "5.5563"}, // but for the last binary digits
		{-5.55625 + 1e-15, 10000, "-5.5563"},
		{210, 100, "210"},
		{0.05, 100, "0.05"},
		{99.999, 100, "100"},
	} {
		assert.Equal(t, row.want, string(appendNumber(nil, row.x, row.steps)), "%v", row.x)
	}
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-5000, 5000).Draw(t, "x")
		got, err := strconv.ParseFloat(string(appendNumber(nil, x, 10000)), 64)
		require.NoError(t, err)
		require.InDelta(t, x, got, 0.5e-4+1e-9)
	})
}

// Lines are as wide as they may be at the most, words stay in order, and only
// words longer than a line are broken.
func TestWrapped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.StringMatching(`[A-Za-z0-9äß.,;()-]{1,30}`), 0, 20).Draw(t, "words")
		width := rapid.Float64Range(5, 60).Draw(t, "width")
		text := strings.Join(words, " ")
		lines := wrapped(text, 3, Regular, width, width-1)
		for _, line := range lines {
			require.LessOrEqual(t, TextWidth(line, 3, Regular), width+1e-9, line)
		}
		require.Equal(t, strings.ReplaceAll(text, " ", ""), strings.ReplaceAll(strings.Join(lines, ""), " ", ""))
		whole := 0
		for _, word := range words {
			if TextWidth(word, 3, Regular) <= width-1 {
				whole++
				require.Contains(t, strings.Join(lines, " "), word)
			}
		}
		require.Equal(t, len(words) == 0, len(lines) == 0, whole)
	})
}

func TestFlowMeasuresAsItWrites(t *testing.T) {
	p := &Page{}
	write := func(f *Flow) float64 {
		f.Text("Cut one slot in scrap and measure it in the wood.", Bold)
		f.Hang(2, "Blow it out, and measure in the middle, not at its end.", Regular)
		f.Row("a name that is long", "a value", 12, Regular)
		f.Skip(0.5)
		return f.Y
	}
	measured := write(&Flow{Width: 30, Size: 3})
	written := write(&Flow{Page: p, Width: 30, Size: 3})
	assert.Equal(t, measured, written)
	assert.Greater(t, len(p.items), 6)
	for _, it := range p.items {
		b := it.text.Box()
		assert.LessOrEqual(t, b.Right, 30.0)
		assert.True(t, b.Top >= -0.01 && b.Bottom <= measured, "%+v", it.text)
	}
}

// Every point of a hatching's lines is within the area, and the lines together
// are as long as the area is large, over the gap.
func TestHatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.Float64Range(0, 100).Draw(t, "x"), rapid.Float64Range(0, 100).Draw(t, "y")
		w, h := rapid.Float64Range(5, 50).Draw(t, "w"), rapid.Float64Range(5, 50).Draw(t, "h")
		hatching := Hatching{Degrees: rapid.Float64Range(0, 180).Draw(t, "degrees"), Gap: 0.2, Pen: Hair}
		total := 0.0
		for _, line := range hatching.lines([]Path{Rect(x, y, w, h)}) {
			for _, p := range []Point{line.Start, line.Segs[0].To} {
				require.True(t, p.X > x-1e-6 && p.X < x+w+1e-6 && p.Y > y-1e-6 && p.Y < y+h+1e-6)
			}
			total += math.Hypot(line.Segs[0].To.X-line.Start.X, line.Segs[0].To.Y-line.Start.Y)
		}
		require.InDelta(t, w*h, total*hatching.Gap, 0.02*w*h+0.2*(w+h))
	})
}

func TestHatchLeavesHolesOut(t *testing.T) {
	for _, line := range (Hatching{Degrees: 0, Gap: 1, Pen: Hair}).lines([]Path{Rect(0, 0, 30, 30), Rect(10, 10, 10, 10)}) {
		if y := line.Start.Y; y > 10 && y < 20 {
			assert.True(t, line.Segs[0].To.X <= 10+1e-9 || line.Start.X >= 20-1e-9, "%+v", line)
		}
	}
}

// An arc's points are as far from its centre as its radius, on the side it
// bends to, and its Bezier curve keeps to it.
func TestArcs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0.5, 50).Draw(t, "radius")
		a0, sweep := rapid.Float64Range(0, 2*math.Pi).Draw(t, "from"), rapid.Float64Range(0.01, math.Pi/2).Draw(t, "sweep")
		clockwise := rapid.Bool().Draw(t, "clockwise") // as seen with y down: growing angles
		if !clockwise {
			sweep = -sweep
		}
		at := func(a float64) Point { return Point{20 + r*math.Cos(a), 30 + r*math.Sin(a)} }
		from, s := at(a0), Seg{To: at(a0 + sweep), Radius: r, Clockwise: clockwise}
		a := arcOf(from, s)
		require.InDelta(t, 20, a.centre.X, 1e-6*r+1e-6)
		require.InDelta(t, 30, a.centre.Y, 1e-6*r+1e-6)
		require.InDelta(t, sweep, a.turned, 1e-6)

		w := &pdfContent{page: &Page{Height: 100}}
		w.arc(from, s)
		var c [6]float64
		_, err := fmt.Sscan(w.String(), &c[0], &c[1], &c[2], &c[3], &c[4], &c[5])
		require.NoError(t, err)
		for i := range 9 {
			u := float64(i+1) / 10
			v := 1 - u
			x := v*v*v*from.X*PointsPerMM + 3*v*v*u*c[0] + 3*v*u*u*c[2] + u*u*u*c[4]
			y := v*v*v*(100-from.Y)*PointsPerMM + 3*v*v*u*c[1] + 3*v*u*u*c[3] + u*u*u*c[5]
			require.InDelta(t, r, math.Hypot(x/PointsPerMM-20, 100-y/PointsPerMM-30), 3e-4*r+1e-3)
		}
	})
}

// trial is a page with something of everything.
func trial() *Page {
	p := &Page{Name: "trial", Width: 210, Height: 297, Title: "Trial & <error> 海", Desc: "All that a page may hold."}
	p.Begin(Title, "")
	p.Write(Text{At: Point{10, 20}, Size: 5, Font: Bold, Text: "Łódź, Ωμέγα, Причал"})
	p.End()
	p.Begin(Picture, "Shapes")
	p.Group("id", "trial-shapes", "data-scale", "2")
	p.Draw(Rect(10, 10, 50, 20), Style{Pen: Thick, Fill: White}, "data-part", `a "part"`)
	p.Hatch(Hatching{Degrees: 45, Gap: 2, Pen: Hair}, Rect(10, 10, 50, 20))
	p.Draw(Path{Start: Point{20, 60}, Segs: []Seg{{To: Point{30, 50}, Radius: 10, Clockwise: true}, {To: Point{40, 60}, Radius: 10, Clockwise: true}}}, Style{Pen: Thin, Dash: []float64{2, 1}})
	p.Draw(Rect(100, 10, 5, 5), Style{Fill: Black})
	p.EndGroup()
	p.End()
	p.Write(Text{At: Point{10, 100}, Size: 3, Text: `Left (round) \ slash`})
	p.Write(Text{At: Point{100, 100}, Size: 3, Anchor: Middle, Font: Bold, Text: "Mitte äöü €"})
	p.Write(Text{At: Point{200, 100}, Size: 3, Anchor: End, Text: "海図室 <&>"})
	p.Write(Text{At: Point{10, 110}, Size: 3})
	p.Draw(Line(Point{10, 200}, Point{20, 210}), Style{Pen: Thin, Ink: Blue})
	p.Draw(Rect(30, 200, 5, 5), Style{Fill: Pale})
	p.Write(Text{At: Point{50, 200}, Size: 3, Anchor: End, Turned: true, Text: "up"})
	return p
}

func TestSVG(t *testing.T) {
	svg := trial().SVG()
	decoder := xml.NewDecoder(bytes.NewReader(svg))
	var names, texts []string
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		switch token := token.(type) {
		case xml.StartElement:
			names = append(names, token.Name.Local)
		case xml.CharData:
			if text := strings.TrimSpace(string(token)); text != "" {
				texts = append(texts, text)
			}
		}
	}
	assert.Equal(t, []string{"svg", "title", "desc", "rect", "g", "text", "g", "path", "path", "path", "path", "text", "text", "text", "path", "path", "text"}, names)
	assert.Equal(t, []string{"Trial & <error> 海", "All that a page may hold.", "Łódź, Ωμέγα, Причал", `Left (round) \ slash`, "Mitte äöü €", "海図室 <&>", "up"}, texts)
	assert.Contains(t, string(svg), ` stroke="#0b3d91" stroke-width="0.18" d="M10 200L20 210"`)
	assert.Contains(t, string(svg), ` fill="#e2e2e2" d="M30 200`)
	assert.Contains(t, string(svg), ` text-anchor="end" textLength="3.34" lengthAdjust="spacingAndGlyphs" transform="rotate(-90 50 200)" fill="#000">up<`)
	fluid := trial()
	fluid.Fluid = true
	assert.Contains(t, string(fluid.SVG()), `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 210 297"`)
	assert.Contains(t, string(svg), `width="210mm" height="297mm" viewBox="0 0 210 297"`)
	assert.Contains(t, string(svg), `data-part="a &#34;part&#34;"`)
	assert.Contains(t, string(svg), `d="M20 60A10 10 0 0 1 30 50A10 10 0 0 1 40 60"`)
}

// figure is a figure of whatever a figure may hold.
func figure(t *rapid.T) *Figure {
	number := func(name string, from, to float64) float64 { return rapid.Float64Range(from, to).Draw(t, name) }
	b := shape.Box{Left: number("left", -50, 0), Bottom: number("bottom", -50, 0), Right: number("right", 1, 100), Top: number("top", 1, 100)}
	f := &Figure{Name: "figure", Caption: "A figure", View: &shape.View{Bounds: b}, TextSize: 3, Notes: []string{"A note on it."}}
	for range rapid.IntRange(0, 10).Draw(t, "dims") {
		d := Dim{
			Name: "size", Side: Side(rapid.IntRange(0, 3).Draw(t, "side")),
			From: shape.Point{X: number("x1", b.Left, b.Right), Y: number("y1", b.Bottom, b.Top)},
			To:   shape.Point{X: number("x2", b.Left, b.Right), Y: number("y2", b.Bottom, b.Top)},
		}
		if rapid.Bool().Draw(t, "upright") {
			d.To.X = d.From.X
		}
		d.Lines = []string{rapid.StringMatching(`[a-z ]{1,20} [0-9.]{1,6}`).Draw(t, "text")}
		if d.Side > Below && rapid.Bool().Draw(t, "two lines") {
			d.Lines = append(d.Lines, "12.7")
		}
		f.Dims = append(f.Dims, d)
	}
	return f
}

// Whatever a figure's dimensions, no text covers another and none leaves what
// the figure says it takes.
func TestFigureLabelsDoNotOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := figure(t)
		p := &Page{Name: "p", Width: 297, Height: 210}
		in, taken := Box{10, 10, 200, 10}, Box{}
		if rapid.Bool().Draw(t, "fit") {
			in = Box{10, 10, rapid.Float64Range(60, 250).Draw(t, "right"), rapid.Float64Range(60, 200).Draw(t, "lower")}
			_, taken = f.Fit(p, in)
		} else {
			taken = f.FitAt(p, in, 1)
		}
		require.InDelta(t, (in.Left+in.Right)/2, (taken.Left+taken.Right)/2, 1e-9, "it stands in the middle")
		require.InDelta(t, in.Top, taken.Top, 1e-9, "at the upper edge")
		var boxes []Box
		for _, it := range p.items {
			if it.kind != itemText {
				continue
			}
			b := it.text.Box()
			const slack = 0.01
			require.True(t, b.Left >= taken.Left-slack && b.Right <= taken.Right+slack && b.Top >= taken.Top-slack && b.Bottom <= taken.Bottom+slack, "%q %v leaves %v", it.text.Text, b, taken)
			for _, o := range boxes {
				require.False(t, b.Left < o.Right-slack && o.Left < b.Right-slack && b.Top < o.Bottom-slack && o.Top < b.Bottom-slack, "%q covers another: %v %v", it.text.Text, b, o)
			}
			boxes = append(boxes, b)
		}
	})
}

func TestScaleText(t *testing.T) {
	for scale, want := range map[float64]string{1: "1:1", 2.5: "2.5:1", 50: "50:1", 1 / 1.5: "1:1.5", 1 / 3.0: "1:3", 1 / 500.0: "1:500"} {
		assert.Equal(t, want, ScaleText(scale))
	}
}

func BenchmarkPage(b *testing.B) {
	j, err := joint.New(joint.Setup{
		Template: joint.NewOnePiece(length.Exactly(22.225), length.Exactly(12.35), length.Exactly(15.1), length.Exactly(13.9)),
		Bushing:  joint.Bushing{Diameter: length.Exactly(11.11)}, Cutter: joint.Cutter{Diameter: length.Exactly(12.7), Angle: 14},
		Depth: joint.EqualDepth(length.Exactly(11)),
	})
	require.NoError(b, err)
	e := shape.EndOf(&j, shape.Pitches(&j, 2))
	f := &Figure{Name: "end", View: &e.View, TextSize: 3, Looks: map[shape.Part]Look{
		shape.PinBoard: {Name: "pin_board", Pen: Thick, Hatch: Hatching{Degrees: 45, Gap: 1.6, Pen: Hair}}, shape.TailBoard: {Name: "tail_board", Pen: Thick, Hatch: Hatching{Degrees: 135, Gap: 2.4, Pen: Hair}},
	}}
	b.ReportAllocs()
	for b.Loop() {
		p := &Page{Name: "p", Width: 297, Height: 210}
		f.Fit(p, Box{10, 10, 287, 200})
		p.SVG()
		p.PDF()
	}
}
