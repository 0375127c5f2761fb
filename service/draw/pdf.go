package draw

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"math"
	"strconv"
	"strings"
	"unicode/utf16"
)

// PointsPerMM: a PDF is measured in points of 1/72 in (ISO 32000-1, 8.3.2.3).
const PointsPerMM = 72 / 25.4

// pointSteps are the steps to which coordinates are written, per point: about
// 0.0004 mm.
const pointSteps = 1000

// PDF writes the page as a PDF of one page (ISO 32000-1), with the fonts that it
// needs and the structure of its parts. Its content is not compressed; it holds no
// date, and its id follows from what is on the page. It asks viewers not to scale
// it when it is printed.
func (p *Page) PDF() []byte {
	content := &pdfContent{page: p, ink: Black, fill: Black}
	content.in = &content.top
	all := faces()
	for i := range content.fonts {
		content.fonts[i].face = &all[i]
	}
	content.Grow(200 * len(p.items))
	content.WriteString("0.000 G 0.000 g 1 j 0 J\n")
	for i := range p.items {
		content.item(&p.items[i])
	}
	content.unmark()
	return content.document()
}

// Numbers of the file's objects: the catalogue is 1, and the fonts begin here.
const (
	infoObject  = 5
	firstFont   = 7
	fontObjects = 5
)

// document puts the objects of the file round the page's content.
func (w *pdfContent) document() []byte {
	p, f := w.page, &pdfFile{}
	f.Grow(w.Len() + 60000)
	f.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	fonts, next := "", firstFont
	for i := range w.fonts {
		if len(w.fonts[i].letters) > 0 {
			fonts += "/F" + strconv.Itoa(i) + " " + strconv.Itoa(next) + " 0 R "
			next += fontObjects
		}
	}
	f.object("<< /Type /Catalog /Pages 2 0 R /Lang (" + p.lang() + ") /MarkInfo << /Marked true >> /StructTreeRoot " + strconv.Itoa(next) +
		" 0 R /Metadata 6 0 R /ViewerPreferences << /PrintScaling /None /DisplayDocTitle true >> >>")
	f.object("<< /Type /Pages /Kids [3 0 R] /Count 1 >>")
	size := string(appendNumber(nil, p.Width*PointsPerMM, pointSteps)) + " " + string(appendNumber(nil, p.Height*PointsPerMM, pointSteps))
	f.object("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 " + size + "] /Contents 4 0 R /StructParents 0 /Tabs /S /Resources << /Font << " + fonts + ">> >> >>")
	f.stream("", w.Bytes())
	f.object("<< /Title " + textString(p.Title) + " /Subject " + textString(p.Desc) + " >>")
	f.stream(" /Type /Metadata /Subtype /XML", p.metadata())
	for i := range w.fonts {
		if len(w.fonts[i].letters) > 0 {
			w.fonts[i].write(f)
		}
	}
	w.writeStructure(f)
	return f.end()
}

// metadata are title and language as XMP (ISO 16684-1).
func (p *Page) metadata() []byte {
	x := &svgWriter{}
	x.WriteString("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">" +
		"<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\"><rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\">" +
		"<dc:format>application/pdf</dc:format><dc:title><rdf:Alt>")
	x.element("rdf:li", p.Title, "xml:lang", "x-default")
	x.WriteString("</rdf:Alt></dc:title><dc:language><rdf:Bag>")
	x.element("rdf:li", p.lang())
	x.WriteString("</rdf:Bag></dc:language></rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>\n")
	return x.Bytes()
}

// textString is a text outside of the page's content: UTF-16 with its mark.
func textString(text string) string {
	b := []byte{0xfe, 0xff}
	for _, unit := range utf16.Encode([]rune(text)) {
		b = append(b, byte(unit>>8), byte(unit))
	}
	return "<" + hex.EncodeToString(b) + ">"
}

// pdfFile is a file with the places of its objects.
type pdfFile struct {
	bytes.Buffer
	offsets []int
}

func (f *pdfFile) object(body string) {
	f.offsets = append(f.offsets, f.Len())
	f.WriteString(strconv.Itoa(len(f.offsets)) + " 0 obj\n" + body + "\nendobj\n")
}

// stream adds an object of bytes, with what is said of them beside their length.
func (f *pdfFile) stream(said string, content []byte) {
	f.object("<< /Length " + strconv.Itoa(len(content)) + said + " >>\nstream\n" + string(content) + "\nendstream")
}

// end writes the table of objects.
func (f *pdfFile) end() []byte {
	sum := sha256.Sum256(f.Bytes())
	id := "<" + hex.EncodeToString(sum[:16]) + ">"
	at, count := f.Len(), strconv.Itoa(len(f.offsets)+1)
	f.WriteString("xref\n0 " + count + "\n0000000000 65535 f \n")
	for _, offset := range f.offsets {
		digits := strconv.Itoa(offset)
		f.WriteString("0000000000"[len(digits):] + digits + " 00000 n \n")
	}
	f.WriteString("trailer\n<< /Size " + count + " /Root 1 0 R /Info " + strconv.Itoa(infoObject) + " 0 R /ID [" + id + " " + id + "] >>\nstartxref\n" + strconv.Itoa(at) + "\n%%EOF\n")
	return f.Bytes()
}

