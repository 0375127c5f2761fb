package formula

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Evaluate returns the value of a formula's text with the values of its symbols.
// The text is written as in a book:
//
//	c = K + 2 (d - g) - 2 h tan a            side by side multiplies, as tightly as * and /
//	sqrt(R^2 - x^2), |m|, min(x, y)          tan, sin, cos, atan, sqrt, exp, log2, floor, min, max, Phi
//	the smaller of x and y
//	2 pi r                                   the ratio of a circle's circumference to its diameter
//	x - y, not below 0                       at least that
//	x + y, of 0 to z                         from the one to the other
//	d - g <= F_p - 3                         the bound
//	p = i/k, k = w_t/E_t + w_p/E_p           further parts define what the first uses
//
// A function without parentheses takes what stands directly behind it. tan, sin
// and cos take degrees, atan gives them; Phi is the standard normal distribution
// function. Any key of values is a symbol, the longest that fits: "h*" is one
// where there is an "h*".
//
// Errors: text that is not of this form, and symbols without a value.
func Evaluate(text string, values Values) (float64, error) {
	f, err := read(text, values)
	if err != nil {
		return 0, fmt.Errorf("reading %q: %w", text, err)
	}
	x, err := f.value()
	if err != nil {
		return 0, fmt.Errorf("evaluating %q: %w", text, err)
	}
	return x, nil
}

// functions of one argument.
var functions = map[string]func(float64) float64{
	"tan":   func(x float64) float64 { return math.Tan(x * math.Pi / 180) },
	"sin":   func(x float64) float64 { return math.Sin(x * math.Pi / 180) },
	"cos":   func(x float64) float64 { return math.Cos(x * math.Pi / 180) },
	"atan":  func(x float64) float64 { return math.Atan(x) * 180 / math.Pi },
	"sqrt":  math.Sqrt,
	"exp":   math.Exp,
	"log2":  math.Log2,
	"floor": math.Floor,
	"Phi":   func(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 },
}

// words that are neither symbol nor function.
var words = []string{"the smaller of", "not below", "and", "of", "to", "min", "max"}

// written is a formula's text cut into its parts.
type written struct {
	values  Values
	main    []string            // tokens of the first part's right side
	limits  [][]string          // parts such as "not below 0"
	defined map[string][]string // right sides of the further parts
}

func read(text string, values Values) (*written, error) {
	parts := split(text)
	names := make([]string, 0, len(values)+len(parts))
	for symbol := range values {
		names = append(names, symbol)
	}
	for _, part := range parts {
		if left, _, ok := sides(part); ok {
			names = append(names, left)
		}
	}
	slices.SortFunc(names, func(a, b string) int { return len(b) - len(a) })
	w := &written{values: values, defined: map[string][]string{}}
	for i, part := range parts {
		left, right, equation := sides(part)
		tokens, err := tokensOf(right, names)
		switch {
		case err != nil:
			return nil, err
		case i == 0:
			w.main = tokens
		case equation:
			w.defined[left] = tokens
		default:
			w.limits = append(w.limits, tokens)
		}
	}
	return w, nil
}

// sides returns what an equation defines, and by what. The bound of an inequality
// is its right side.
func sides(part string) (left, right string, equation bool) {
	for _, sign := range [...]string{" = ", " >= ", " <= "} {
		if left, right, ok := strings.Cut(part, sign); ok {
			return left, right, true
		}
	}
	return "", part, false
}

// split cuts a text at its commas outside parentheses.
func split(text string) []string {
	var parts []string
	depth, from := 0, 0
	for i, r := range text {
		switch r {
		case '(':
			depth++
		case ')':
			depth--
		case ',':
			if depth == 0 {
				parts = append(parts, strings.TrimSpace(text[from:i]))
				from = i + 1
			}
		}
	}
	return append(parts, strings.TrimSpace(text[from:]))
}

// tokensOf cuts an expression into symbols, words, functions, numbers and signs.
func tokensOf(expression string, symbols []string) ([]string, error) {
	var tokens []string
	for rest := strings.TrimSpace(expression); rest != ""; rest = strings.TrimSpace(rest) {
		n := tokenOf(rest, symbols)
		if n == 0 {
			return nil, fmt.Errorf("nothing is known of %q", rest)
		}
		tokens = append(tokens, rest[:n])
		rest = rest[n:]
	}
	return tokens, nil
}

// tokenOf returns how long the token is that a text starts with, 0 for none.
func tokenOf(rest string, symbols []string) int {
	for _, list := range [...][]string{symbols, words} {
		for _, name := range list {
			if strings.HasPrefix(rest, name) && endsAt(rest, len(name)) {
				return len(name)
			}
		}
	}
	n := strings.IndexFunc(rest, func(r rune) bool { return r != '.' && !unicode.IsDigit(r) })
	if n < 0 {
		return len(rest)
	}
	if n > 0 {
		return n
	}
	if strings.ContainsRune("+-*/^()|,", rune(rest[0])) {
		return 1
	}
	for name := range functions {
		if strings.HasPrefix(rest, name) && endsAt(rest, len(name)) {
			return len(name)
		}
	}
	if strings.HasPrefix(rest, "pi") && endsAt(rest, 2) {
		return 2
	}
	return 0
}

