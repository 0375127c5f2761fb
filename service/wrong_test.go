package service

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
	"snugtail/service/problem"
)

// field is a bad field as a problem should list it; detail is a part of the text.
type wantField struct{ pointer, code, detail string }

// with puts members into a good request in place of its setup.
func with(setup string) string { return `{"setup":` + setup + `}` }

const goodTemplate = `"template":{"kind":"allowance","allowance":3}`

func TestWrongBodies(t *testing.T) {
	s := newProbe(t, Config{BodyLimit: 300 << 10})
	bushing := func(diameter string) string {
		return with(`{` + goodTemplate + `,"bushing":{"diameter":` + diameter + `}}`)
	}
	template := func(members string) string {
		return with(`{"template":{` + members + `},"bushing":{"diameter":11}}`)
	}
	for name, row := range map[string]struct {
		body string
		want []wantField
	}{
		"empty":              {" ", []wantField{{"#", "not_json", "the text ends where a value"}}},
		"words":              {"hello", []wantField{{"#", "not_json", "line 1, column 1"}}},
		"NaN":                {`{"setup": NaN}`, []wantField{{"#", "not_json", "column 11: NaN is no JSON value"}}},
		"-Infinity":          {`{"setup": -Infinity}`, []wantField{{"#", "not_json", "'I' stands where a digit"}}},
		"single quotes":      {`{'setup': 1}`, []wantField{{"#", "not_json", "a member's name in double quotes"}}},
		"comma at the end":   {`{"setup": 1,}`, []wantField{{"#", "not_json", "a member's name"}}},
		"cut off":            {apitest.GoodProbe[:40], []wantField{{"#", "not_json", "the text ends"}}},
		"trailing bytes":     {apitest.GoodProbe + "\n x", []wantField{{"#", "trailing_bytes", "line 2, column 2: there is more text"}}},
		"two values":         {apitest.GoodProbe + apitest.GoodProbe, []wantField{{"#", "trailing_bytes", "more text"}}},
		"byte order mark":    {"\ufeff" + apitest.GoodProbe, []wantField{{"#", "not_json", "byte order mark"}}},
		"latin 1":            {"{\"\xe9\":1}", []wantField{{"#", "not_json", "column 3"}}},
		"half a surrogate":   {`{"a":"\ud800"}`, []wantField{{"#", "not_json", "surrogate"}}},
		"leading zero":       {`{"a":01}`, []wantField{{"#", "not_json", "zero"}}},
		"raw line break":     {"{\"a\":\"\n\"}", []wantField{{"#", "not_json", "control character"}}},
		"bad escape":         {`{"a":"\x"}`, []wantField{{"#", "not_json", "backslash"}}},
		"100,000 brackets":   {strings.Repeat("[", 100_000), []wantField{{"#", "too_deep", "more than 32"}}},
		"33 levels":          {nested(33), []wantField{{"#", "too_deep", "more than 32"}}},
		"32 levels":          {nested(32), []wantField{{"#", "wrong_type", "an object, not an array"}}},
		"an array":           {`[]`, []wantField{{"#", "wrong_type", "this must be an object, not an array"}}},
		"wrong_type":         {`null`, []wantField{{"#", "wrong_type", "not allowed"}}},
		"a text":             {`"setup"`, []wantField{{"#", "wrong_type", "not a text"}}},
		"nothing in it":      {`{}`, []wantField{{"#/setup", "missing", "required"}}},
		"a member twice":     {`{"units":"mm",` + apitest.GoodProbe[1:], []wantField{{"#/units", "duplicate_key", "`units` is given twice"}}},
		"twice, escaped":     {`{"\u0075nits":"mm",` + apitest.GoodProbe[1:], []wantField{{"#/units", "duplicate_key", "`units` is given twice"}}},
		"twice, deep":        {template(`"kind":"allowance","allowance":3,"allowance":4`), []wantField{{"#/setup/template/allowance", "duplicate_key", "twice"}}},
		"another case":       {`{"Units":"mm",` + apitest.GoodProbe[1:], []wantField{{"#/Units", "unknown_field", "did you mean `units`?"}}},
		"misspelt":           {with(`{` + goodTemplate + `,"bushing":{"diametre":11}}`), []wantField{{"#/setup/bushing/diameter", "missing", "required"}, {"#/setup/bushing/diametre", "unknown_field", "did you mean `diameter`?"}}},
		"camel case":         {with(`{` + goodTemplate + `,"bushing":{"diameter":11},"pinBoard":{}}`), []wantField{{"#/setup/pinBoard", "unknown_field", "did you mean `pin_board`?"}}},
		"nothing near":       {with(`{` + goodTemplate + `,"bushing":{"diameter":11,"colour":1}}`), []wantField{{"#/setup/bushing/colour", "unknown_field", "known are diameter, id"}}},
		"escaped pointer":    {with(`{` + goodTemplate + `,"bushing":{"diameter":11},"a/b~c d":"x","é%":1}`), []wantField{{"#/setup/%C3%A9%25", "unknown_field", "`é%` is not known"}, {"#/setup/a~1b~0c%20d", "wrong_type", "an integer, not a text"}}},
		"no kind":            {template(`"allowance":3`), []wantField{{"#/setup/template/kind", "missing", "one of allowance, one_piece"}}},
		"unknown kind":       {template(`"kind":"onepiece"`), []wantField{{"#/setup/template/kind", "not_allowed", "\"onepiece\" is none of allowance, one_piece; did you mean `one_piece`?"}}},
		"kind is a number":   {template(`"kind":7`), []wantField{{"#/setup/template/kind", "not_allowed", "7 is none of"}}},
		"kind is null":       {template(`"kind":null`), []wantField{{"#/setup/template/kind", "not_allowed", "null is none of"}}},
		"template no object": {with(`{"template":"mine","bushing":{"diameter":11}}`), []wantField{{"#/setup/template", "wrong_type", "an object, not a text"}}},
		"inside the kind":    {template(`"kind":"one_piece","pitch":true,"openin":3`), []wantField{{"#/setup/template/openin", "unknown_field", "did you mean `opening`?"}, {"#/setup/template/opening", "missing", ""}, {"#/setup/template/pitch", "not_a_length", "a boolean is not a length"}}},
		"length true":        {bushing(`true`), []wantField{{"#/setup/bushing/diameter", "not_a_length", `a boolean is not a length: a length is a text such as "7/16 in" or "11.1 mm", a number, or a length object`}}},
		"length array":       {bushing(`[1]`), []wantField{{"#/setup/bushing/diameter", "not_a_length", "an array is not a length"}}},
		"length null":        {bushing(`null`), []wantField{{"#/setup/bushing/diameter", "not_a_length", "null is not a length"}}},
		"length words":       {bushing(`"NaN mm"`), []wantField{{"#/setup/bushing/diameter", "not_a_length", `"NaN mm" is not a length`}}},
		"length, long":       {bushing(`"` + strings.Repeat("1", 100) + ` mm"`), []wantField{{"#/setup/bushing/diameter", "not_a_length", "1...\" is no"}}},
		"length 0":           {bushing(`0`), []wantField{{"#/setup/bushing/diameter", "out_of_range", "at least 0.1"}}},
		"length -1":          {bushing(`-1`), []wantField{{"#/setup/bushing/diameter", "out_of_range", "at least 0.1"}}},
		"length 1e308":       {bushing(`1e308`), []wantField{{"#/setup/bushing/diameter", "out_of_range", "at most 2000"}}},
		"length 1e400":       {bushing(`1e400`), []wantField{{"#/setup/bushing/diameter", "out_of_range", "at most 2000"}}},
		"beyond a float64":   {with(`{` + goodTemplate + `,"bushing":{"diameter":{"mm":11,"in":-1e999}}}`), []wantField{{"#/setup/bushing/diameter/in", "out_of_range", "too low to compute with"}}},
		"length object":      {bushing(`{"in":1}`), []wantField{{"#/setup/bushing/diameter/mm", "missing", ""}}},
		"length object, big": {bushing(`{"mm":5000}`), []wantField{{"#/setup/bushing/diameter/mm", "out_of_range", "at most 2000"}}},
		"enum":               {`{"units":"inch",` + apitest.GoodProbe[len(`{"units":"in",`):], []wantField{{"#/units", "not_allowed", "\"inch\" is none of mm, in"}}},
		"pattern":            {`{"do":"WAIT",` + apitest.GoodProbe[1:], []wantField{{"#/do", "bad_format", `"WAIT" is not in the form that is asked here: what the probe does`}}},
		"two faults at one":  {`{"do":"A",` + apitest.GoodProbe[1:], []wantField{{"#/do", "bad_format", ""}, {"#/do", "out_of_range", "at least 2 characters"}}},
		"too long":           {doing(strings.Repeat("a", 13)), []wantField{{"#/do", "too_long", "at most 12 characters"}}},
		"too few":            {`{"cutters":[],` + apitest.GoodProbe[1:], []wantField{{"#/cutters", "out_of_range", "at least 1 item"}}},
		"items":              {`{"cutters":[{"diameter":12.7,"angle":0},{"diameter":12.7,"angle":46},{"diameter":"x"},1],` + apitest.GoodProbe[1:], []wantField{{"#/cutters", "too_many", "at most 3 items"}, {"#/cutters/0/angle", "out_of_range", "above 0"}, {"#/cutters/1/angle", "out_of_range", "at most 45"}, {"#/cutters/2/angle", "missing", ""}, {"#/cutters/2/diameter", "not_a_length", ""}, {"#/cutters/3", "wrong_type", "an object, not a number"}}},
		"all at once":        {`{"unit":"mm","explain":"yes","do":5,"setup":{"bushing":{"diameter":"big"}}}`, []wantField{{"#/do", "wrong_type", "a text, not a number"}, {"#/explain", "wrong_type", "a boolean, not a text"}, {"#/setup/bushing/diameter", "not_a_length", "big"}, {"#/setup/template", "missing", ""}, {"#/unit", "unknown_field", "`units`"}}},
		"no whole number":    {with(`{` + goodTemplate + `,"bushing":{"diameter":11},"a/b~c d":1.5}`), []wantField{{"#/setup/a~1b~0c%20d", "wrong_type", "an integer, not a number"}}},
	} {
		t.Run(name, func(t *testing.T) {
			w := ask(s.Handler(), request("POST", "/v1/probes", row.body))
			require.Equal(t, http.StatusBadRequest, w.Code, w.Body)
			p := problemIn(t, w)
			assert.Equal(t, "urn:snugtail:problem:bad-request", p.Type)
			require.Len(t, p.Errors, len(row.want), "%+v", p.Errors)
			for i, want := range row.want {
				assert.Equal(t, want.pointer, p.Errors[i].Pointer)
				assert.Equal(t, want.code, p.Errors[i].Code)
				assert.Contains(t, p.Errors[i].Detail, want.detail)
			}
			if len(row.want) == 1 {
				assert.Contains(t, p.Detail, row.want[0].detail, "one field's reason is the problem's")
			}
		})
	}
}