// pdfContent is the stream that draws the page.
type pdfContent struct {
	bytes.Buffer
	structure
	page   *Page
	fonts  [fontCount]pdfFont
	pen    float64
	dashed bool
	ink    Ink
	fill   Ink
	num    [32]byte
}

func (w *pdfContent) item(it *item) {
	switch it.kind {
	case itemPart:
		w.beginPart(it.attrs[0], it.attrs[1])
	case itemPartEnd:
		w.endPart()
	case itemPath, itemHatch, itemText:
		w.mark()
		w.painted(it)
	}
}

// painted draws what is to be seen.
func (w *pdfContent) painted(it *item) {
	switch it.kind {
	case itemPath:
		w.style(&it.style)
		w.path(&it.path)
		w.paint(&it.style, it.path.Closed)
	case itemHatch:
		w.style(&it.style)
		for i := range it.lines {
			w.path(&it.lines[i])
		}
		w.WriteString("S\n")
	case itemText:
		w.text(&it.text)
	}
}

// style sets what is not yet so.
func (w *pdfContent) style(s *Style) {
	if s.Pen != 0 && s.Pen != w.pen {
		w.number(s.Pen * PointsPerMM)
		w.WriteString("w\n")
		w.pen = s.Pen
	}
	if s.Pen != 0 && (w.dashed || len(s.Dash) > 0) {
		w.WriteByte('[')
		for _, d := range s.Dash {
			w.number(d * PointsPerMM)
		}
		w.WriteString("] 0 d\n")
		w.dashed = len(s.Dash) > 0
	}
	if ink := s.ink(); s.Pen != 0 && ink != w.ink {
		w.colour(ink, "G", "RG")
		w.ink = ink
	}
	if s.Fill != Empty {
		w.filled(s.Fill)
	}
}

func (w *pdfContent) filled(with Ink) {
	if with != w.fill {
		w.colour(with, "g", "rg")
		w.fill = with
	}
}

// colour writes an ink with the operator for greys or the one for colours
// (ISO 32000-1, 8.6.8).
func (w *pdfContent) colour(i Ink, grey, colour string) {
	operator := grey
	if strings.Contains(inks[i].pdf, " ") {
		operator = colour
	}
	w.WriteString(inks[i].pdf + " " + operator + "\n")
}

func (w *pdfContent) paint(s *Style, closed bool) {
	if closed {
		w.WriteString("h ")
	}
	switch {
	case s.Fill != Empty && s.Pen != 0:
		w.WriteString("B\n")
	case s.Fill != Empty:
		w.WriteString("f\n")
	case s.Pen != 0:
		w.WriteString("S\n")
	default:
		w.WriteString("n\n")
	}
}

func (w *pdfContent) path(p *Path) {
	w.point(p.Start)
	w.WriteString("m\n")
	at := p.Start
	for _, s := range p.Segs {
		if s.Radius > 0 {
			w.arc(at, s)
		} else {
			w.point(s.To)
			w.WriteString("l\n")
		}
		at = s.To
	}
}

// arc draws an arc of at most a quarter of a circle as one Bezier curve, which
// is off by less than 0.0003 of the radius (4/3 tan(a/4), common knowledge).
func (w *pdfContent) arc(from Point, s Seg) {
	a := arcOf(from, s)
	k := float64(4.0 / 3 * math.Tan(a.turned/4) * a.radius)
	tangent := func(angle, along float64) (dx, dy float64) {
		sin, cos := math.Sincos(angle)
		return float64(-sin * along), float64(cos * along)
	}
	dx, dy := tangent(a.from, k)
	w.point(Point{from.X + dx, from.Y + dy})
	dx, dy = tangent(a.from+a.turned, -k)
	w.point(Point{s.To.X + dx, s.To.Y + dy})
	w.point(s.To)
	w.WriteString("c\n")
}

func (w *pdfContent) text(t *Text) {
	w.filled(Black)
	b := t.Box()
	w.WriteString("BT /F" + strconv.Itoa(int(t.Font)) + " ")
	w.number(t.Size * PointsPerMM)
	w.WriteString("Tf ")
	if t.Turned {
		w.WriteString("0 1 -1 0 ")
		w.point(Point{t.At.X, b.Bottom})
		w.WriteString("Tm <")
	} else {
		w.point(Point{b.Left, t.At.Y})
		w.WriteString("Td <")
	}
	for _, r := range t.Text {
		w.letter(t.Font, r)
	}
	if t.GoesOn {
		w.letter(t.Font, ' ')
	}
	w.WriteString("> Tj ET\n")
}

func (w *pdfContent) letter(weight Font, r rune) {
	n := w.fonts[weight].number(r)
	w.Write(append(w.num[:0], hexDigits[n>>12], hexDigits[n>>8&15], hexDigits[n>>4&15], hexDigits[n&15]))
}

const hexDigits = "0123456789abcdef"

// point writes a point, from the lower left corner up.
func (w *pdfContent) point(p Point) {
	w.number(p.X * PointsPerMM)
	w.number((w.page.Height - p.Y) * PointsPerMM)
}

func (w *pdfContent) number(x float64) {
	w.Write(append(appendNumber(w.num[:0], x, pointSteps), ' '))
}
