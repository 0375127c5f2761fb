package length

import "strings"

// plain reads the texts that nearly all lengths are written as, in one short
// pass, as the scanner would: a decimal or a fraction, "mm" or "in" after it or
// nothing, and perhaps a tolerance of the same kind. Of any other text it is not
// ok, whether that is a length or none.
func plain(text string, unit Unit) (size Size, ok bool) {
	value, rest, ok := plainTerm(text)
	if !ok {
		return Size{}, false
	}
	if rest == "" {
		value.measure = value.or(defaultMeasure(unit))
		return Exactly(Length(value.value * value.mm)), value.form != fraction || value.inch
	}
	rest, found := strings.CutPrefix(rest, "+/-")
	if !found {
		return Size{}, false
	}
	tolerance, rest, ok := plainTerm(strings.TrimPrefix(rest, " "))
	if !ok || rest != "" {
		return Size{}, false
	}
	either := value.or(tolerance.measure).or(defaultMeasure(unit))
	value.measure, tolerance.measure = value.or(either), tolerance.or(either)
	for _, t := range [...]*term{&value, &tolerance} {
		if t.form == fraction && !t.inch {
			return Size{}, false
		}
	}
	return Within(Length(value.value*value.mm), Length(tolerance.value*tolerance.mm)), true
}

// plainTerm reads a number and its unit if it has one, each with one space behind
// it or none.
func plainTerm(text string) (t term, rest string, ok bool) {
	t.value, t.form, rest, ok = plainNumber(text)
	if !ok {
		return t, "", false
	}
	rest = strings.TrimPrefix(rest, " ")
	if len(rest) < len("in") || rest[0] == '+' {
		return t, rest, rest == "" || rest[0] == '+'
	}
	switch rest[:len("in")] {
	case "in":
		t.measure = measure{mm: MillimetresPerInch, inch: true}
	case "mm":
		t.measure = measure{mm: 1}
	default:
		return t, "", false
	}
	rest = rest[len("in"):]
	if rest != "" && rest[0] != ' ' && rest[0] != '+' { // such as "inch"
		return t, "", false
	}
	return t, strings.TrimPrefix(rest, " "), true
}

// Of up to mostDigits decimal digits a float64 holds the count exactly, and as
// many tens: their quotient is the nearest float64 to the decimal, which is what
// [strconv.ParseFloat] returns.
const mostDigits = 15

var tens = [mostDigits + 1]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// plainNumber reads "12", "1.2" or "7/16".
func plainNumber(text string) (value float64, f form, rest string, ok bool) {
	whole, i := plainDigits(text, 0)
	if i == 0 || i > mostDigits {
		return 0, f, "", false
	}
	if i == len(text) {
		return float64(whole), wholeNumber, "", true
	}
	switch text[i] {
	case '.':
		all, end := plainDigits(text[i+1:], whole)
		if end == 0 || i+end > mostDigits {
			return 0, f, "", false
		}
		return float64(all) / tens[end], decimal, text[i+1+end:], true
	case '/':
		below, end := plainDigits(text[i+1:], 0)
		if end > mostDigits || below == 0 {
			return 0, f, "", false
		}
		return float64(whole) / float64(below), fraction, text[i+1+end:], true
	}
	return float64(whole), wholeNumber, text[i:], true
}

// plainDigits reads digits behind those that make before, and returns how many
// there are. Of more than mostDigits the value is wrong.
func plainDigits(text string, before uint64) (value uint64, n int) {
	for n < len(text) && isDigit(text[n]) {
		before = before*10 + uint64(text[n]-'0')
		n++
	}
	return before, n
}
