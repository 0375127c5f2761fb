package draw

import (
	"bytes"
	"encoding/xml"
	"math"
	"strconv"
)

// Decimals of coordinates: of drawn lines, so that a drawing measures as the
// joint does, and of texts.
const (
	lineSteps = 10000 // per mm
	textSteps = 100
)

// SVG writes the page as SVG of its own size in mm. Texts stay texts, each as
// wide as the page has it whatever font a viewer takes.
func (p *Page) SVG() []byte {
	w := &svgWriter{page: p}
	w.Grow(300 * len(p.items))
	w.head()
	for i := range p.items {
		w.item(&p.items[i])
	}
	w.WriteString("</g>\n</svg>\n")
	return w.Bytes()
}

type svgWriter struct {
	bytes.Buffer
	page *Page
	num  [32]byte
}

func (w *svgWriter) head() {
	p := w.page
	w.WriteString(`<svg xmlns="http://www.w3.org/2000/svg"`)
	if !p.Fluid {
		w.WriteString(` width="`)
		w.number(p.Width, textSteps)
		w.WriteString(`mm" height="`)
		w.number(p.Height, textSteps)
		w.WriteString(`mm"`)
	}
	shown := p.window()
	w.WriteString(` viewBox="`)
	for _, x := range []float64{shown.Left, shown.Top, shown.Width()} {
		w.number(x, textSteps)
		w.WriteByte(' ')
	}
	w.number(shown.Height(), textSteps)
	w.WriteString(`" lang="` + p.lang() + `" role="graphics-document document" aria-labelledby="` + p.Name + `-title ` + p.Name + `-desc">` + "\n")
	w.element("title", p.Title, "id", p.Name+"-title")
	w.element("desc", p.Desc, "id", p.Name+"-desc")
	w.WriteString("<rect")
	if p.cropped != nil {
		w.WriteString(` x="`)
		w.number(shown.Left, textSteps)
		w.WriteString(`" y="`)
		w.number(shown.Top, textSteps)
		w.WriteByte('"')
	}
	w.WriteString(` width="100%" height="100%" fill="#fff"/>` + "\n")
	w.WriteString(`<g fill="none" stroke-linejoin="round" font-family="Helvetica, Arial, 'Liberation Sans', 'Nimbus Sans', sans-serif">` + "\n")
}

func (w *svgWriter) item(it *item) {
	switch it.kind {
	case itemPath:
		w.WriteString("<path")
		w.attrs(it.attrs)
		w.style(&it.style)
		w.WriteString(` d="`)
		w.path(&it.path)
		w.WriteString("\"/>\n")
	case itemHatch:
		w.WriteString("<path")
		w.style(&it.style)
		w.WriteString(` d="`)
		for i := range it.lines {
			w.hatchLine(&it.lines[i])
		}
		w.WriteString("\"/>\n")
	case itemText:
		w.text(&it.text)
	case itemGroup:
		w.WriteString("<g")
		w.attrs(it.attrs)
		w.WriteString(">\n")
	case itemGroupEnd:
		w.WriteString("</g>\n")
	}
}

func (w *svgWriter) style(s *Style) {
	if s.Fill != Empty {
		w.WriteString(` fill="` + inks[s.Fill].svg + `"`)
	}
	if s.Pen == 0 {
		return
	}
	w.WriteString(` stroke="` + inks[s.ink()].svg + `" stroke-width="`)
	w.number(s.Pen, textSteps)
	w.WriteByte('"')
	if len(s.Dash) > 0 {
		w.WriteString(` stroke-dasharray="`)
		for i, d := range s.Dash {
			if i > 0 {
				w.WriteByte(' ')
			}
			w.number(d, textSteps)
		}
		w.WriteByte('"')
	}
}

func (w *svgWriter) path(p *Path) {
	w.WriteByte('M')
	w.point(p.Start, lineSteps)
	for _, s := range p.Segs {
		if s.Radius > 0 {
			w.WriteByte('A')
			w.number(s.Radius, lineSteps)
			w.WriteByte(' ')
			w.number(s.Radius, lineSteps)
			w.WriteString(map[bool]string{true: " 0 0 1 ", false: " 0 0 0 "}[s.Clockwise])
		} else {
			w.WriteByte('L')
		}
		w.point(s.To, lineSteps)
	}
	if p.Closed {
		w.WriteByte('Z')
	}
}

func (w *svgWriter) hatchLine(p *Path) {
	w.WriteByte('M')
	w.point(p.Start, textSteps)
	w.WriteByte('L')
	w.point(p.Segs[0].To, textSteps)
}

func (w *svgWriter) text(t *Text) {
	w.WriteString(`<text x="`)
	w.number(t.At.X, textSteps)
	w.WriteString(`" y="`)
	w.number(t.At.Y, textSteps)
	w.WriteString(`" font-size="`)
	w.number(t.Size, textSteps)
	w.WriteByte('"')
	if t.Font == Bold {
		w.WriteString(` font-weight="bold"`)
	}
	if t.Anchor != Start {
		w.WriteString(` text-anchor="` + [...]string{Middle: "middle", End: "end"}[t.Anchor] + `"`)
	}
	w.WriteString(` textLength="`)
	w.number(TextWidth(t.Text, t.Size, t.Font), textSteps)
	w.WriteString(`" lengthAdjust="spacingAndGlyphs"`)
	if t.Turned {
		w.WriteString(` transform="rotate(-90 `)
		w.point(t.At, textSteps)
		w.WriteString(`)"`)
	}
	w.WriteString(` fill="#000">`)
	w.escape(t.Text)
	w.WriteString("</text>\n")
}

func (w *svgWriter) element(name, text string, attrs ...string) {
	w.WriteString("<" + name)
	w.attrs(attrs)
	w.WriteByte('>')
	w.escape(text)
	w.WriteString("</" + name + ">\n")
}

func (w *svgWriter) attrs(all []string) {
	for i := 0; i+1 < len(all); i += 2 {
		w.WriteString(" " + all[i] + `="`)
		w.escape(all[i+1])
		w.WriteByte('"')
	}
}

// escape writes text as XML takes it; what XML takes in no form is replaced.
func (w *svgWriter) escape(text string) {
	_ = xml.EscapeText(&w.Buffer, []byte(text)) // a Buffer's Write does not fail
}

func (w *svgWriter) point(p Point, steps int64) {
	w.number(p.X, steps)
	w.WriteByte(' ')
	w.number(p.Y, steps)
}

func (w *svgWriter) number(x float64, steps int64) { w.Write(appendNumber(w.num[:0], x, steps)) }

// appendNumber writes x to the nearest of so many steps per unit, a power of
// ten, without zeros at the end.
func appendNumber(b []byte, x float64, steps int64) []byte {
	n := int64(math.Round(snap(x) * float64(steps)))
	if n < 0 {
		b = append(b, '-')
		n = -n
	}
	b = strconv.AppendInt(b, n/steps, 10)
	rest := n % steps
	if rest == 0 {
		return b
	}
	b = append(b, '.')
	for rest > 0 {
		steps /= 10
		b = append(b, '0'+byte(rest/steps))
		rest %= steps
	}
	return b
}

// snap takes the last binary digits off a figure, in which processors that
// join multiplying and adding may differ.
func snap(x float64) float64 { return math.Round(x*1e9) / 1e9 }
