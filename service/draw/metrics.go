package draw

// Helvetica and Helvetica Bold are of the fonts that every PDF viewer has, so
// none is embedded; in SVG a viewer takes them or what is cut to their widths.

// Font is a weight of Helvetica.
type Font uint8

// The two weights.
const (
	Regular Font = iota
	Bold
	fontCount
)

// Text reaches so far above and below its baseline, as shares of its size: the
// ascenders and descenders of Helvetica (Adobe Font Metrics, Core 14: 0.718
// and -0.207), with the accents of capitals.
const (
	Ascent  = 0.93
	Descent = 0.22
)

// advances are the widths of the letters of Windows code page 1252 from 32 on,
// in thousandths of the size. Source: Adobe Font Metrics files of the Core 14
// fonts, Helvetica and Helvetica-Bold; codes without a letter are as wide as
// the bullet that stands for them.
var advances = [fontCount][224]uint16{{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
	1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
	333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
	556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584, 350,
	556, 350, 222, 556, 333, 1000, 556, 556, 333, 1000, 667, 333, 1000, 350, 611, 350,
	350, 222, 222, 333, 333, 350, 556, 1000, 333, 1000, 500, 333, 944, 350, 500, 667,
	278, 333, 556, 556, 556, 556, 260, 556, 333, 737, 370, 556, 584, 333, 737, 333,
	400, 584, 333, 333, 333, 556, 537, 278, 333, 333, 365, 556, 834, 834, 834, 611,
	667, 667, 667, 667, 667, 667, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
	722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722, 722, 722, 667, 667, 611,
	556, 556, 556, 556, 556, 556, 889, 500, 556, 556, 556, 556, 278, 278, 278, 278,
	556, 556, 556, 556, 556, 556, 556, 584, 611, 556, 556, 556, 556, 500, 556, 500,
}, {
	278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278,
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611,
	975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833, 722, 778,
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556,
	333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611,
	611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584, 350,
	556, 350, 278, 556, 500, 1000, 556, 556, 333, 1000, 667, 333, 1000, 350, 611, 350,
	350, 278, 278, 500, 500, 350, 556, 1000, 333, 1000, 556, 333, 944, 350, 500, 667,
	278, 333, 556, 556, 556, 556, 280, 556, 333, 737, 370, 556, 584, 333, 737, 333,
	400, 584, 333, 333, 333, 611, 556, 278, 333, 333, 365, 556, 834, 834, 834, 611,
	722, 722, 722, 722, 722, 722, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
	722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722, 722, 722, 667, 667, 611,
	556, 556, 556, 556, 556, 556, 889, 556, 556, 556, 556, 556, 278, 278, 278, 278,
	611, 611, 611, 611, 611, 611, 611, 584, 611, 611, 611, 611, 611, 556, 611, 556,
}}

// TextWidth is how wide a text is at a size. A letter that the font does not
// have counts as wide as it is high.
func TextWidth(text string, size float64, font Font) float64 {
	thousandths := 0
	for _, r := range text {
		if code, ok := codeOf(r); ok {
			thousandths += int(advances[font][code-32])
		} else {
			thousandths += 1000
		}
	}
	return float64(thousandths) * size / 1000
}

// codeOf returns the code of a letter in Windows code page 1252; ok is false
// for letters that it does not have.
func codeOf(r rune) (code byte, ok bool) {
	switch {
	case r >= 32 && r < 127, r >= 0xa0 && r <= 0xff:
		return byte(r), true
	}
	for i, extra := range extras {
		if extra == r {
			return byte(0x80 + i), true
		}
	}
	return '?', false
}

// extras are the letters of code page 1252 from 0x80 to 0x9f; 0 where it has none.
var extras = [...]rune{
	'\u20ac', 0, '\u201a', '\u0192', '\u201e', '\u2026', '\u2020', '\u2021', '\u02c6', '\u2030', '\u0160', '\u2039', '\u0152', 0, '\u017d', 0,
	0, '\u2018', '\u2019', '\u201c', '\u201d', '\u2022', '\u2013', '\u2014', '\u02dc', '\u2122', '\u0161', '\u203a', '\u0153', 0, '\u017e', '\u0178',
}
