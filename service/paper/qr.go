package paper

import (
	"fmt"

	"rsc.io/qr"

	"snugtail/service/draw"
	"snugtail/service/say"
)

// quietZone is what stays white around a QR code, in its modules (ISO/IEC 18004).
const quietZone = 4

// QRPage is a web address as a QR code, by itself.
func QRPage(w say.Words, link string) (*draw.Page, error) {
	const side = 60.0
	p := &draw.Page{Name: "qr", Width: side, Height: side, Fluid: true, Lang: w.Language, Title: w.Text(say.QRTitle()), Desc: link}
	return p, drawQR(p, link, draw.Box{Right: side, Bottom: side})
}

// drawQR draws a link as large as a square box, its quiet zone included. A row's
// dark modules are lines as wide as a module.
func drawQR(p *draw.Page, link string, box draw.Box) error {
	code, err := qr.Encode(link, qr.M)
	if err != nil {
		return fmt.Errorf("writing %d characters as a QR code: %w", len(link), err)
	}
	module := box.Width() / float64(code.Size+2*quietZone)
	at := func(x, y float64) draw.Point {
		return draw.Point{X: box.Left + float64((quietZone+x)*module), Y: box.Top + float64((quietZone+y)*module)}
	}
	var rows []draw.Path
	for y := range code.Size {
		for from := 0; from < code.Size; from++ {
			to := from
			for to < code.Size && code.Black(to, y) {
				to++
			}
			if to > from {
				rows = append(rows, draw.Line(at(float64(from), float64(y)+0.5), at(float64(to), float64(y)+0.5)))
				from = to
			}
		}
	}
	p.Draw(draw.Rect(box.Left, box.Top, box.Width(), box.Height()), draw.Style{Fill: draw.White})
	p.Strokes(draw.Style{Pen: module}, rows...)
	return nil
}
