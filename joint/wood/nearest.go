package wood

import (
	"cmp"
	"slices"
	"strings"
)

// longestID is the length, in bytes, beyond which a text is no slip of any id.
const longestID = 40

// Nearest returns the id that was probably meant by id, or "" if none is near:
// the one fewest typing slips away (at most a quarter of the letters, and at
// most three), else the only one that has all its words in its id, else in its
// name, else in its id with slips. "Red Oak" is red_oak, "walnut" and "wallnut"
// are black_walnut, "hard maple" is sugar_maple; "maple" may be any of four.
func Nearest(id string) string {
	if len(id) > longestID {
		return ""
	}
	id = strings.Trim(toID(id), "_")
	if id == "" {
		return ""
	}
	if near := nearestBySlips(id); near != "" {
		return near
	}
	words := strings.Split(id, "_")
	return cmp.Or(
		onlyWith(words, wordsOfID, equalWords),
		onlyWith(words, wordsOfName, equalWords),
		onlyWith(words, wordsOfID, alikeWords),
	)
}

func wordsOfID(w *Wood) []string   { return strings.Split(w.ID, "_") }
func wordsOfName(w *Wood) []string { return strings.Split(toID(w.Name), "_") }

func equalWords(a, b string) bool { return a == b }
func alikeWords(a, b string) bool { return slips(a, b) <= slipsAllowed(a) }

// slipsAllowed is how many typing slips make no other word of a text.
func slipsAllowed(text string) int { return min(max(1, len(text)/4), 3) }

// toID makes an id of a name.
func toID(name string) string { return strings.Map(idRune, strings.ToLower(name)) }

// idRune makes an id of a name: everything but letters and digits parts words.
func idRune(r rune) rune {
	if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
		return r
	}
	return '_'
}

// nearestBySlips returns the id that is fewest slips from id, the first of
// equals.
func nearestBySlips(id string) string {
	best, near := slipsAllowed(id)+1, ""
	for i := range species() {
		known := species()[i].ID
		if d := slips(id, known); d < best {
			best, near = d, known
		}
	}
	return near
}

// onlyWith returns the id of the only species that has all the words, "" if
// there is none or more than one.
func onlyWith(words []string, of func(*Wood) []string, same func(a, b string) bool) string {
	only := ""
	for i := range species() {
		w := &species()[i]
		if !hasAll(of(w), words, same) {
			continue
		}
		if only != "" {
			return ""
		}
		only = w.ID
	}
	return only
}

func hasAll(have, words []string, same func(a, b string) bool) bool {
	return !slices.ContainsFunc(words, func(word string) bool {
		return !slices.ContainsFunc(have, func(one string) bool { return same(word, one) })
	})
}

// slips is the Levenshtein distance: the least number of letters to insert,
// delete or change to make b of a.
func slips(a, b string) int {
	line := make([]int, len(b)+1)
	for j := range line {
		line[j] = j
	}
	for i := range len(a) {
		diagonal := line[0]
		line[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = line[j+1]
			line[j+1] = min(change, line[j]+1, diagonal+1)
		}
	}
	return line[len(b)]
}
