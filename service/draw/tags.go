package draw

import (
	"fmt"
	"strconv"
	"strings"
)

// Role is what a part of a page is to those who do not see it: a PDF's structure
// is made of them (ISO 32000-1, 14.8).
type Role string

// Roles of parts.
const (
	Title     Role = "H1"
	Heading   Role = "H2"
	Paragraph Role = "P"
	Table     Role = "Table"
	TableRow  Role = "TR"
	RowHead   Role = "TH"
	Cell      Role = "TD"
	List      Role = "L"
	ListItem  Role = "LI"
	Picture   Role = "Figure"
)

// Begin begins a part of the page; End ends it. What stands in none is an
// ornament. alt says in words what a picture shows.
func (p *Page) Begin(role Role, alt string) {
	p.items = append(p.items, item{kind: itemPart, attrs: []string{string(role), alt}})
}

// End ends the part begun last.
func (p *Page) End() { p.items = append(p.items, item{kind: itemPartEnd}) }

// part is a part of the page in the making.
type part struct {
	role, alt string
	above     *part
	object    int // its number in the file
	kids      []partKid
}

// partKid is a part within another, or a number that marks content of its own.
type partKid struct {
	*part
	mark int
}

// structure marks content with the part that it belongs to.
type structure struct {
	top    part
	in     *part
	marked bool
	marks  []*part // by number
}

// mark says of what is drawn next what it is part of.
func (w *pdfContent) mark() {
	if w.marked {
		return
	}
	w.marked = true
	if w.in == &w.top {
		w.WriteString("/Artifact BMC\n")
		return
	}
	n := len(w.marks)
	w.marks = append(w.marks, w.in)
	w.in.kids = append(w.in.kids, partKid{mark: n})
	w.WriteString("/" + w.in.role + " << /MCID " + strconv.Itoa(n) + " >> BDC\n")
}

func (w *pdfContent) unmark() {
	if w.marked {
		w.WriteString("EMC\n")
		w.marked = false
	}
}

func (w *pdfContent) beginPart(role, alt string) {
	w.unmark()
	next := &part{role: role, alt: alt, above: w.in}
	w.in.kids = append(w.in.kids, partKid{part: next})
	w.in = next
}

func (w *pdfContent) endPart() {
	w.unmark()
	w.in = w.in.above
}

// writeStructure adds the tree of parts to the file: its root, the table that
// leads from marks to parts, and the parts.
func (w *pdfContent) writeStructure(f *pdfFile) {
	root := len(f.offsets) + 1
	next := root + 2
	w.top.role = "Document"
	number(&w.top, &next)
	f.object(fmt.Sprintf("<< /Type /StructTreeRoot /K %d 0 R /ParentTree %d 0 R /ParentTreeNextKey 1 >>", w.top.object, root+1))
	var table strings.Builder
	for _, p := range w.marks {
		fmt.Fprintf(&table, "%d 0 R ", p.object)
	}
	f.object("<< /Nums [0 [" + table.String() + "]] >>")
	w.top.write(f, root)
}

// number gives a part and those within it the numbers of their objects.
func number(p *part, next *int) {
	p.object = *next
	*next++
	for _, kid := range p.kids {
		if kid.part != nil {
			number(kid.part, next)
		}
	}
}

func (p *part) write(f *pdfFile, above int) {
	var kids strings.Builder
	for _, kid := range p.kids {
		if kid.part != nil {
			fmt.Fprintf(&kids, "%d 0 R ", kid.object)
		} else {
			fmt.Fprintf(&kids, "%d ", kid.mark)
		}
	}
	alt := ""
	if p.alt != "" {
		alt = " /Alt " + textString(p.alt)
	}
	if p.role == string(RowHead) {
		alt += " /A << /O /Table /Scope /Row >>"
	}
	f.object(fmt.Sprintf("<< /Type /StructElem /S /%s /P %d 0 R /Pg 3 0 R /K [%s]%s >>", p.role, above, kids.String(), alt))
	for _, kid := range p.kids {
		if kid.part != nil {
			kid.write(f, p.object)
		}
	}
}
