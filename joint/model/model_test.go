package model_test

import (
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/printer"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint/formula"
	"snugtail/joint/model"
)

var update = flag.Bool("update", false, "write the tables of joint/model.md anew")

func TestRecords(t *testing.T) {
	names := map[string]bool{}
	for _, r := range model.Formulas() {
		assert.NoError(t, r.Check())
		assert.False(t, names[r.Name], "two formulas are named %q", r.Name)
		names[r.Name] = true
	}
	for _, p := range model.Procedures() {
		assert.False(t, names[p.Name], "two formulas are named %q", p.Name)
		names[p.Name] = true
		assert.NotEmpty(t, p.Text, p.Name)
		assert.NotEmpty(t, p.Source, p.Name)
		assert.NotZero(t, p.Section, p.Name)
	}
}

// mutants of a text: one sign or one function turned.
func mutants(text string) []string {
	var all []string
	for _, turn := range [][2]string{
		{" + ", " - "}, {" - ", " + "}, {"tan ", "cos "}, {"/", "*"}, {"min(", "max("}, {"max(", "min("}, {"^2", "^3"}, {"2 ", "3 "}, {"not below 0", "not below 1"},
	} {
		for from := len(text) - len(bound(text)); ; {
			at := strings.Index(text[from:], turn[0])
			if at < 0 {
				break
			}
			at += from
			all = append(all, text[:at]+turn[1]+text[at+len(turn[0]):])
			from = at + len(turn[0])
		}
	}
	return all
}

// bound is what is computed: the right side of a definition or an inequality.
func bound(text string) string {
	for _, sign := range [...]string{" >= ", " <= ", " = "} {
		if _, right, ok := strings.Cut(text, sign); ok {
			return right
		}
	}
	return text
}

// A sign that is changed in a text fails the record's check.
func TestChangedTextsFail(t *testing.T) {
	tried, survived := 0, []string{}
	for _, r := range model.Formulas() {
		for _, text := range mutants(r.Text) {
			changed := *r
			changed.Text = text
			tried++
			if changed.Check() == nil {
				survived = append(survived, r.Name+": "+text)
			}
		}
	}
	assert.Greater(t, tried, 300)
	assert.Empty(t, strings.Join(survived, "\n"))
}

// A function that is off by a ten-thousandth fails it too.
func TestChangedFunctionsFail(t *testing.T) {
	for _, r := range model.Formulas() {
		changed := *r
		changed.Function = func(v formula.Values) float64 { return r.Function(v) + 1e-4 }
		assert.Error(t, changed.Check(), r.Name)
		changed = *r
		changed.Result += 2e-4
		assert.Error(t, changed.Check(), r.Name)
	}
}

const page = "../model.md"

func TestPage(t *testing.T) {
	raw, err := os.ReadFile(page)
	require.NoError(t, err)
	written := string(raw)
	blocks := regexp.MustCompile(`(?s)<!-- (symbols|formulas (\d+)) -->\n.*?<!-- end -->`)
	seen := map[int]bool{}
	want := blocks.ReplaceAllStringFunc(written, func(block string) string {
		match := blocks.FindStringSubmatch(block)
		if match[1] == "symbols" {
			return "<!-- symbols -->\n" + symbolTable() + "<!-- end -->"
		}
		section, _ := strconv.Atoi(match[2])
		seen[section] = true
		return fmt.Sprintf("<!-- formulas %d -->\n%s<!-- end -->", section, tables(section))
	})
	for _, r := range model.Formulas() {
		assert.True(t, seen[r.Section], "%s: no tables for section %d in %s", r.Name, r.Section, page)
	}
	headings := regexp.MustCompile(`(?m)^## (\d+)\. `).FindAllStringSubmatch(written, -1)
	for i, h := range headings {
		assert.Equal(t, strconv.Itoa(i+1), h[1], "sections are numbered from 1")
	}
	if *update {
		require.NoError(t, os.WriteFile(page, []byte(want), 0o600))
		return
	}
	assert.Equal(t, want, written, "go test ./joint/model -update writes the tables anew")
}

func symbolTable() string {
	var b strings.Builder
	b.WriteString("\n| symbol | unit | meaning |\n|---|---|---|\n")
	for _, s := range formula.Shared() {
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", s.Name, s.Unit, s.Meaning)
	}
	return b.String() + "\n"
}

