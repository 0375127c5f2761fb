package draw

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf16"
)

// pdfFont is what a page uses of a weight: its letters by the numbers that the
// page writes for them, from 1 on in the order in which they are first used.
type pdfFont struct {
	*face
	numbers map[rune]uint16
	letters []rune
}

// number is what stands for a letter.
func (f *pdfFont) number(r rune) uint16 {
	n, ok := f.numbers[r]
	if !ok {
		if f.numbers == nil {
			f.numbers = map[rune]uint16{}
		}
		f.letters = append(f.letters, r)
		n = uint16(len(f.letters))
		f.numbers[r] = n
	}
	return n
}

// drawn are the glyphs of the letters, or what stands for them.
func (f *pdfFont) drawn() []uint16 {
	all := make([]uint16, len(f.letters))
	for i, r := range f.letters {
		if all[i] = f.glyph(r); all[i] == 0 {
			all[i] = f.glyph(Stand)
		}
	}
	return all
}

// write adds the font's objects, the first of them at the number given: a font of
// numbered glyphs, its descriptor, its file, and which letter each glyph is
// (ISO 32000-1, 9.7 and 9.10).
func (f *pdfFont) write(file *pdfFile) {
	subset := f.subset(f.drawn())
	name, first := f.subsetName(), len(file.offsets)+1
	object := func(n int) string { return strconv.Itoa(first+n) + " 0 R" }
	file.object("<< /Type /Font /Subtype /Type0 /BaseFont /" + name + " /Encoding /Identity-H /DescendantFonts [" + object(1) + "] /ToUnicode " + object(4) + " >>")
	file.object("<< /Type /Font /Subtype /CIDFontType2 /BaseFont /" + name +
		" /CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >> /CIDToGIDMap /Identity /FontDescriptor " + object(2) +
		" /DW 1000 /W [1 [" + f.widths() + "]] >>")
	file.object("<< /Type /FontDescriptor /FontName /" + name + " /Flags 4 " + f.describe() + " /FontFile2 " + object(3) + " >>")
	file.stream(" /Filter /FlateDecode /Length1 "+strconv.Itoa(len(subset)), deflated(subset))
	file.stream("", f.toUnicode())
}

// subsetName has the six capitals in front that mark a subset.
func (f *pdfFont) subsetName() string {
	sum := sha256.Sum256([]byte(string(f.letters)))
	tag := make([]byte, 6)
	for i := range tag {
		tag[i] = 'A' + sum[i]%26
	}
	return string(tag) + "+" + f.name
}

// widths are in thousandths of the size.
func (f *pdfFont) widths() string {
	var b strings.Builder
	for _, r := range f.letters {
		advance := f.units // of one that the font lacks: as TextWidth has it
		if glyph := f.glyph(r); glyph != 0 {
			advance = float64(f.advances[glyph])
		}
		b.Write(append(appendNumber(nil, advance*1000/f.units, 100), ' '))
	}
	return b.String()
}

// describe writes the font's own measures.
func (f *pdfFont) describe() string {
	number := func(table string, at int) string {
		return strconv.Itoa(int(int16(binary.BigEndian.Uint16(f.tables[table][at:]))) * 1000 / int(f.units))
	}
	const stem = 80 // nothing in the file says it: near to that of Helvetica
	return "/FontBBox [" + number("head", 36) + " " + number("head", 38) + " " + number("head", 40) + " " + number("head", 42) +
		"] /ItalicAngle 0 /Ascent " + number("hhea", 4) + " /Descent " + number("hhea", 6) + " /CapHeight " + number("OS/2", 88) +
		" /StemV " + strconv.Itoa(stem)
}

// toUnicode says which letter each number is, in runs of at most 100.
func (f *pdfFont) toUnicode() []byte {
	var b bytes.Buffer
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n/CMapName /Letters def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000> <ffff>\nendcodespacerange\n")
	const run = 100
	for from := 0; from < len(f.letters); from += run {
		to := min(from+run, len(f.letters))
		fmt.Fprintf(&b, "%d beginbfchar\n", to-from)
		for i, r := range f.letters[from:to] {
			var units []byte
			for _, unit := range utf16.Encode([]rune{r}) {
				units = binary.BigEndian.AppendUint16(units, unit)
			}
			fmt.Fprintf(&b, "<%04x> <%s>\n", from+i+1, hex.EncodeToString(units))
		}
		b.WriteString("endbfchar\n")
	}
	b.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n")
	return b.Bytes()
}

func deflated(raw []byte) []byte {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	_, _ = w.Write(raw) // a Buffer's Write does not fail
	_ = w.Close()
	return b.Bytes()
}
