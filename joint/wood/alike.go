package wood

import (
	"slices"
	"strings"
)

// mostAlike is how many woods a name that fits many is answered with.
const mostAlike = 8

// Alike lists the ids of the woods that a name which is no id of the table most
// likely means, in the order of the alphabet: the one where that is clear
// ([Nearest], or its botanical name), or all that share a word of it, such as
// the oaks, or its genus. It is empty where nothing is near.
func Alike(name string) []string {
	if len(name) > longestID {
		return nil
	}
	words := strings.FieldsFunc(toID(name), func(r rune) bool { return r == '_' })
	if len(words) == 0 {
		return nil
	}
	botanical := func(w *Wood) []string { return strings.Split(toID(w.Botanical.Name), "_") }
	if same := with(func(w *Wood) bool { return slices.Equal(botanical(w), words) }); len(same) > 0 {
		return same
	}
	if near := Nearest(name); near != "" {
		return []string{near}
	}
	if genus := with(func(w *Wood) bool { return botanical(w)[0] == words[0] }); len(genus) > 0 {
		return genus
	}
	for _, word := range slices.Backward(words) { // the last says of which kind it is
		if kind := with(func(w *Wood) bool {
			return slices.Contains(wordsOfID(w), word) || slices.Contains(wordsOfName(w), word)
		}); len(kind) > 0 {
			return kind
		}
	}
	return nil
}

// with lists the ids of woods, mostAlike at most.
func with(holds func(*Wood) bool) []string {
	var ids []string
	for _, w := range Species() {
		if len(ids) < mostAlike && holds(&w) {
			ids = append(ids, w.ID)
		}
	}
	return ids
}
