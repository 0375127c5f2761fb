package plain

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"snugtail/api"
	"snugtail/service/message"
)

// table is a sheet for other programs: RFC 4180, lines end in CRLF, the first is
// the header. Lengths stand in mm and in, as the JSON has them.
type table struct {
	columns []string
	rows    []csvRow
}

// csvRow holds cells by their column; what is not in it stays empty.
type csvRow map[string]any

// Sheet says how a sheet is written.
type Sheet struct {
	// Printer writes what is said in words; columns and codes are the same in every
	// language.
	*message.Printer
	// DecimalComma writes 12,5 for 12.5, and parts cells by semicolons, as
	// spreadsheets do that are set to German or French.
	DecimalComma bool
}

func (t *table) write(as Sheet) ([]byte, error) {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	if as.DecimalComma {
		w.Comma = ';'
	}
	if err := w.Write(t.columns); err != nil {
		return nil, fmt.Errorf("writing the header: %w", err)
	}
	cells := make([]string, len(t.columns))
	for _, row := range t.rows {
		for i, column := range t.columns {
			cells[i] = as.cell(row[column])
		}
		if err := w.Write(cells); err != nil {
			return nil, fmt.Errorf("writing a row: %w", err)
		}
	}
	w.Flush()
	if err := w.Error(); err != nil {
		return nil, fmt.Errorf("writing the sheet: %w", err)
	}
	return out.Bytes(), nil
}

func (as Sheet) cell(value any) string {
	switch value := value.(type) {
	case nil:
		return ""
	case int:
		return strconv.Itoa(value)
	case float64:
		text := strconv.FormatFloat(value, 'f', -1, 64)
		if as.DecimalComma {
			text = strings.Replace(text, ".", ",", 1)
		}
		return text
	}
	return csvText(fmt.Sprint(value))
}

// length fills the two columns of a length.
func (r csvRow) length(name string, l api.Length) { r[name+"_mm"], r[name+"_in"] = l.MM, l.In }

// maybe fills them where there is one.
func (r csvRow) maybe(name string, l *api.Length) {
	if l != nil {
		r.length(name, *l)
	}
}

// lengthColumns are the two columns of each length.
func lengthColumns(names ...string) []string {
	all := make([]string, 0, 2*len(names))
	for _, name := range names {
		all = append(all, name+"_mm", name+"_in")
	}
	return all
}

// csvText keeps a spreadsheet from taking a text for a formula: one that
// begins like a formula gets an apostrophe in front, which spreadsheets take for
// "this is text" (common practice).
func csvText(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r", rune(text[0])) {
		return "'" + text
	}
	return text
}
