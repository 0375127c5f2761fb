package service

import (
	"encoding/json"
	"flag"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/service/transfer"
)

var update = flag.Bool("update", false, "write what the service answers into README and cookbook")

// recipe is a curl line and the answer printed below it.
var recipe = regexp.MustCompile("(?s)```sh\n(curl [^`]*)```\n\n```(text|json)\n(.*?)```")

// TestReadmeRecipes runs every curl line of README and cookbook against the
// service and holds what it prints against what they say.
func TestReadmeRecipes(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	for file, least := range map[string]int{"README.md": 3, "api/cookbook.md": 24} {
		path := filepath.Join("..", filepath.FromSlash(file))
		raw, err := os.ReadFile(path)
		require.NoError(t, err)
		recipes := 0
		out := recipe.ReplaceAllStringFunc(string(raw), func(block string) string {
			recipes++
			parts := recipe.FindStringSubmatch(block)
			printed := runCurl(t, s.Handler(), parts[1])
			if !*update {
				assert.Equal(t, parts[3], printed, parts[1])
			}
			return "```sh\n" + parts[1] + "```\n\n```" + parts[2] + "\n" + printed + "```"
		})
		assert.GreaterOrEqual(t, recipes, least, file)
		assert.Equal(t, strings.Count(string(raw), "\ncurl "), recipes, "a curl line without its answer in %s", file)
		if *update {
			require.NoError(t, os.WriteFile(path, []byte(out), 0o644))
		}
	}
}

// The README stays short, and its picture is what the service draws.
func TestReadmeIsShort(t *testing.T) {
	raw, err := os.ReadFile(filepath.Join("..", "README.md"))
	require.NoError(t, err)
	assert.LessOrEqual(t, strings.Count(string(raw), "\n"), 150)
	s, err := New(Config{})
	require.NoError(t, err)
	body := `{"setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":"0.484 in"},"bushing":{"diameter":"7/16 in"},` +
		`"cutter":{"diameter":"1/2 in","angle":14},"depth":"10.9 mm","pin_board":{"thickness":"18.6 mm"},"tail_board":{"thickness":"1/2 in"}},"views":["end_view"]}`
	w := ask(s.Handler(), request(http.MethodPost, "/v1/joint-drawings", body, "Accept", transfer.SVG))
	require.Equal(t, http.StatusOK, w.Code, "%s", w.Body)
	path := filepath.Join("..", "api", "joint.svg")
	if *update {
		require.NoError(t, os.WriteFile(path, w.Body.Bytes(), 0o644))
	}
	drawn, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(drawn), w.Body.String())
}

// runCurl does what the curl line would: its URL, headers and --json body, and
// a jq path, a sed that leaves the cautions out, or a cut of each line behind it.
func runCurl(t *testing.T, handler http.Handler, line string) string {
	t.Helper()
	words := shellWords(t, line)
	request := httptest.NewRequest(http.MethodGet, "/", nil)
	jq, cut, columns := "", "", 0
	for i := 1; i < len(words); i++ {
		switch word := words[i]; {
		case word == "-s":
		case word == "-H":
			i++
			name, value, _ := strings.Cut(words[i], ": ")
			request.Header.Set(name, value)
		case word == "--json":
			i++
			body := httptest.NewRequest(http.MethodPost, request.URL.String(), strings.NewReader(words[i]))
			body.Header = request.Header
			body.Header.Set("Content-Type", "application/json")
			request = body
		case word == "|" && words[i+1] == "sed":
			require.Equal(t, "/^CAUTION/,$d", words[i+2], line)
			cut = "\nCAUTION\n"
			i += 2
		case word == "|" && words[i+1] == "cut":
			_, err := fmt.Sscanf(words[i+2], "-c1-%d", &columns)
			require.NoError(t, err, line)
			i += 2
		case word == "|":
			require.Equal(t, []string{"jq", "-c"}, words[i+1:i+3], line)
			jq = words[i+3]
			i += 3
		default:
			path, found := strings.CutPrefix(word, "localhost:8080")
			require.True(t, found, "what is %q in %s", word, line)
			request.URL.Path, request.URL.RawQuery, _ = strings.Cut(path, "?")
		}
	}
	recorder := httptest.NewRecorder()
	handler.ServeHTTP(recorder, request)
	if jq == "" {
		body := recorder.Body.String()
		if cut != "" {
			body, _, _ = strings.Cut(body, cut)
			body += "\n" // the empty line before CAUTION stays
		}
		if columns > 0 {
			return firstColumns(body, columns)
		}
		return body
	}
	return jqPath(t, recorder.Body.Bytes(), jq)
}

// firstColumns cuts every line off.
func firstColumns(text string, columns int) string {
	lines := strings.SplitAfter(text, "\n")
	for i, line := range lines {
		if bare := strings.TrimSuffix(line, "\n"); len(bare) > columns {
			lines[i] = bare[:columns] + "\n"
		}
	}
	return strings.Join(lines, "")
}

// jqPath is the part of jq that they use: .a.b
func jqPath(t *testing.T, body []byte, path string) string {
	t.Helper()
	value := json.RawMessage(body)
	for _, name := range strings.Split(strings.TrimPrefix(path, "."), ".") {
		var object map[string]json.RawMessage
		require.NoError(t, json.Unmarshal(value, &object))
		require.Contains(t, object, name)
		value = object[name]
	}
	return string(value) + "\n"
}

// shellWords splits a line as a shell does, single quotes only.
func shellWords(t *testing.T, line string) []string {
	t.Helper()
	var words []string
	word, quoted, open := new(strings.Builder), false, false
	for _, r := range line {
		switch {
		case r == '\'':
			quoted, open = !quoted, true
		case !quoted && (r == ' ' || r == '\n'):
			if open {
				words, open = append(words, word.String()), false
				word.Reset()
			}
		default:
			word.WriteRune(r)
			open = true
		}
	}
	require.False(t, quoted, fmt.Sprintf("a quote is left open in %s", line))
	if open {
		words = append(words, word.String())
	}
	return words
}