// endsAt reports whether a name that ends at n is not the beginning of a longer one.
func endsAt(rest string, n int) bool {
	isName := func(b byte) bool { return b == '_' || unicode.IsLetter(rune(b)) || unicode.IsDigit(rune(b)) }
	return n == len(rest) || !isName(rest[n]) || !isName(rest[n-1])
}

// value is that of the first part, within its limits.
func (w *written) value() (float64, error) {
	x, err := w.of(w.main)
	if err != nil {
		return 0, err
	}
	for _, limit := range w.limits {
		switch limit[0] {
		case "not below":
			low, err := w.of(limit[1:])
			if err != nil {
				return 0, err
			}
			x = math.Max(x, low)
		case "of":
			at := slices.Index(limit, "to")
			if at < 0 {
				return 0, fmt.Errorf("a range without an end")
			}
			low, err := w.of(limit[1:at])
			if err != nil {
				return 0, err
			}
			high, err := w.of(limit[at+1:])
			if err != nil {
				return 0, err
			}
			x = math.Min(math.Max(x, low), high)
		default:
			return 0, fmt.Errorf("%q defines nothing", strings.Join(limit, " "))
		}
	}
	return x, nil
}

func (w *written) of(tokens []string) (float64, error) {
	p := parser{in: w, tokens: tokens}
	x := p.sum()
	if p.err == nil && p.at < len(tokens) {
		p.fail("%q is one too many", tokens[p.at])
	}
	return x, p.err
}

// parser walks once through an expression and computes it on the way.
type parser struct {
	in     *written
	tokens []string
	at     int
	bars   int // open ones of absolute values
	err    error
}

func (p *parser) fail(format string, args ...any) {
	if p.err == nil {
		p.err = fmt.Errorf(format, args...)
	}
	p.at = len(p.tokens)
}

func (p *parser) next() string {
	if p.at < len(p.tokens) {
		return p.tokens[p.at]
	}
	return ""
}

func (p *parser) take(token string) bool {
	if p.next() == token {
		p.at++
		return true
	}
	return false
}

func (p *parser) expect(token string) {
	if !p.take(token) {
		p.fail("%q instead of %q", p.next(), token)
	}
}

func (p *parser) sum() float64 {
	x := p.product()
	for p.at < len(p.tokens) {
		switch {
		case p.take("+"):
			x += p.product()
		case p.take("-"):
			x -= p.product()
		default:
			return x
		}
	}
	return x
}

func (p *parser) product() float64 {
	x := p.signed()
	for p.at < len(p.tokens) {
		switch {
		case p.take("*"):
			x *= p.signed()
		case p.take("/"):
			x /= p.signed()
		case p.operand():
			x *= p.signed()
		default:
			return x
		}
	}
	return x
}

// operand reports whether what stands next is one more factor without a sign.
func (p *parser) operand() bool {
	token := p.next()
	return token == "(" || token == "|" && p.bars == 0 || token == "min" || token == "max" || !strings.Contains("+-*/^)|,", token) && !slices.Contains(words, token)
}

func (p *parser) signed() float64 {
	if p.take("-") {
		return -p.signed()
	}
	x := p.primary()
	if p.take("^") {
		return math.Pow(x, p.signed())
	}
	return x
}

func (p *parser) primary() float64 {
	token := p.next()
	p.at++
	switch token {
	case "(":
		x := p.sum()
		p.expect(")")
		return x
	case "|":
		p.bars++
		x := p.sum()
		p.bars--
		p.expect("|")
		return math.Abs(x)
	case "the smaller of":
		x := p.sum()
		p.expect("and")
		return math.Min(x, p.sum())
	case "min", "max":
		return p.extreme(token)
	}
	if token == "pi" {
		return math.Pi
	}
	if f, ok := functions[token]; ok {
		return f(p.primary())
	}
	if x, ok := p.in.values[token]; ok {
		return x
	}
	if right, ok := p.in.defined[token]; ok {
		x, err := p.in.of(right)
		if err != nil {
			p.fail("%s: %w", token, err)
		}
		return x
	}
	x, err := strconv.ParseFloat(token, 64)
	if err != nil {
		p.fail("%q has no value", token)
	}
	return x
}

func (p *parser) extreme(which string) float64 {
	p.expect("(")
	x := p.sum()
	for p.take(",") {
		if y := p.sum(); which == "min" {
			x = math.Min(x, y)
		} else {
			x = math.Max(x, y)
		}
	}
	p.expect(")")
	return x
}
