package spelling

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNearest(t *testing.T) {
	known := []string{"diameter", "angle", "angle_tolerance", "condition", "cutting_length", "neck", "shank", "runout", "in", "mm"}
	for name, want := range map[string]string{
		"diametre":       "diameter",
		"daimeter":       "diameter",
		"Diameter":       "diameter",
		"dia":            "diameter",
		"diam":           "diameter",
		"angel":          "angle",
		"cuttingLength":  "cutting_length",
		"cutting-lenght": "cutting_length",
		"nek":            "neck",
		"inch":           "in",
		"":               "",
		"colour":         "",
		"é":              "",
		"a very long name that nobody would write for a field": "",
	} {
		assert.Equal(t, want, Nearest(name, known), name)
	}
}

func TestBriefKeepsWholeCharacters(t *testing.T) {
	assert.Equal(t, "short", Brief("short"))
	assert.Equal(t, "xééééééééééééééééééé...", Brief("xéééééééééééééééééééééééééé"))
	assert.Equal(t, "\uFFFDx\uFFFD", Brief("\x90x\x90\x90"))
	assert.Equal(t, strings.Repeat("x", 39)+"...", Brief(strings.Repeat("x", 39)+"\x90\x90"))
}
