package draw

import (
	"bytes"
	_ "embed"
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
	"sync"
	"unicode"

	"github.com/go-text/typesetting/font/opentype"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Texts are set in Liberation Sans, which has the letters of Latin, Greek and
// Cyrillic and is cut to the widths of Helvetica and Arial: SVG names all three,
// PDF has of it what the page needs. Licence: fonts/OFL.txt.

// Font is a weight of the font.
type Font uint8

// The two weights.
const (
	Regular Font = iota
	Bold
	fontCount
)

// Text reaches so far above and below its baseline, as shares of its size:
// ascenders and descenders with the accents of capitals.
const (
	Ascent  = 0.93
	Descent = 0.22
)

// Stand stands on paper for a letter that the font lacks.
const Stand = '□'

//go:embed fonts/LiberationSans-Regular.ttf
var regularFile []byte

//go:embed fonts/LiberationSans-Bold.ttf
var boldFile []byte

// face is a weight with its letters.
type face struct {
	name     string
	tables   map[string][]byte // of the file
	units    float64           // to the size
	glyphs   [1 << 16]uint16   // by letter; 0 where there is none
	advances []uint16          // by glyph, in units
}

var faces = sync.OnceValue(func() *[fontCount]face {
	all := &[fontCount]face{{name: "LiberationSans"}, {name: "LiberationSans-Bold"}}
	for i, file := range [fontCount][]byte{regularFile, boldFile} {
		if err := all[i].read(file); err != nil {
			panic(fmt.Sprintf("the font %s, which is built in: %v", all[i].name, err))
		}
	}
	return all
})

// errShortOffsets: what is cut out of a font has long offsets to its glyphs.
var errShortOffsets = errors.New("its offsets to glyphs are short")

func (f *face) read(file []byte) error {
	loader, err := opentype.NewLoader(bytes.NewReader(file))
	if err != nil {
		return err
	}
	f.tables = map[string][]byte{}
	for _, name := range append([]string{"OS/2"}, subsetTables...) {
		if f.tables[name], err = loader.RawTable(opentype.MustNewTag(name)); err != nil {
			return err
		}
	}
	if binary.BigEndian.Uint16(f.tables["head"][headFormat:]) != 1 {
		return errShortOffsets
	}
	parsed, err := sfnt.Parse(file)
	if err != nil {
		return err
	}
	return f.readLetters(parsed)
}

func (f *face) readLetters(parsed *sfnt.Font) error {
	units := parsed.UnitsPerEm()
	f.units, f.advances = float64(units), make([]uint16, parsed.NumGlyphs())
	var buffer sfnt.Buffer
	for i := range f.advances {
		advance, err := parsed.GlyphAdvance(&buffer, sfnt.GlyphIndex(i), fixed.I(int(units)), font.HintingNone)
		if err != nil {
			return fmt.Errorf("width of glyph %d: %w", i, err)
		}
		f.advances[i] = uint16(advance.Round())
	}
	for r := range f.glyphs {
		if backwards(rune(r)) {
			continue
		}
		glyph, err := parsed.GlyphIndex(&buffer, rune(r))
		if err != nil {
			return fmt.Errorf("glyph of %q: %w", rune(r), err)
		}
		f.glyphs[r] = uint16(glyph)
	}
	return nil
}

// backwards is true of letters that are written from right to left: a page that
// sets them one after the other would turn words round.
func backwards(r rune) bool { return unicode.In(r, unicode.Hebrew, unicode.Arabic) }

// glyph is that of a letter, 0 where the font lacks it.
func (f *face) glyph(r rune) uint16 {
	if int(r) >= len(f.glyphs) {
		return 0
	}
	return f.glyphs[r]
}

// TextWidth is how wide a text is at a size. A letter that the font lacks counts
// as wide as it is high.
func TextWidth(text string, size float64, weight Font) float64 {
	f := &faces()[weight]
	width := 0
	for _, r := range text {
		if glyph := f.glyph(r); glyph != 0 {
			width += int(f.advances[glyph])
		} else {
			width += int(f.units)
		}
	}
	return float64(width) * size / f.units
}

// Lacking are the letters of a text that the font lacks, each once.
func Lacking(text string) []rune {
	f := &faces()[Regular]
	var all []rune
	for _, r := range text {
		if f.glyph(r) == 0 && !slices.Contains(all, r) {
			all = append(all, r)
		}
	}
	return all
}

// Letters are the letters that the font has, as ranges from and to.
func Letters() [][2]rune {
	f := &faces()[Regular]
	var all [][2]rune
	for r, glyph := range f.glyphs {
		switch last := len(all) - 1; {
		case glyph == 0:
		case last >= 0 && all[last][1] == rune(r)-1:
			all[last][1] = rune(r)
		default:
			all = append(all, [2]rune{rune(r), rune(r)})
		}
	}
	return all
}
