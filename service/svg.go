package service

import (
	"bytes"
	"encoding/xml"
	"math"
	"strconv"
)

// drawing writes SVG: elements with their attributes, texts as text. It knows
// no more than a plot needs, so a library would only be in the way.
type drawing struct{ bytes.Buffer }

// attrs are an element's attributes, names and values by turns.
type attrs []string

// tag writes an element that holds nothing.
func (d *drawing) tag(name string, a ...string) { d.start(name, a, "/>\n") }

// open begins an element; end ends it.
func (d *drawing) open(name string, a ...string) { d.start(name, a, ">\n") }

func (d *drawing) end(name string) { d.WriteString("</" + name + ">\n") }

// text writes an element that holds text.
func (d *drawing) text(name, text string, a ...string) {
	d.start(name, a, ">")
	d.escape(text)
	d.WriteString("</" + name + ">\n")
}

func (d *drawing) start(name string, a attrs, closing string) {
	d.WriteString("<" + name)
	for i := 0; i+1 < len(a); i += 2 {
		d.WriteString(" " + a[i] + `="`)
		d.escape(a[i+1])
		d.WriteByte('"')
	}
	d.WriteString(closing)
}

// escape writes text as XML takes it; what XML takes in no form is replaced.
func (d *drawing) escape(text string) {
	_ = xml.EscapeText(&d.Buffer, []byte(text)) // a Buffer's Write does not fail
}

// px writes a coordinate to a tenth of a unit.
func px(x float64) string { return strconv.FormatFloat(math.Round(x*10)/10+0, 'f', -1, 64) }

// textWidth is how wide a text may get at a font size, in whatever sans-serif
// font there is: a little more than in those that are common.
func textWidth(text string, size float64) float64 {
	width := 0.0
	for _, r := range text {
		if r < 0x250 {
			width += 0.64 * size
		} else {
			width += size
		}
	}
	return width
}

// shortened cuts a text to what fits, "" where not even its beginning does.
func shortened(text string, size, width float64) string {
	if textWidth(text, size) <= width {
		return text
	}
	const least = 4 // letters that still mean something
	runes := []rune(text)
	for n := len(runes) - 1; n >= least; n-- {
		if short := string(runes[:n]) + "..."; textWidth(short, size) <= width {
			return short
		}
	}
	return ""
}
