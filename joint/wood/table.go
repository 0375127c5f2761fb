package wood

import (
	"cmp"
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// The tables: a number and the key of its source for each property of each
// species; what the keys stand for; and where sources disagree.
var (
	//go:embed species.csv
	speciesTable string
	//go:embed sources.csv
	sourcesTable string
	//go:embed notes.csv
	notesTable string
)

// species is the table, read once and never changed. The tables are part of
// the binary, so a fault in them is a fault of the build; a test reads them.
var species = sync.OnceValue(func() []Wood {
	t := tables{sources: map[string]source{}, notes: map[noteKey]Note{}}
	for _, r := range mustRead(sourcesTable) {
		t.sources[r.cell("key")] = source{r.cell("document"), r.cell("table"), r.cell("found") == "memory", sourceNote(r)}
	}
	for _, r := range mustRead(notesTable) {
		t.notes[noteKey{r.cell("species"), PropertyName(r.cell("property"))}] = figureNote(r)
	}
	rows := mustRead(speciesTable)
	all := make([]Wood, len(rows))
	for i, r := range rows {
		all[i] = t.wood(r)
	}
	slices.SortFunc(all, func(a, b Wood) int { return strings.Compare(a.ID, b.ID) })
	return all
})

func compareID(w Wood, id string) int { return strings.Compare(w.ID, id) }

// source is what a key of sources.csv stands for.
type source struct {
	document, table string
	memory          bool
	note            Note
}

type noteKey struct {
	species  string
	property PropertyName
}

type tables struct {
	sources map[string]source
	notes   map[noteKey]Note
}

// wood reads one row of the species table.
func (t *tables) wood(r row) Wood {
	name := t.source(r.cell("botanical_name_source"))
	w := Wood{
		ID: r.cell("id"), Name: r.cell("name"), Group: Group(r.cell("group")),
		Botanical: Botanical{r.cell("botanical_name"), name.document, name.table, name.memory, name.note.Code},
	}
	for _, all := range [...][]definition{definitions[:], strengths[:]} {
		for i := range all {
			d := &all[i]
			*d.of(&w) = t.property(r, d)
		}
	}
	return w
}

// property reads one property: absent where its cell is empty.
func (t *tables) property(r row, d *definition) Property {
	p := Property{Figure: t.figure(r, string(d.name), d.unit)}
	if !p.Known {
		return Property{}
	}
	p.Row = tableRow(r, d.name)
	p.notes = notesOf(&p, t.source(r.cell(string(d.name)+"_source")).note, t.notes[noteKey{r.cell("id"), d.name}])
	if d.inchPound != "" {
		p.InchPound = t.figure(r, string(d.name)+"_inch_pound", d.inchPound)
	}
	return p
}

func (t *tables) figure(r row, column, unit string) Figure {
	value, found := r.number(column)
	if !found {
		return Figure{}
	}
	s := t.source(r.cell(column + "_source"))
	return Figure{Value: value, Unit: unit, Source: s.document, Table: s.table, Memory: s.memory, Known: true}
}

func (t *tables) source(key string) source {
	s, ok := t.sources[key]
	if !ok {
		panic(fmt.Sprintf("wood: no source %q in sources.csv", key))
	}
	return s
}

// tableRow names the row of tables that list species under names of their own.
func tableRow(r row, name PropertyName) string {
	column := ""
	switch name {
	case RadialCoefficient, TangentialCoefficient:
		column = "coefficient_row"
	case RadialRatio, TangentialRatio:
		column = "ratio_row"
	default:
		return ""
	}
	return r.cell(column)
}

// sourceNote is what a row of sources.csv notes of all its figures.
func sourceNote(r row) Note {
	factor, _ := r.number("factor")
	return Note{Code: noteCode(r), Conversion: Conversion{Factor: factor, Unit: r.cell("unit"), Metric: r.cell("metric")}}
}

// figureNote is what a row of notes.csv notes of one figure.
func figureNote(r row) Note {
	n := Note{Code: noteCode(r), Table: r.cell("table"), OtherTable: r.cell("other_table")}
	for column, to := range map[string]*float64{"value": &n.Value, "other_value": &n.OtherValue, "ratio": &n.Ratio, "saturation": &n.Saturation} {
		*to, _ = r.number(column)
	}
	return n
}

func noteCode(r row) NoteCode {
	code := NoteCode(r.cell("note"))
	if code != "" && !slices.Contains(noteCodes[:], code) {
		panic(fmt.Sprintf("wood: a table has an unknown note %q", code))
	}
	return code
}

// notesOf are the notes on a property that say anything.
func notesOf(p *Property, all ...Note) []Note {
	all = slices.DeleteFunc(all, func(n Note) bool { return n.Code == "" })
	for i := range all {
		all[i].Table = cmp.Or(all[i].Table, p.Table)
		all[i].Row = p.Row
	}
	return all
}

// row is a row of a table, its cells found by the column's name.
type row struct {
	column map[string]int
	cells  []string
}

func (r row) cell(column string) string {
	i, ok := r.column[column]
	if !ok {
		panic(fmt.Sprintf("wood: a table has no column %q", column))
	}
	return r.cells[i]
}

// number is what a cell holds; none where it is empty.
func (r row) number(column string) (value float64, found bool) {
	text := r.cell(column)
	if text == "" {
		return 0, false
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Sprintf("wood: %s of %q: %v", column, r.cells[0], err))
	}
	return value, true
}

func mustRead(table string) []row {
	records, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("wood: reading a table: %v", err))
	}
	column := make(map[string]int, len(records[0]))
	for i, name := range records[0] {
		column[name] = i
	}
	rows := make([]row, 0, len(records)-1)
	for _, cells := range records[1:] {
		rows = append(rows, row{column, cells})
	}
	return rows
}