// tables are the records of a section, its own symbols, and its procedures.
func tables(section int) string {
	var b strings.Builder
	b.WriteString("\n| | formula | example | source | function |\n|---|---|---|---|---|\n")
	for _, r := range model.Formulas() {
		if r.Section == section {
			fmt.Fprintf(&b, "| %s | `%s`%s | %s | %s | `%s` |\n", r.Name, bars(r.Text), bars(r.Remark), bars(example(r)), r.Source, r.Code)
		}
	}
	if own := ownSymbols(section); own != "" {
		fmt.Fprintf(&b, "\nSymbols of this section alone: %s.\n", own)
	}
	for _, p := range model.Procedures() {
		if p.Section == section {
			fmt.Fprintf(&b, "\n- *%s* (`%s`; %s): %s.", p.Name, p.Code, p.Source, p.Text)
		}
	}
	return strings.TrimRight(b.String(), "\n") + "\n\n"
}

func bars(text string) string { return strings.ReplaceAll(text, "|", `\|`) }

func example(r *formula.Record) string {
	figure := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	var parts []string
	for _, s := range r.Symbols {
		parts = append(parts, s.Name+" "+figure(r.Example[s.Name]))
	}
	unit := " " + r.Unit
	if r.Unit == "1" || r.Unit == "as x" {
		unit = ""
	}
	return strings.Join(parts, ", ") + ": **" + figure(r.Result) + "**" + unit
}

// ownSymbols tells those that are not in section 2; one with several meanings
// by the formulas that it is of.
func ownSymbols(section int) string {
	type told struct {
		symbol formula.Symbol
		of     []string
	}
	var all []*told
	for _, r := range model.Formulas() {
		for _, s := range r.Symbols {
			if r.Section != section || slices.Contains(formula.Shared(), s) {
				continue
			}
			i := slices.IndexFunc(all, func(t *told) bool { return t.symbol == s })
			if i < 0 {
				all, i = append(all, &told{symbol: s}), len(all)
			}
			all[i].of = append(all[i].of, r.Name)
		}
	}
	var lines []string
	for _, t := range all {
		several := slices.ContainsFunc(all, func(o *told) bool { return o != t && o.symbol.Name == t.symbol.Name })
		shared := slices.ContainsFunc(formula.Shared(), func(s formula.Symbol) bool { return s.Name == t.symbol.Name })
		line := fmt.Sprintf("`%s` %s", t.symbol.Name, t.symbol.Meaning)
		if t.symbol.Unit != "1" {
			line += ", " + t.symbol.Unit
		}
		if several || shared {
			line += " (" + strings.Join(t.of, "; ") + ")"
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "; ")
}

// function is an exported function of the textbook.
type function struct{ name, results string }

// functions reads every exported function from the source.
func functions(t *testing.T) []function {
	var all []function
	set := token.NewFileSet()
	require.NoError(t, filepath.WalkDir("..", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(set, path, nil, 0)
		require.NoError(t, err)
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Name.IsExported() {
				all = append(all, function{file.Name.Name + "." + receiver(f) + f.Name.Name, results(set, f)})
			}
		}
		return nil
	}))
	require.Greater(t, len(all), 150)
	return all
}

func receiver(f *ast.FuncDecl) string {
	if f.Recv == nil {
		return ""
	}
	of := f.Recv.List[0].Type
	if star, ok := of.(*ast.StarExpr); ok {
		of = star.X
	}
	return of.(*ast.Ident).Name + "."
}

func results(set *token.FileSet, f *ast.FuncDecl) string {
	if f.Type.Results == nil {
		return ""
	}
	var b strings.Builder
	for _, r := range f.Type.Results.List {
		_ = printer.Fprint(&b, set, r.Type)
		b.WriteString(" ")
	}
	return b.String()
}

// quantities are results that some formula gives.
var quantities = regexp.MustCompile(`\b(length\.Length|length\.Size|Size|float64|Angle|joint\.Angle|Budget|BandProbability|Widths|Section|RoundEnds|` +
	`Engagement|Extent|Seat|Projection|Hold|Spread|Fit|Swelling|Effort|wood\.Effort|Moved|Trend|Chart|Year|Cost|BreakEven|SeatChance|Posterior|Prediction)\b`)

