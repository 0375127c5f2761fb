package site

import (
	"encoding/json"
	"io/fs"
	"path"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/service/codes"
	"snugtail/service/transfer"
)

// Every text that the modules name is in the file of every language, and no
// file has another.
func TestKioskTexts(t *testing.T) {
	files, err := fs.Glob(kioskFiles, "kiosk/texts/*.json")
	require.NoError(t, err)
	require.Contains(t, files, "kiosk/texts/en.json")
	want := kioskTexts(t, "kiosk/texts/en.json")
	for _, file := range files {
		got := kioskTexts(t, file)
		for key := range want {
			assert.NotEmpty(t, got[key], "%s in %s", key, file)
		}
		assert.Len(t, got, len(want), file)
	}
	scripts, err := fs.Glob(kioskFiles, "kiosk/*.js")
	require.NoError(t, err)
	named := 0
	for _, script := range scripts {
		content, err := kioskFiles.ReadFile(script)
		require.NoError(t, err)
		for _, key := range regexp.MustCompile(`\bt\("([^"]+)"`).FindAllStringSubmatch(string(content), -1) {
			assert.Contains(t, want, key[1], path.Base(script))
			named++
		}
	}
	assert.Greater(t, named, 30)
}

// What the page asks for by a check's code, it can ask for by every one.
func TestKioskKnowsEveryCheck(t *testing.T) {
	forms, err := kioskFiles.ReadFile("kiosk/forms.js")
	require.NoError(t, err)
	texts := kioskTexts(t, "kiosk/texts/en.json")
	for _, code := range codes.Checks {
		assert.Contains(t, string(forms), "\n  "+code+": [")
		assert.Contains(t, texts, "check."+code)
		if finding, asked := strings.CutPrefix(code, "ask_"); asked {
			assert.Contains(t, codes.Findings, finding)
			assert.Contains(t, string(forms), "\n  "+code+`: [question("findings.`+finding+`")],`)
		}
	}
}

// A depth is told in what the service says, never in the page's own words: they
// stand there while there is none to cut at.
func TestKioskTextsNameNoLength(t *testing.T) {
	for key, text := range kioskTexts(t, "kiosk/texts/en.json") {
		assert.NotRegexp(t, regexp.MustCompile(`\d\s*(mm|in\b|")`), text, key)
	}
}

func kioskTexts(t *testing.T, file string) map[string]string {
	t.Helper()
	raw, err := kioskFiles.ReadFile(file)
	require.NoError(t, err)
	var texts map[string]string
	require.NoError(t, json.Unmarshal(raw, &texts))
	return texts
}

func TestKioskLanguage(t *testing.T) {
	k := &Kiosk{pages: map[string]*transfer.File{"en": nil, "de": nil}}
	for accepted, want := range map[string]string{
		"": "en", "*": "en", "de": "de", "de-AT,de;q=0.9,en;q=0.8": "de", "fr-FR, fr;q=0.9, DE;q=0.5": "de", "en-US,de;q=0.1": "en", ";;,": "en",
	} {
		assert.Equal(t, want, k.language(accepted), accepted)
	}
}