func nested(levels int) string { return strings.Repeat("[", levels) + strings.Repeat("]", levels) }

func TestNotMoreThanFiftyFields(t *testing.T) {
	var members strings.Builder
	for i := range 20_000 {
		fmt.Fprintf(&members, `"x%d":1,`, i)
	}
	w := ask(newProbe(t, Config{}).Handler(), request("POST", "/v1/probes", `{`+members.String()+apitest.GoodProbe[1:]))
	p := problemIn(t, w)
	assert.Equal(t, http.StatusBadRequest, w.Code)
	assert.Len(t, p.Errors, problem.MaxFields)
	assert.Contains(t, p.Detail, "At least 50 fields")
}

func TestWrongRequests(t *testing.T) {
	s := newProbe(t, Config{})
	chunked := func(size int) *http.Request {
		r := request("POST", "/v1/probes", strings.Repeat(" ", size)+apitest.GoodProbe)
		r.ContentLength = -1
		return r
	}
	for name, row := range map[string]struct {
		request *http.Request
		status  int
		slug    string
		detail  string
		allow   string
	}{
		"no type":           {request("POST", "/v1/probes", apitest.GoodProbe, "Content-Type", ""), 415, "unsupported-media-type", "curl --json", ""},
		"curl -d":           {request("POST", "/v1/probes", apitest.GoodProbe, "Content-Type", "application/x-www-form-urlencoded"), 415, "unsupported-media-type", "-H 'Content-Type: application/json'", ""},
		"text":              {request("POST", "/v1/probes", apitest.GoodProbe, "Content-Type", "text/json"), 415, "unsupported-media-type", "curl --json", ""},
		"bad type":          {request("POST", "/v1/probes", apitest.GoodProbe, "Content-Type", ";;;"), 415, "unsupported-media-type", "curl --json", ""},
		"latin 1":           {request("POST", "/v1/probes", apitest.GoodProbe, "Content-Type", "application/json; charset=iso-8859-1"), 415, "unsupported-media-type", "always UTF-8", ""},
		"gzip":              {request("POST", "/v1/probes", apitest.GoodProbe, "Content-Encoding", "gzip"), 415, "unsupported-media-type", "send it plain", ""},
		"image":             {request("POST", "/v1/probes", apitest.GoodProbe, "Accept", "image/png"), 406, "not-acceptable", "application/json and text/plain", ""},
		"nothing":           {request("POST", "/v1/probes", apitest.GoodProbe, "Accept", "*/*;q=0"), 406, "not-acceptable", "application/json and text/plain", ""},
		"text of no text":   {request("GET", "/v1/things", "", "Accept", "text/plain, application/problem+json"), 406, "not-acceptable", "The answer comes as application/json.", ""},
		"10 MB":             {request("POST", "/v1/probes", strings.Repeat(" ", 10<<20)), 413, "too-large", "262144 bytes", ""},
		"10 MB chunked":     {chunked(10 << 20), 413, "too-large", "262144 bytes", ""},
		"chunked by a byte": {chunked(defaultBodyLimit - len(apitest.GoodProbe) + 1), 413, "too-large", "262144 bytes", ""},
		"empty":             {request("POST", "/v1/probes", "", "Content-Type", "application/json"), 400, "bad-request", "the body is empty", ""},
		"unknown path":      {request("GET", "/v2/probes", ""), 404, "not-found", "GET /v1 lists", ""},
		"root, POST":        {request("POST", "/", apitest.GoodProbe), 405, "method-not-allowed", "", "GET, HEAD"},
		"no such module":    {request("GET", "/kiosk/x.js", ""), 404, "not-found", "", ""},
		"slash at the end":  {request("POST", "/v1/probes/", apitest.GoodProbe), 404, "not-found", "", ""},
		"unknown, OPTIONS":  {request("OPTIONS", "/v2/probes", ""), 404, "not-found", "", ""},
		"no such asset":     {request("GET", "/docs/x.js", ""), 404, "not-found", "", ""},
		"out of the assets": {request("GET", "/docs/..%2f..%2fservice.go", ""), 404, "not-found", "", ""},
		"GET":               {request("GET", "/v1/probes", ""), 405, "method-not-allowed", "", "POST"},
		"PUT":               {request("PUT", "/v1/probes", apitest.GoodProbe), 405, "method-not-allowed", "", "POST"},
		"HEAD":              {request("HEAD", "/v1/probes", ""), 405, "method-not-allowed", "", "POST"},
		"OPTIONS":           {request("OPTIONS", "/v1/probes", ""), 405, "method-not-allowed", "", "POST"},
		"a method unheard":  {request("BREW", "/v1/things", ""), 405, "method-not-allowed", "This path takes GET, HEAD.", "GET, HEAD"},
		"POST the contract": {request("POST", "/openapi.yaml", "{}"), 405, "method-not-allowed", "", "GET, HEAD"},
		"impossible":        {request("POST", "/v1/probes", doing("impossible")), 422, "impossible-joint", "#/setup/depth: the cutter comes out", ""},
	} {
		t.Run(name, func(t *testing.T) {
			if row.request.Header.Get("Accept") == "" {
				row.request.Header.Set("Accept", "text/plain, */*") // liked as much: problem+json
			}
			w := ask(s.Handler(), row.request)
			require.Equal(t, row.status, w.Code, w.Body)
			p := problemIn(t, w)
			assert.Equal(t, problem.TypePrefix+row.slug, p.Type)
			assert.Contains(t, p.Detail, row.detail)
			assert.Equal(t, row.allow, w.Header().Get("Allow"))
		})
	}
}

