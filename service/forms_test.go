package service

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/require"

	"snugtail/service/transfer"
)

// notFinite finds a number that is none where a reader would see it.
var notFinite = regexp.MustCompile(`\b(NaN|Inf)\b`)

// mediaFor lists the forms in which the contract says that a path answers, JSON first.
func (c *caller) mediaFor(path string) []string {
	all := slices.Sorted(maps.Keys(c.contract.Paths.Value(path).Post.Responses.Status(http.StatusOK).Value.Content))
	if i := slices.Index(all, transfer.JSON); i > 0 {
		all[0], all[i] = all[i], all[0]
	}
	return all
}

// askIn asks for one form, and holds the answer against the contract: its
// status, its form and what stands in it. said is what the request says
// itself, which may be anything.
func (c *caller) askIn(t require.TestingT, path, body, media, said string) *httptest.ResponseRecorder {
	w := ask(c.handler, request(http.MethodPost, path, body, "Accept", media, "X-Request-ID", "drawn"))
	require.Less(t, w.Code, 500, "%s as %s of %s: %s", path, media, body, w.Body)
	got, _, _ := strings.Cut(w.Header().Get("Content-Type"), ";")
	want := media
	if w.Code != http.StatusOK && media != transfer.Text {
		want = transfer.Problem
	}
	require.Equal(t, want, got, "%s of %s", path, body)
	if got != transfer.PDF && !strings.Contains(said, "NaN") && !strings.Contains(said, "Inf") { // the bytes of a PDF's font may spell anything
		told := strings.ReplaceAll(w.Body.String(), "NaN or Infinity are none", "") // of what is no JSON
		require.NotRegexp(t, notFinite, told, "%s of %s", path, body)
	}
	c.holds(t, path, w, got, body)
	return w
}

// holds checks the content of an answer by its form.
func (c *caller) holds(t require.TestingT, at string, w *httptest.ResponseRecorder, media, body string) {
	answer := w.Body.Bytes()
	switch media {
	case transfer.JSON, transfer.Problem:
		c.validate(t, http.MethodPost, at, w.Code, media, answer)
		if at == batchPath && media == transfer.JSON {
			var batch struct{ Items []json.RawMessage }
			require.NoError(t, json.Unmarshal(answer, &batch))
			c.holdsItems(t, batch.Items, body)
		}
		return
	}
	require.NotNil(t, c.contract.Paths.Value(at).Post.Responses.Status(w.Code).Value.Content.Get(media), "%s as %s", at, media)
	switch media {
	case transfer.Text:
		requireNarrow(t, answer, body)
	case transfer.SVG:
		requireXML(t, answer, body)
	case transfer.PDF:
		require.True(t, bytes.HasPrefix(answer, []byte("%PDF-")) && bytes.HasSuffix(bytes.TrimSpace(answer), []byte("%%EOF")), "%s", body)
	case transfer.CSV:
		rows, err := csv.NewReader(bytes.NewReader(answer)).ReadAll() // all rows as long as the first
		require.NoError(t, err, "%s", body)
		require.NotEmpty(t, rows)
	case transfer.NDJSON:
		var items []json.RawMessage
		for line := range bytes.Lines(answer) {
			items = append(items, bytes.TrimSpace(line))
		}
		c.holdsItems(t, items, body)
	default:
		require.Fail(t, "no check for a form of answers", media)
	}
}

// holdsItems holds a batch's results against the contract, each body against
// that of the operation which its item asks for.
func (c *caller) holdsItems(t require.TestingT, items []json.RawMessage, body string) {
	var asked struct {
		Items []struct {
			ID, Operation string
			Fields        []string
		}
	}
	require.NoError(t, json.Unmarshal([]byte(body), &asked))
	require.Len(t, items, len(asked.Items))
	for i, item := range items {
		var plain any
		require.NoError(t, json.Unmarshal(item, &plain), "%s", item)
		require.NoError(t, c.contract.Components.Schemas["BatchResult"].Value.VisitJSON(plain, openapi3.MultiErrors()), "%s", item)
		var result struct {
			ID     string
			Status int
			Body   json.RawMessage
		}
		require.NoError(t, json.Unmarshal(item, &result))
		require.Equal(t, asked.Items[i].ID, result.ID)
		require.Less(t, result.Status, 500, "item %d of %s: %s", i, body, result.Body)
		media, contract := transfer.Problem, c.contract
		if result.Status == http.StatusOK {
			media = transfer.JSON
			if asked.Items[i].Fields != nil {
				contract = c.partial
			}
		}
		validateBy(t, contract, http.MethodPost, path.Join("/v1", asked.Items[i].Operation), result.Status, media, result.Body)
	}
}

// receiptWidth is how many columns a receipt printer has.
const receiptWidth = 72

// requireNarrow: a receipt printer has receiptWidth columns.
func requireNarrow(t require.TestingT, text []byte, body string) {
	require.True(t, utf8.Valid(text), "%s", body)
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSuffix(line, "\n")
		require.LessOrEqual(t, utf8.RuneCountInString(line), receiptWidth, "%q of %s", line, body)
		require.Equal(t, strings.TrimRight(line, " "), line, "%s", body)
	}
}

func requireXML(t require.TestingT, text []byte, body string) {
	decoder := xml.NewDecoder(bytes.NewReader(text))
	elements := 0
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err, "%s", body)
		if _, starts := token.(xml.StartElement); starts {
			elements++
		}
	}
	require.Positive(t, elements)
}

// The checks can fail: each refuses what it is there to refuse.
func TestFormsAreChecked(t *testing.T) {
	for name, check := range map[string]func(t require.TestingT){
		"wide":     func(t require.TestingT) { requireNarrow(t, []byte(strings.Repeat("x", 73)), "") },
		"trailing": func(t require.TestingT) { requireNarrow(t, []byte("x \n"), "") },
		"not XML":  func(t require.TestingT) { requireXML(t, []byte("<svg><g></svg>"), "") },
		"empty":    func(t require.TestingT) { requireXML(t, nil, "") },
	} {
		failed := new(noted)
		func() {
			defer func() { _ = recover() }() // FailNow of noted
			check(failed)
		}()
		require.True(t, failed.failed, name)
	}
	require.Regexp(t, notFinite, `{"a": "NaN mm"}`)
	require.Regexp(t, notFinite, `+Inf`)
	require.NotRegexp(t, notFinite, `Information`)
}

// noted is a test that may fail.
type noted struct{ failed bool }

func (n *noted) Errorf(string, ...any) { n.failed = true }
func (n *noted) FailNow()              { panic("failed") }
