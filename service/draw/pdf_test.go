package draw

import (
	"bytes"
	"cmp"
	"compress/zlib"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"github.com/go-text/typesetting/font/opentype"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// pdfObjects are the objects of a PDF, found by its own table of them.
func pdfObjects(t *testing.T, pdf []byte) map[int]string {
	t.Helper()
	table := regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindSubmatch(pdf)
	require.NotNil(t, table)
	at, err := strconv.Atoi(string(table[1]))
	require.NoError(t, err)
	require.True(t, bytes.HasPrefix(pdf[at:], []byte("xref\n0 ")))
	objects := map[int]string{}
	for i, entry := range regexp.MustCompile(`(\d{10}) 00000 n \n`).FindAllSubmatch(pdf[at:], -1) {
		offset, err := strconv.Atoi(string(entry[1]))
		require.NoError(t, err)
		head := strconv.Itoa(i+1) + " 0 obj\n"
		require.True(t, bytes.HasPrefix(pdf[offset:], []byte(head)), "object %d", i+1)
		body, _, found := bytes.Cut(pdf[offset+len(head):], []byte("\nendobj\n"))
		require.True(t, found)
		objects[i+1] = string(body)
	}
	return objects
}

// pdfStream is an object's stream, which is as long as the object says.
func pdfStream(t *testing.T, object string) string {
	t.Helper()
	m := regexp.MustCompile(`(?s)/Length (\d+).*?>>\nstream\n(.*)\nendstream$`).FindStringSubmatch(object)
	require.NotNil(t, m, "%.80q", object)
	require.Equal(t, m[1], strconv.Itoa(len(m[2])))
	return m[2]
}

var (
	firstReference = func(object, name string) int {
		m := regexp.MustCompile(`/` + name + ` \[?(\d+) 0 R`).FindStringSubmatch(object)
		if m == nil {
			return 0
		}
		n, _ := strconv.Atoi(m[1])
		return n
	}
	shownText = regexp.MustCompile(`/F(\d) [^<\n]*<([0-9a-f]*)> Tj`)
	mapped    = regexp.MustCompile(`(?m)^<([0-9a-f]{4})> <([0-9a-f]+)>$`)
)

// letters are those of a page's font, by the numbers that the page writes.
func letters(t *testing.T, objects map[int]string, weight string) map[string]string {
	t.Helper()
	all := map[string]string{}
	fontObject := objects[firstReference(objects[3], "F"+weight)]
	for _, m := range mapped.FindAllStringSubmatch(pdfStream(t, objects[firstReference(fontObject, "ToUnicode")]), -1) {
		if m[1] == "0000" { // the range of all numbers
			continue
		}
		var text []rune
		for i := 0; i < len(m[2]); i += 4 {
			n, err := strconv.ParseUint(m[2][i:i+4], 16, 32)
			require.NoError(t, err)
			text = append(text, rune(n))
		}
		all[m[1]] = string(text)
	}
	return all
}

// pdfTexts are the texts of a PDF's page in order, read as its fonts map them.
func pdfTexts(t *testing.T, pdf []byte) []string {
	t.Helper()
	objects := pdfObjects(t, pdf)
	var texts []string
	for _, m := range shownText.FindAllStringSubmatch(pdfStream(t, objects[4]), -1) {
		of, text := letters(t, objects, m[1]), ""
		for i := 0; i < len(m[2]); i += 4 {
			text += of[m[2][i:i+4]]
		}
		texts = append(texts, text)
	}
	return texts
}

// The PDF's table of objects points at its objects, its streams are as long as it
// says, and title and texts are in it, whatever their letters.
func TestPDF(t *testing.T) {
	pdf := trial().PDF()
	require.True(t, bytes.HasPrefix(pdf, []byte("%PDF-1.7\n")))
	content := pdfStream(t, pdfObjects(t, pdf)[4])
	assert.Contains(t, content, "0.043 0.239 0.569 RG\n28.346 274.961 m\n56.693 246.614 l\nS\n")
	assert.Contains(t, content, "0.886 g\n85.039 274.961 m\n")
	// It ends at its point, so it begins as far below as it is wide, and goes up.
	assert.Regexp(t, `0 g\nBT /F0 8.504 Tf 0 1 -1 0 141.732 265.50\d Tm <[0-9a-f]{8}> Tj ET\n`, content)
	assert.Equal(t, []string{"Łódź, Ωμέγα, Причал", `Left (round) \ slash`, "Mitte äöü €", "海図室 <&>", "up"}, pdfTexts(t, pdf))
	assert.Contains(t, string(pdf), "<feff0054007200690061006c") // "Trial"
	assert.Contains(t, string(pdf), "6d77>")                     // and its last letter, which the font lacks
	assert.Contains(t, string(pdf), `<rdf:li xml:lang="x-default">Trial &amp; &lt;error&gt; 海</rdf:li>`)
	assert.Contains(t, string(pdf), "/Lang (en)")
	assert.Contains(t, string(pdf), "/PrintScaling /None")
	assert.Contains(t, string(pdf), "/MediaBox [0 0 595.276 841.89]")
	assert.NotContains(t, string(pdf), "Date")
	assert.Equal(t, pdf, trial().PDF(), "the same page, the same bytes")
	other := trial()
	other.Title = "Trail"
	id := regexp.MustCompile(`/ID \[<(\w+)>`)
	assert.NotEqual(t, id.FindString(string(pdf)), id.FindString(string(other.PDF())))
}

// What is marked in the content leads to its part and back, and what is in no part
// is marked as an ornament.
func TestPDFStructure(t *testing.T) {
	objects := pdfObjects(t, trial().PDF())
	content := pdfStream(t, objects[4])
	assert.Contains(t, content, "/H1 << /MCID 0 >> BDC\n")
	assert.Contains(t, content, "/Figure << /MCID 1 >> BDC\n")
	assert.Contains(t, content, "/Artifact BMC\n")
	assert.Equal(t, 3, bytes.Count([]byte(content), []byte("EMC\n")))
	root := objects[firstReference(objects[1], "StructTreeRoot")]
	document := objects[firstReference(root, "K")]
	assert.Contains(t, document, "/S /Document")
	table := regexp.MustCompile(`\[0 \[(\d+) 0 R (\d+) 0 R \]\]`).FindStringSubmatch(objects[firstReference(root, "ParentTree")])
	require.NotNil(t, table)
	for mark, want := range []string{"/S /H1 ", "/S /Figure "} {
		n, err := strconv.Atoi(table[mark+1])
		require.NoError(t, err)
		assert.Contains(t, objects[n], want)
		assert.Contains(t, objects[n], "/K ["+strconv.Itoa(mark)+" ]")
		assert.Regexp(t, `/K \[.*\b`+table[mark+1]+` 0 R `, document)
	}
	assert.Contains(t, objects[firstReference(objects[1], "StructTreeRoot")], "/ParentTreeNextKey 1")
}

// The embedded fonts draw each letter as the whole ones do: the same outline, as
// wide; one that they lack stands as a box.
func TestEmbeddedFonts(t *testing.T) {
	objects := pdfObjects(t, trial().PDF())
	seen := ""
	for weight, file := range [][]byte{regularFile, boldFile} {
		whole, err := sfnt.Parse(file)
		require.NoError(t, err)
		subset := embedded(t, objects, strconv.Itoa(weight))
		for number, letter := range letters(t, objects, strconv.Itoa(weight)) {
			n, err := strconv.ParseUint(number, 16, 16)
			require.NoError(t, err)
			sameGlyph(t, whole, subset, []rune(letter)[0], sfnt.GlyphIndex(n))
			seen += letter
		}
	}
	assert.Contains(t, seen, "ä", "letters made of others are among them")
	assert.Contains(t, seen, "海", "and some that the font lacks")
}

// embedded is the font of a weight as a file of its own.
func embedded(t *testing.T, objects map[int]string, weight string) *sfnt.Font {
	t.Helper()
	descendant := objects[firstReference(objects[firstReference(objects[3], "F"+weight)], "DescendantFonts")]
	file := pdfStream(t, objects[firstReference(objects[firstReference(descendant, "FontDescriptor")], "FontFile2")])
	r, err := zlib.NewReader(bytes.NewReader([]byte(file)))
	require.NoError(t, err)
	raw, err := io.ReadAll(r)
	require.NoError(t, err)
	assert.Less(t, len(raw), 20_000, "a subset")
	subset, err := sfnt.Parse(withMap(t, raw))
	require.NoError(t, err)
	return subset
}

func sameGlyph(t *testing.T, whole, subset *sfnt.Font, letter rune, n sfnt.GlyphIndex) {
	t.Helper()
	var a, b sfnt.Buffer
	size := fixed.I(2048)
	glyph, err := whole.GlyphIndex(&a, letter)
	require.NoError(t, err)
	lacks := glyph == 0
	if lacks {
		glyph, err = whole.GlyphIndex(&a, Stand)
		require.NoError(t, err)
	}
	want, err := whole.LoadGlyph(&a, glyph, size, nil)
	require.NoError(t, err)
	got, err := subset.LoadGlyph(&b, n, size, nil)
	require.NoError(t, err)
	assert.Equal(t, want, got, string(letter))
	wide, err := whole.GlyphAdvance(&a, glyph, size, font.HintingNone)
	require.NoError(t, err)
	as, err := subset.GlyphAdvance(&b, n, size, font.HintingNone)
	require.NoError(t, err)
	assert.Equal(t, wide, as, string(letter))
}

// Every letter of Latin, Greek and Cyrillic is in both weights, and each of the
// letters that the page is told of can be set.
func TestLetters(t *testing.T) {
	assert.Empty(t, Lacking("Łódź Ωμέγα Причал Überlänge ÄÖÜß àçêñøåæœ Ğışż ЖЩЫЪЇЄҐ ½ ° ′ ″ − × ≤ ≥"))
	assert.Equal(t, []rune("海図室"), Lacking("海 図 室 海"))
	assert.Equal(t, []rune("של"), Lacking("של"), "it would stand turned round")
	count := 0
	for _, from := range Letters() {
		for r := from[0]; r <= from[1]; r++ {
			count++
			require.NotZero(t, faces()[Regular].glyph(r))
			require.NotZero(t, faces()[Bold].glyph(r))
		}
	}
	assert.Greater(t, count, 2000)
}

// Another reader finds the same: fonts embedded, texts, title, language, structure.
func TestPDFReadByOthers(t *testing.T) {
	name := filepath.Join(t.TempDir(), "trial.pdf")
	require.NoError(t, os.WriteFile(name, trial().PDF(), 0o600))
	read := func(tool string, args ...string) string {
		if _, err := exec.LookPath(tool); err != nil && os.Getenv("CI") != "true" {
			t.Skipf("%s is not installed", tool)
		}
		out, err := exec.Command(tool, args...).CombinedOutput()
		require.NoError(t, err, "%s: %s", tool, out)
		return string(out)
	}
	assert.Regexp(t, `(?m)^[A-Z]{6}\+LiberationSans +CID TrueType +Identity-H +yes yes yes`, read("pdffonts", name))
	assert.Regexp(t, `(?m)^[A-Z]{6}\+LiberationSans-Bold +CID TrueType +Identity-H +yes yes yes`, read("pdffonts", name))
	assert.Contains(t, read("pdftotext", name, "-"), "Łódź, Ωμέγα, Причал")
	info := read("pdfinfo", name)
	assert.Contains(t, info, "Trial & <error> 海")
	assert.Regexp(t, `(?m)^Tagged: +yes`, info)
	structure := read("pdfinfo", "-struct-text", name)
	assert.Contains(t, structure, "H1 (block)")
	assert.NotContains(t, structure, "rror")
}

// withMap gives an embedded font a table of letters, without which the test's
// reader of fonts takes none.
func withMap(t *testing.T, raw []byte) []byte {
	t.Helper()
	loader, err := opentype.NewLoader(bytes.NewReader(raw))
	require.NoError(t, err)
	whole, err := opentype.NewLoader(bytes.NewReader(regularFile))
	require.NoError(t, err)
	var all []opentype.Table
	for _, name := range append([]string{"OS/2", "cmap", "name", "post"}, subsetTables...) {
		from := loader
		if !from.HasTable(opentype.MustNewTag(name)) {
			from = whole
		}
		content, err := from.RawTable(opentype.MustNewTag(name))
		require.NoError(t, err)
		if name == "post" { // of version 3: without names
			content = append([]byte{0, 3, 0, 0}, content[4:32]...)
		}
		all = append(all, opentype.Table{Content: content, Tag: opentype.MustNewTag(name)})
	}
	slices.SortFunc(all, func(a, b opentype.Table) int { return cmp.Compare(a.Tag, b.Tag) })
	return fontFile(all)
}