func TestBodyAtTheLimit(t *testing.T) {
	s := newProbe(t, Config{})
	body := strings.Repeat(" ", defaultBodyLimit-len(apitest.GoodProbe)) + apitest.GoodProbe
	assert.Equal(t, 200, ask(s.Handler(), request("POST", "/v1/probes", body)).Code)
	r := request("POST", "/v1/probes", body)
	r.ContentLength = -1
	assert.Equal(t, 200, ask(s.Handler(), r).Code)
}

// The wire has its own ways to be wrong, which a recorder does not show.
func TestWrongOnTheWire(t *testing.T) {
	server := httptest.NewServer(newProbe(t, Config{}).Handler())
	defer server.Close()
	const head = "POST /v1/probes HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"
	chunks := strings.Repeat("10000\r\n"+strings.Repeat(" ", 0x10000)+"\r\n", 80) // 5 MB
	for name, row := range map[string]struct {
		sent   string
		status int
		detail string
	}{
		"chunked over the limit":   {head + "Transfer-Encoding: chunked\r\n\r\n" + chunks, 413, "262144"},
		"announced over the limit": {head + "Content-Length: 10485760\r\n\r\n" + chunks, 413, "262144"},
		"cut off":                  {head + "Content-Length: 500\r\n\r\n{", 400, "ends before"},
		"cut off in chunks":        {head + "Transfer-Encoding: chunked\r\n\r\n5\r\n{", 400, "ends before"},
		"no chunks at all":         {head + "Transfer-Encoding: chunked\r\n\r\nhello\r\n", 400, "can't be read"},
	} {
		t.Run(name, func(t *testing.T) {
			answer := overTCP(t, server.Listener.Addr().String(), row.sent)
			assert.Equal(t, row.status, answer.StatusCode)
			body, err := io.ReadAll(answer.Body)
			require.NoError(t, err)
			assert.Contains(t, string(body), row.detail)
		})
	}
}

// overTCP sends raw bytes, closes its side, and reads an answer meanwhile.
func overTCP(t *testing.T, address, sent string) *http.Response {
	conn, err := net.Dial("tcp", address)
	require.NoError(t, err)
	t.Cleanup(func() { conn.Close() })
	go func() {
		_, _ = io.WriteString(conn, sent) // the server may refuse to read it all
		_ = conn.(*net.TCPConn).CloseWrite()
	}()
	answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
	require.NoError(t, err)
	return answer
}
