package message

import (
	"encoding/json"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint/length"
)

const figuresOf = `
figure.comma: ","
figure.mm: " mm"
figure.inch: " Zoll"
figure.degrees: "°"
figure.percent: " %"
figure.under: "unter "
figure.over: "über "
figure.just_over: "knapp über "
figure.just_under: "knapp unter "
list.and: " und "
list.or: " oder "
`

// printer speaks a language of a few sentences.
func printer(t *testing.T, sentences string) Printer {
	t.Helper()
	c, err := readOne(fstest.MapFS{"texts/de.yaml": {Data: []byte(figuresOf + sentences)}}, "texts/de.yaml")
	require.NoError(t, err)
	return Printer{Catalogue: c}
}

func TestPatterns(t *testing.T) {
	p := printer(t, `
part.pin: der Zinken
part.pin@dative: dem Zinken
m: "{part capital} liegt an {part @dative}: {n plural one{# Stück} other{# Stücke}}, {play}, {chance}, {angle}, {x tenths}"
seat: "{by ?{Um {by} daneben.}{Bündig.}}"
way.closer: näher
way.further: weiter
way: "{way select closer{ran} other{weg}}"
list: "{all and}; {all or}; {all comma}; {all plus}; {all}"
braces: '\{"mm"\}'
variant: Kopierhülse
variant@bearing: Anlaufring
inner: "Erst {seat}"
`)
	for want, m := range map[string]Message{
		"Der Zinken liegt an dem Zinken: 1 Stück, 0,13 mm, unter 1 %, 9,5°, 2,3": New("m", Word("part", "part", "pin"), Count("n", 1), Length("play", 0.1267), Chance("chance", 0.001), Angle("angle", 9.5), Number("x", 2.26)),
		"Um 0,5 mm daneben.": New("seat", Length("by", 0.5)),
		"Bündig.":            New("seat"),
		"ran":                New("way", Word("way", "way", "closer")),
		"weg":                New("way", Word("way", "way", "further")),
		"näher":              New("way").As("closer"),
		"a, b und c; a, b oder c; a, b, c; a + b + c; a b c": New("list", Names("all", "a", "b", "c")),
		"Kopierhülse":   New("variant"),
		"Erst Bündig.":  New("inner", Said("seat", New("seat"))),
		"näher Bündig.": Sentences(New("way").As("closer"), Message{}, New("seat")),
		"[nowhere]":     New("nowhere"),
		`{"mm"}`:        New("braces"),
	} {
		assert.Equal(t, want, p.Text(m))
	}
	p.Variant = "bearing"
	assert.Equal(t, "Anlaufring", p.Of("variant"))
}

func TestWrongPatterns(t *testing.T) {
	for _, text := range []string{"{", "}", "{}", "{a", "{a b}", "{a plural one{x}}", "{a select}", "{a ?{x}{y}{z}}", "{a ?}", "{a select b}"} {
		_, err := parsePattern(text)
		assert.Error(t, err, text)
	}
}

// Figures in answers are for programs, whatever the language.
func TestParams(t *testing.T) {
	p := printer(t, "seat: x")
	p.Unit = length.UnitInch
	m := New("seat", Length("gap", 25.4/4), Chance("chance", 1.0/3), Count("n", 2), Angle("angle", 14), Name("name", `a "b"`),
		Word("part", "part", "pin"), Said("why", New("m", Count("n", 1)).As("so")), Said("none", Message{}), List("all", New("m"), Verbatim("v")), Length("near", 1).Beside()).As("off")
	assert.JSONEq(t, `{"state": "off", "gap": {"mm": 6.35, "in": 0.25, "text": "1/4 in"}, "chance": 0.333333, "n": 2, "angle": 14, "name": "a \"b\"",
		"part": "pin", "why": {"code": "m", "params": {"state": "so", "n": 1}}, "none": null, "all": [{"code": "m"}, "v"]}`, string(p.Params(m)))
	assert.Nil(t, p.Params(New("seat", Length("near", 1).Beside())))
	assert.True(t, json.Valid(p.Params(m)))
}

func TestFiguresOfALanguage(t *testing.T) {
	p := printer(t, "")
	assert.Equal(t, "10,85 mm", p.Setting(10.8683))
	p.Unit = length.UnitInch
	assert.Equal(t, "0,429 Zoll (knapp über 27/64)", p.Setting(0.4286*length.Inch))
	assert.Equal(t, "7/16 Zoll", p.Setting(0.43751*length.Inch))
	assert.Equal(t, "7/16 Zoll (11,11 mm)", p.BothSizes(7.0/16*length.Inch))
	assert.Equal(t, "0,429 Zoll (knapp über 27/64; 10,89 mm)", p.BothSettings(0.4286*length.Inch))
}

// What is not whole is neither one thing nor two, in either language.
func TestPluralOfWhatIsNotWhole(t *testing.T) {
	p := printer(t, `m: "{n plural one{{n} Minute} other{{n} Minuten}}"`)
	for want, n := range map[string]float64{"1 Minute": 1, "0,5 Minuten": 0.5, "1,25 Minuten": 1.25, "3 Minuten": 3} {
		assert.Equal(t, want, p.Of("m", Number("n", n)))
	}
}

func TestFirstOfSeveral(t *testing.T) {
	one, two := New("one"), New("two")
	assert.Equal(t, one, Sentences(Message{}, one, two).First())
	assert.Equal(t, one, Sentences(Sentences(one, two), two).First())
	assert.Equal(t, two, two.First())
	assert.Equal(t, Message{}, Sentences().First())
}

func TestBareFigures(t *testing.T) {
	p := printer(t, `m: "{size bare}"`)
	assert.Equal(t, "12,7", p.Of("m", Length("size", 12.7)))
	p.Unit = length.UnitInch
	assert.Equal(t, "-0,4375", p.Of("m", Length("size", -0.4375*length.Inch)))
}

func TestTinyFigures(t *testing.T) {
	p := printer(t, `m: "{wear tiny}"`)
	assert.Equal(t, "-0,0012 mm", p.Of("m", Length("wear", -0.00123)))
	p.Unit = length.UnitInch
	assert.Equal(t, "0,00005 Zoll", p.Of("m", Length("wear", 0.0000512*length.Inch)))
}
