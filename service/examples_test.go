package service

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"snugtail/service/transfer"
)

var contractPath = filepath.Join("..", "api", "openapi.yaml")

// examplesLine begins the part of the contract that TestAnswerExamples writes.
const examplesLine = "\n  examples:\n"

// answerForms are how the names of answers' examples end, by form.
var answerForms = map[string]string{
	transfer.JSON: "JSON", transfer.Text: "Text", transfer.CSV: "CSV", transfer.SVG: "SVG", transfer.PDF: "PDF", transfer.NDJSON: "Lines",
}

// contractText is of the contract what this test reads: kin-openapi needs every
// reference to lead somewhere, which is not so before they are written.
type contractText struct {
	Paths map[string]map[string]struct {
		OperationID string `yaml:"operationId"`
		RequestBody struct {
			Content map[string]struct {
				Examples map[string]struct {
					Summary string
					Value   any
				}
			}
		} `yaml:"requestBody"`
		Responses map[string]struct {
			Content map[string]struct {
				Examples map[string]map[string]string
			}
		}
	}
}

// Every form of every answer to a POST has an example, and it is what the
// service answers to the request of that name.
func TestAnswerExamples(t *testing.T) {
	s, err := New(Config{}) // of the contract as built in: a new example begins as NAME: {value: {}}
	require.NoError(t, err)
	raw, err := os.ReadFile(contractPath)
	require.NoError(t, err)
	before, written, found := strings.Cut(string(raw), examplesLine)
	require.True(t, found)
	var contract contractText
	require.NoError(t, yaml.Unmarshal(raw, &contract))
	b, forms := new(strings.Builder), 0
	for _, path := range slices.Sorted(maps.Keys(contract.Paths)) {
		op, ok := contract.Paths[path]["post"]
		if !ok {
			continue
		}
		content := op.Responses["200"].Content
		for _, media := range slices.Sorted(maps.Keys(content)) {
			forms++
			require.NotEmpty(t, content[media].Examples, "%s as %s has no example", op.OperationID, media)
			for name, ref := range content[media].Examples {
				component := op.OperationID + answerForms[media]
				assert.Equal(t, "#/components/examples/"+component, ref["$ref"])
				asked, known := op.RequestBody.Content[transfer.JSON].Examples[name]
				require.True(t, known, "%s: no request is named %s", component, name)
				w := ask(s.Handler(), request(http.MethodPost, path, jsonOf(t, asked.Value), "Accept", media, "X-Request-ID", "chart-cabinet-17"))
				require.Equal(t, http.StatusOK, w.Code, component)
				fmt.Fprintf(b, "    %s: {summary: %s, value: %s}\n", component, strconv.Quote(asked.Summary), exampleValue(media, w.Body.Bytes()))
			}
		}
	}
	assert.Equal(t, 24, forms)
	if *update {
		require.NoError(t, os.WriteFile(contractPath, []byte(before+examplesLine+b.String()), 0o644))
		return
	}
	want, got := strings.Split(b.String(), "\n"), strings.Split(written, "\n")
	require.Len(t, got, len(want))
	for i := range want {
		assert.True(t, want[i] == got[i], "not what the service answers: %.60s", got[i])
	}
}

// exampleValue writes an answer on one line: JSON as it is, since it is YAML too,
// and all else as a text, a PDF as one whose characters are its bytes, up to the
// page's content: what follows, fonts among it, tells a reader nothing.
func exampleValue(media string, body []byte) string {
	switch media {
	case transfer.JSON:
		return string(bytes.TrimRight(body, "\n"))
	case transfer.PDF:
		body, _, _ = bytes.Cut(body, []byte("stream\n"))
		runes := make([]rune, len(body))
		for i, each := range body {
			runes[i] = rune(each)
		}
		return strconv.QuoteToASCII(string(runes))
	default:
		return strconv.Quote(string(body))
	}
}

func jsonOf(t *testing.T, value any) string {
	text, err := json.Marshal(value)
	require.NoError(t, err)
	return string(text)
}

var exampleName = regexp.MustCompile(`(?m)^    ([A-Za-z]+):`)

// No example is left over.
func TestEveryAnswerExampleIsNamed(t *testing.T) {
	raw, err := os.ReadFile(contractPath)
	require.NoError(t, err)
	before, written, _ := strings.Cut(string(raw), examplesLine)
	for _, name := range exampleName.FindAllStringSubmatch(written, -1) {
		assert.Equal(t, 1, strings.Count(before, "/components/examples/"+name[1]+"'"), name[1])
	}
}
