package length

import (
	"math"
	"strconv"
	"strings"
)

// rangeWords are what may stand between the ends of a range. A range is no
// length, but who writes one can be told how to write what it says.
var rangeWords = [...]string{"to", "...", "..", "\u2026", "\u2013", "\u2014", "-"}

// ends reads the two lengths of a range, such as "10.5 to 11 mm" or "3/8-7/16
// in". The lower end may go without unit: it takes the other's.
func ends(text string, unit Unit) (low, high term, ok bool) {
	if len(text) > MaxTextLength {
		return low, high, false
	}
	for _, word := range &rangeWords {
		left, right, found := strings.Cut(strings.TrimSpace(text), word)
		if !found {
			continue
		}
		low, lowOK := wholeTerm(left)
		high, highOK := wholeTerm(right)
		high.measure = high.or(defaultMeasure(unit))
		low.measure = low.or(high.measure)
		// "1-3/2 in" is more likely a fraction gone wrong.
		joined := word == "-" && !strings.HasSuffix(left, " ") && high.form == fraction
		if !joined && lowOK && highOK && low.value*low.mm < high.value*high.mm {
			return low, high, true
		}
	}
	return low, high, false
}

// wholeTerm reads a text that is one number, which may have a unit.
func wholeTerm(text string) (term, bool) {
	s := scanner{}
	s.begin(text)
	t := s.term()
	s.skipSpace()
	return t, s.code == "" && s.rest == ""
}

// middle writes a range as its middle and half of its width, in the unit of its
// upper end, rounded to 1/10000 of that.
func middle(low, high term) string {
	l, h := low.value*low.mm/high.mm, high.value
	decimal := func(x float64) string { return strconv.FormatFloat(math.Round(x*1e4)/1e4, 'f', -1, 64) }
	text := decimal((l+h)/2) + " +/- " + decimal((h-l)/2)
	switch high.name {
	case "":
		return text
	case `"`, "\u2033", "\u201d", "''":
		return text + " in"
	}
	return text + " " + high.name
}
