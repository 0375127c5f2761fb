package site

import (
	"fmt"
	"strings"

	"snugtail/service/draw"
)

// lettersModule tells the page which letters a PDF can print, as ranges of their
// numbers, so that it can say so before anything is printed.
const lettersModule = "letters.js"

func letters() []byte {
	var b strings.Builder
	b.WriteString("export const ranges = [")
	for _, r := range draw.Letters() {
		fmt.Fprintf(&b, "[%d,%d],", r[0], r[1])
	}
	b.WriteString("];\n")
	return []byte(b.String())
}
