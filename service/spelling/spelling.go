// Package spelling is what is told of names and texts as a client wrote them.
package spelling

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Nearest is the candidate that a misspelt name most likely means, or "" when
// none is near. Ties go to the first in the alphabet, so that the same mistake
// always gets the same answer.
func Nearest(name string, candidates []string) string {
	const longest = 40 // names of the contract are shorter; don't work for a flood
	if len(name) > longest {
		return ""
	}
	plain := plainName(name)
	best, least := "", len(plain)/3+2
	for _, candidate := range slices.Sorted(slices.Values(candidates)) {
		distance := nameDistance(plain, plainName(candidate))
		if distance < least {
			best, least = candidate, distance
		}
	}
	return best
}

// plainName takes pinBoard, Pin-Board and pin board for pin_board.
func plainName(name string) string {
	return strings.NewReplacer("_", "", "-", "", " ", "").Replace(strings.ToLower(name))
}

// nameDistance is 1 for an abbreviation and else the edits it takes.
func nameDistance(name, candidate string) int {
	const shortest = 3 // letters that may stand for the whole name
	if len(name) >= shortest && strings.HasPrefix(candidate, name) && name != candidate {
		return 1
	}
	return edits(name, candidate)
}

// edits counts the letters to add, drop, change or swap with their neighbour
// (optimal string alignment) to get from a to b.
func edits(a, b string) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := last[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			row[j] = min(last[j]+1, row[j-1]+1, change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}

// Brief cuts a client's text, which may be any bytes of a header, to what a
// message can hold.
func Brief(text string) string {
	const longest = 40
	text = strings.ToValidUTF8(text, "\uFFFD")
	if len(text) <= longest {
		return text
	}
	cut := longest
	for !utf8.RuneStart(text[cut]) {
		cut--
	}
	return text[:cut] + "..."
}

// Plural counts things of which one more has an s at its end.
func Plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Escaped is a text as Go quotes it, without the quotes: line breaks and other
// control characters are seen, and do nothing.
func Escaped(text string) string {
	quoted := strconv.Quote(text)
	return quoted[1 : len(quoted)-1]
}