// without lists exported functions with such results that are no formulas, and
// why.
var without = map[string]string{
	"joint.Angle.Radians":           "a change of unit",
	"joint.Angle.Tan":               "a function of mathematics",
	"joint.Depth.Deeper":            "one of two stated sizes",
	"joint.Joint.ShallowerDepth":    "one of two stated sizes",
	"joint.Joint.EdgeStep":          "a stated size",
	"joint.Joint.SeatPressed":       "Joint.Seat with play 0",
	"joint.Bands.Edges":             "the limits of the bands, told beside them",
	"joint.Budget.Total":            "a sum",
	"joint.NormalSpread":            "holds what it is given",
	"normal.CDF":                    "joint.NormalCDF from a table",
	"joint.Joint.LastingSpread":     "Joint.Spread without the depth's term",
	"joint.Predict":                 "gathers what Joint.Predict does",
	"joint.Joint.FitWith":           "Joint.Fit with another distribution",
	"effort.Closing":                "asks wood.Closing",
	"hold.Friction":                 "a stated figure",
	"length.Length.MM":              "the length itself",
	"length.Length.Inches":          "a change of unit",
	"length.Length.Rounded":         "rounds",
	"length.NearestWhole":           "rounds",
	"length.Nearest64":              "rounds",
	"length.Exactly":                "holds what it is given",
	"length.Within":                 "holds what it is given",
	"length.Size.Or":                "one of two sizes",
	"length.Parse":                  "reads text",
	"parts.Size.Less":               "a difference, side by side",
	"seasons.Question.OverHumidity": "seasons.Question.Through, step by step",
	"shape.Box.Width":               "a difference",
	"shape.Box.Height":              "a difference",
	"shape.FactorToSee":             "how large play is drawn",
	"belief.Observer.Of":            "gathers all that section 9 tells of",
	"formula.Evaluate":              "evaluates records",
	"formula.Known":                 "serves records",
	"wood.Middle":                   "medians of the table",
	"belief.Observer.Without":       "Observer.Of with fewer joints",
	"layout.HalfPinsDown":           "whole pitches, rounded",
	"layout.HalfPinsUp":             "whole pitches, rounded",
	"seasons.Down":                  "rounds",
	"seasons.Up":                    "rounds",
	"wood.Board.Strain":             "wood.Strain of the board's species, or a sheet's stated figure",
	"belief.Posterior.Play":         "what belief.Posterior.At says of the latest joint",
	"belief.Posterior.Chance":       "joint.InTarget of belief.Posterior.At",
	"belief.Posterior.PlayInTarget": "belief.Posterior.At of the latest joint",
	"belief.Posterior.SettingPlay":  "the terms that package joint has in its budget",
	"belief.Feel.Interval":          "the table of feels in section 9",
	"belief.Play.CDF":               "the distribution that belief.Posterior.At tells of",
	"belief.Play.Mean":              "the same",
	"belief.Play.SD":                "the same",
	"belief.Play.Median":            "the same",
	"belief.Play.Range95":           "the same",
}

func TestEveryFormulaHasARecord(t *testing.T) {
	recorded := map[string]bool{}
	for _, r := range model.Formulas() {
		recorded[r.Code] = true
	}
	for _, p := range model.Procedures() {
		recorded[p.Code] = true
	}
	exist := map[string]bool{}
	for _, f := range functions(t) {
		exist[f.name] = true
		if strings.HasPrefix(f.name, "advise.") || !quantities.MatchString(f.results) { // advise decides, it computes nothing of the joint
			continue
		}
		_, excused := without[f.name]
		assert.True(t, recorded[f.name] != excused, "%s has %s: a record, or a reason in this test, and not both", f.name, f.results)
	}
	for name := range recorded {
		assert.True(t, exist[name], "a record names %s, which is no exported function", name)
	}
	for name := range without {
		assert.True(t, exist[name], "%s needs no reason: it does not exist", name)
	}
}

// What comments and answers cite of the model stands in its page, and documents
// that they name are part of the repository.
func TestCitations(t *testing.T) {
	raw, err := os.ReadFile(page)
	require.NoError(t, err)
	last := len(regexp.MustCompile(`(?m)^## \d+\. `).FindAllString(string(raw), -1))
	section := regexp.MustCompile(`(?s)\bmodel(?:\.md)?[,:]? ?(?://)?\s*sections? (\d+)`)
	document := regexp.MustCompile(`[\w./-]+\.md\b`)
	cited := 0
	require.NoError(t, filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == ".git" || d.Name() == "node_modules") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, ".md") && !strings.HasSuffix(path, ".yaml") {
			return nil
		}
		text, err := os.ReadFile(path) // #nosec G304 -- a test reads its own repository
		require.NoError(t, err)
		for _, match := range section.FindAllStringSubmatch(string(text), -1) {
			n, err := strconv.Atoi(match[1])
			require.NoError(t, err)
			assert.True(t, n >= 1 && n <= last, "%s cites section %d", path, n)
			cited++
		}
		for _, name := range document.FindAllString(string(text), -1) {
			here, root := filepath.Join(filepath.Dir(path), name), filepath.Join("../..", name)
			assert.True(t, exists(here) || exists(root), "%s names %s, which is not there", path, name)
		}
		return nil
	}))
	assert.Greater(t, cited, 20)
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}
