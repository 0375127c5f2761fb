package draw

import "strings"

// Flow writes texts one below the other, wrapped to a width. Without a page it
// only measures how far they reach.
type Flow struct {
	Page  *Page
	X, Y  float64 // where the next line begins: its upper left corner
	Width float64
	Size  float64
}

// Text writes a paragraph.
func (f *Flow) Text(text string, font Font) { f.Part(Paragraph, text, font) }

// Part writes a text that is more than a paragraph: a title, a heading.
func (f *Flow) Part(role Role, text string, font Font) {
	f.begin(role)
	f.hang(0, text, font)
	f.end()
}

// Hang writes an item of a list: its lines after the first are indented.
func (f *Flow) Hang(by float64, text string, font Font) {
	f.begin(ListItem)
	f.hang(by, text, font)
	f.end()
}

func (f *Flow) hang(by float64, text string, font Font) {
	lines := wrapped(text, f.Size, font, f.Width, f.Width-by)
	for i, line := range lines {
		indent := 0.0
		if i > 0 {
			indent = by
		}
		f.line(indent, line, font, i+1 < len(lines))
	}
}

// Row writes a name and, beginning at a distance from it, its value, wrapped: a
// row of a table.
func (f *Flow) Row(name, value string, at float64, font Font) {
	y := f.Y
	f.begin(TableRow)
	left := Flow{Page: f.Page, X: f.X, Y: y, Width: at - 1, Size: f.Size}
	left.Part(RowHead, name, Regular)
	right := Flow{Page: f.Page, X: f.X + at, Y: y, Width: f.Width - at, Size: f.Size}
	right.Part(Cell, value, font)
	f.end()
	f.Y = max(right.Y, left.Y)
}

// Together marks what is written meanwhile as one: a table, a list.
func (f *Flow) Together(role Role, write func()) {
	f.begin(role)
	write()
	f.end()
}

func (f *Flow) begin(role Role) {
	if f.Page != nil {
		f.Page.Begin(role, "")
	}
}

func (f *Flow) end() {
	if f.Page != nil {
		f.Page.End()
	}
}

// Fits is true of a text that ends above a height of the page.
func (f Flow) Fits(text string, bottom float64) bool {
	f.Page = nil
	f.Text(text, Regular)
	return f.Y <= bottom
}

// Skip leaves room, as a share of the size of the text.
func (f *Flow) Skip(share float64) { f.Y += share * f.Size }

func (f *Flow) line(indent float64, text string, font Font, goesOn bool) {
	if f.Page != nil {
		f.Page.Write(Text{At: Point{f.X + indent, f.Y + Ascent*f.Size}, Size: f.Size, Font: font, Text: text, GoesOn: goesOn})
	}
	f.Y += leading * f.Size
}

// wrapped breaks a text into lines, the first of its own width. A word that is
// longer than a line is broken.
func wrapped(text string, size float64, font Font, first, rest float64) []string {
	var lines []string
	line, width := "", first
	fits := func(s string) bool { return TextWidth(s, size, font) <= width }
	add := func(s string) {
		lines = append(lines, s)
		line, width = "", rest
	}
	for _, word := range strings.Fields(text) {
		joined := word
		if line != "" {
			joined = line + " " + word
		}
		if fits(joined) {
			line = joined
			continue
		}
		if line != "" {
			add(line)
		}
		for !fits(word) {
			head := headThatFits(word, fits)
			add(head)
			word = word[len(head):]
		}
		line = word
	}
	if line != "" {
		add(line)
	}
	return lines
}

// headThatFits is as much of a word as fits, one letter at the least.
func headThatFits(word string, fits func(string) bool) string {
	end := 0
	for i, r := range word {
		next := i + len(string(r))
		if end > 0 && !fits(word[:next]) {
			break
		}
		end = next
	}
	return word[:end]
}
