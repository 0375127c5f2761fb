package draw

import (
	"bytes"
	"encoding/binary"
	"maps"

	"github.com/go-text/typesetting/font/opentype"
)

// A font of the glyphs that a page needs: what a PDF embeds (ISO 32000-1, 9.9).
// The tables are those of TrueType; all but those of glyphs are taken as they are.

// subset returns a font whose first glyphs are 0 and then those listed, in their
// order; parts that composed ones are made of stand after them.
func (f *face) subset(glyphs []uint16) []byte {
	s := &subsetting{tables: maps.Clone(f.tables), taken: append([]uint16{0}, glyphs...)}
	s.cut()
	all := make([]opentype.Table, len(subsetTables))
	for i, name := range subsetTables {
		all[i] = opentype.Table{Content: s.tables[name], Tag: opentype.MustNewTag(name)}
	}
	return fontFile(all)
}

// fontFile writes tables, in the order of their names, so that each begins at a
// multiple of four bytes: the library leaves that to whoever calls it.
func fontFile(tables []opentype.Table) []byte {
	even := make([]opentype.Table, len(tables))
	for i, t := range tables {
		even[i] = opentype.Table{Content: evened(t.Content), Tag: t.Tag}
	}
	file := opentype.WriteTTF(even)
	const header, entry, length = 12, 16, 12
	for i, t := range tables {
		binary.BigEndian.PutUint32(file[header+i*entry+length:], uint32(len(t.Content)))
	}
	return file
}

// evened fills bytes up to a multiple of four.
func evened(table []byte) []byte { return append(bytes.Clone(table), make([]byte, -len(table)&3)...) }

// subsetTables are what is kept of a font.
var subsetTables = []string{"cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "prep"}

type subsetting struct {
	tables map[string][]byte
	taken  []uint16 // the old number of each new glyph
}

// Where tables have the format of offsets, and how many metrics or glyphs there are.
const (
	headFormat  = 50
	hheaMetrics = 34
	maxpGlyphs  = 4
)

// cut leaves of the tables what the glyphs taken need.
func (s *subsetting) cut() {
	var outlines, offsets, advances []byte
	for i := 0; i < len(s.taken); i++ { // grows with the parts of composed glyphs
		old := int(s.taken[i])
		offsets = binary.BigEndian.AppendUint32(offsets, uint32(len(outlines)))
		outlines = append(outlines, evened(s.parts(s.outline(old)))...)
		advances = append(advances, s.tables["hmtx"][4*old:4*old+4]...)
	}
	s.tables["loca"] = binary.BigEndian.AppendUint32(offsets, uint32(len(outlines)))
	s.tables["glyf"], s.tables["hmtx"] = outlines, advances
	s.count("hhea", hheaMetrics)
	s.count("maxp", maxpGlyphs)
}

// count writes how many glyphs there are.
func (s *subsetting) count(table string, at int) {
	changed := bytes.Clone(s.tables[table])
	binary.BigEndian.PutUint16(changed[at:], uint16(len(s.taken)))
	s.tables[table] = changed
}

// outline is a copy of a glyph's description.
func (s *subsetting) outline(glyph int) []byte {
	at := s.tables["loca"][4*glyph:]
	return bytes.Clone(s.tables["glyf"][binary.BigEndian.Uint32(at):binary.BigEndian.Uint32(at[4:])])
}

// Flags of a part of a composed glyph.
const (
	wordArguments = 1 << 0
	scaled        = 1 << 3
	moreParts     = 1 << 5
	scaledTwice   = 1 << 6
	turned        = 1 << 7
)

// parts gives the parts of a composed glyph their new numbers.
func (s *subsetting) parts(outline []byte) []byte {
	if len(outline) == 0 || int16(binary.BigEndian.Uint16(outline)) >= 0 { // of contours
		return outline
	}
	for at, more := 10, true; more; {
		flags := binary.BigEndian.Uint16(outline[at:])
		number := outline[at+2 : at+4]
		binary.BigEndian.PutUint16(number, s.take(binary.BigEndian.Uint16(number)))
		more, at = flags&moreParts != 0, at+6
		if flags&wordArguments != 0 {
			at += 2
		}
		switch {
		case flags&scaled != 0:
			at += 2
		case flags&scaledTwice != 0:
			at += 4
		case flags&turned != 0:
			at += 8
		}
	}
	return outline
}

// take is the new number of a glyph that is a part of another.
func (s *subsetting) take(old uint16) uint16 {
	for i, taken := range s.taken {
		if taken == old {
			return uint16(i)
		}
	}
	s.taken = append(s.taken, old)
	return uint16(len(s.taken) - 1)
}
