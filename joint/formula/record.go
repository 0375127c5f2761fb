package formula

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
)

// Values are the figures of symbols, each in its symbol's unit.
type Values map[string]float64

// Symbol is a letter of a formula, what it stands for and in which unit: "mm",
// "deg", "N", "MPa", "%", "1" for a ratio or a count.
type Symbol struct{ Name, Unit, Meaning string }

// Sources of formulas that no document holds.
const (
	// Derived: it follows from the geometry, and joints cut as solids by an
	// independent kernel agree (testdata/solid-joint.json, testdata/limits.json).
	Derived = "derived; agrees with joints cut as solids"
	// Follows: it follows from what stands before it, and has no case of its own.
	Follows        = "derived"
	CommonPractice = "common practice, no source"
	Memory         = "from memory"
	Judgement      = "judgement"
	// Propagation is the law of propagation of uncertainty.
	Propagation = "JCGM 100:2008, equation 10"
	Guide       = "JCGM 100:2008"
)

// Page is where the records stand in order, each in its section.
const Page = "joint/model.md"

// Record is one formula.
type Record struct {
	Name string
	// Section of the model's page that it stands in.
	Section int
	// Text is what Evaluate reads, and what people read, with Remark behind it.
	Text, Remark string
	Unit         string // of the result
	Symbols      []Symbol
	// Source is a document with its equation or table, or one of the constants.
	Source string
	// Example gives Result, as exactly as it is printed.
	Example Values
	Result  float64
	// Vary is by what share each figure of the example may be changed while Text
	// says the same as Function; 0 is 0.02. Beyond it another case holds.
	Vary float64
	// Code names the function as package, type and name, and Function calls it
	// with the values of the symbols; NaN where it has no result for them.
	Code     string
	Function func(Values) float64
}

// Shown returns the formula as it is shown to people.
func (r *Record) Shown() string { return r.Text + r.Remark }

// Cited returns what an answer names as the source: the document, or the section
// of the model's page where none holds the formula.
func (r *Record) Cited() string { return cited(r.Source, r.Section) }

// With returns the formula's text with other text in place of a symbol.
func (r *Record) With(symbol, text string) string {
	tokens, err := tokensOf(r.Text, r.names())
	if err != nil {
		return r.Text
	}
	out, rest := "", r.Text
	for _, token := range tokens {
		before, after, _ := strings.Cut(rest, token)
		if token == symbol {
			token = text
		}
		out, rest = out+before+token, after
	}
	return out + rest
}

// names returns the symbols, the longest first.
func (r *Record) names() []string {
	names := make([]string, 0, len(r.Symbols))
	for _, s := range r.Symbols {
		names = append(names, s.Name)
	}
	slices.SortFunc(names, func(a, b string) int { return len(b) - len(a) })
	return names
}

// Check returns what is wrong with a record: text, function and figure that
// don't agree at the example or near it, a symbol that is not explained or not
// used, something left out.
func (r *Record) Check() error {
	if r.Name == "" || r.Text == "" || r.Source == "" || r.Unit == "" || r.Code == "" || r.Function == nil || r.Section == 0 {
		return fmt.Errorf("formula %q: something is left out", r.Name)
	}
	if err := errors.Join(r.checkSymbols(), r.checkFigure(), r.checkNear()); err != nil {
		return fmt.Errorf("formula %q: %w", r.Name, err)
	}
	return nil
}

func (r *Record) checkSymbols() error {
	var wrong []error
	explained := map[string]bool{}
	for _, s := range r.Symbols {
		explained[s.Name] = true
		if _, ok := r.Example[s.Name]; !ok {
			wrong = append(wrong, fmt.Errorf("no figure for %s in the example", s.Name))
		}
		if s.Unit == "" || s.Meaning == "" {
			wrong = append(wrong, fmt.Errorf("%s is not explained", s.Name))
		}
		without := Values{}
		for name, x := range r.Example {
			if name != s.Name {
				without[name] = x
			}
		}
		if _, err := Evaluate(r.Text, without); err == nil {
			wrong = append(wrong, fmt.Errorf("%s is not in the text", s.Name))
		}
	}
	for name := range r.Example {
		if !explained[name] {
			wrong = append(wrong, fmt.Errorf("%s is not among the symbols", name))
		}
	}
	return errors.Join(wrong...)
}

// checkFigure holds text and function to the figure as it is printed.
func (r *Record) checkFigure() error {
	text, err := Evaluate(r.Text, r.Example)
	if err != nil {
		return err
	}
	function := r.Function(r.Example)
	if !agree(text, function) {
		return fmt.Errorf("the text gives %v, the function %v", text, function)
	}
	printed := strconv.FormatFloat(r.Result, 'f', -1, 64)
	_, decimals, _ := strings.Cut(printed, ".")
	if half := 0.5000001 * math.Pow10(-max(4, len(decimals))); !(math.Abs(text-r.Result) <= half) {
		return fmt.Errorf("text and function give %v, the example %s", text, printed)
	}
	return nil
}

// checkNear holds the text to the function about the example.
func (r *Record) checkNear() error {
	random := rand.New(rand.NewPCG(uint64(r.Section), uint64(len(r.Name)))) // #nosec G404 -- places near an example, the same every time
	share, compared := r.Vary, 0
	if share == 0 {
		share = 0.02
	}
	for round := range 400 {
		near := r.near(random, share, round)
		function := r.Function(near)
		if math.IsNaN(function) {
			continue
		}
		text, err := Evaluate(r.Text, near)
		if err != nil {
			return err
		}
		if !agree(text, function) {
			return fmt.Errorf("at %v the text gives %v, the function %v", near, text, function)
		}
		compared++
	}
	if compared < 20 {
		return fmt.Errorf("only %d places to compare at near the example", compared)
	}
	return nil
}

// near returns the example with one figure changed or, every other time, all.
func (r *Record) near(random *rand.Rand, share float64, round int) Values {
	near := Values{}
	for i, s := range r.Symbols {
		x := r.Example[s.Name]
		if round%2 == 0 || i == round/2%len(r.Symbols) {
			x *= 1 + share*(2*random.Float64()-1)
		}
		near[s.Name] = x
	}
	return near
}

// agree allows for rounding alone.
func agree(a, b float64) bool {
	return math.Abs(a-b) <= 1e-9*math.Max(1, math.Max(math.Abs(a), math.Abs(b)))
}

// Known returns x, or NaN where a function has no result.
func Known(x float64, ok bool) float64 {
	if !ok {
		return math.NaN()
	}
	return x
}

// Whole returns x as a count; ok is false where it is none.
func Whole(x float64) (n int, ok bool) { return int(math.Round(x)), x == math.Round(x) }
