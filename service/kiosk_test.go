package service

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
)

// The page is there in one request, loads only what is served here, and its
// policy allows its own style and nothing else inline.
func TestKioskPage(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	w := ask(s.Handler(), request("GET", "/", "", "Accept", "text/html"))
	require.Equal(t, 200, w.Code)
	assert.Equal(t, "text/html; charset=utf-8", w.Header().Get("Content-Type"))
	page := w.Body.String()
	size := len(page)
	policy := w.Header().Get("Content-Security-Policy")
	assert.NotContains(t, policy, "unsafe")
	_, rest, _ := strings.Cut(page, "<style>")
	style, _, _ := strings.Cut(rest, "</style>")
	sum := sha256.Sum256([]byte(style))
	assert.Contains(t, policy, "style-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'", "the hash is that of the style as it is sent")
	assert.Contains(t, policy, "default-src 'none'")
	assert.NotContains(t, page, " style=")
	assert.NotContains(t, page, " onclick=")

	links := regexp.MustCompile(`(?:src|href)="(kiosk/[^"]+)"`).FindAllStringSubmatch(page, -1)
	loaded := map[string]bool{}
	for _, link := range links {
		w := ask(s.Handler(), request("GET", "/"+link[1], ""))
		require.Equal(t, 200, w.Code, link[1])
		assert.Equal(t, "text/javascript; charset=utf-8", w.Header().Get("Content-Type"))
		if !loaded[link[1]] {
			size += w.Body.Len()
		}
		loaded[link[1]] = true
		for _, imported := range regexp.MustCompile(`from "\./([^"]+)"`).FindAllStringSubmatch(w.Body.String(), -1) {
			assert.Contains(t, page, `<link rel="modulepreload" href="kiosk/`+imported[1]+`">`, "all modules in one round")
		}
	}
	modules, err := filepath.Glob("site/kiosk/*.js")
	require.NoError(t, err)
	assert.Len(t, loaded, len(modules)+1, "and the letters that print, which the service writes")
	assert.Less(t, size, 150_000, "the page in all")
	assert.Equal(t, 404, ask(s.Handler(), request("GET", "/kiosk/index.html", "")).Code)
}

// What the page shows of a joint that does not fit is the service's decision:
// its headline, the one check that it names, and no depth before there is one
// to cut at. Whatever is asked for can't be checked here, or nobody knows.
func TestKioskFollowsTheDecision(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	b := startBrowser(t)
	for _, feel := range []string{"will_not_start", "rattles", "closes_one_end"} {
		checks := b.wrongJoint(server.URL, feel)
		assert.NotEmpty(t, checks, feel)
	}
	assert.Empty(t, b.complaints, "the browser's console")
}

// wrongJoint tells of a joint of which little is known, makes no check, and
// returns those that were asked for.
func (b *browser) wrongJoint(url, feel string) []string {
	b.t.Helper()
	b.open(url + "/#wrong")
	b.until("the form is there", `document.querySelector("#view form") !== null`)
	b.eval(`window.answers = []; const plain = window.fetch; window.fetch = async (...asked) => {
		const answer = await plain(...asked);
		if (String(asked[0]).endsWith("diagnoses")) window.answers.push({ told: asked[1].body, answer: await answer.clone().text() });
		return answer;
	}`)
	b.eval(fmt.Sprintf(`document.querySelector("[name=at-test_cuts-0-feel][value=%s]").click()`, feel))
	for at, text := range map[string]string{"bushing-diameter": "11.11 mm", "cutter-diameter": "12.7 mm", "cutter-angle": "14", "depth": "10.9 mm"} {
		b.eval(fmt.Sprintf(`{ const line = document.getElementById("at-setup-%s"); line.value = %q; line.dispatchEvent(new Event("change", { bubbles: true })) }`, at, text))
	}
	b.eval(`document.querySelector("#view form .main").click()`)
	var checks []string
	for {
		told, answer := b.wrongAnswer(len(checks) + 1)
		assert.ElementsMatch(b.t, checks, append(told.Answered, told.Unavailable...))
		if answer.Decision.Check == nil {
			return checks
		}
		check := *answer.Decision.Check
		require.NotContains(b.t, checks, check, "asked for once")
		checks = append(checks, check)
		if strings.HasPrefix(check, "ask_") {
			b.eval(`document.querySelector(".check input[value=unknown]").click(); document.querySelector(".check .main").click()`)
			continue
		}
		b.eval(`document.querySelector(".check .quiet").click()`)
	}
}

// namesDepth finds a depth that something is to be cut at, or by how much to change it.
var namesDepth = regexp.MustCompile(`(?i)(deep|depth|shallow|lower|raise)[^.:]{0,40}\d[^.:a-z]*(\.\d+)?\s*(mm|in)\b|\d\s*(mm|in)\b[^.:,]{0,25}(deep|depth|shallow)`)

// wrongAnswer waits for the page to show answer n, and holds the page against it.
func (b *browser) wrongAnswer(n int) (told api.DiagnosisRequest, answer api.DiagnosisAnswer) {
	b.t.Helper()
	b.until(fmt.Sprintf("answer %d is shown", n),
		fmt.Sprintf(`window.answers.length === %d && !document.body.hasAttribute("aria-busy") && document.querySelector("#view h1")?.textContent === JSON.parse(window.answers.at(-1).answer).decision.text`, n))
	require.NoError(b.t, json.Unmarshal([]byte(b.eval(`window.answers.at(-1).told`)), &told))
	require.NoError(b.t, json.Unmarshal([]byte(b.eval(`window.answers.at(-1).answer`)), &answer))
	likely := b.eval(`document.querySelector(".causes .chance > span")?.textContent`)
	if answer.Decision.Do != "stop" {
		assert.Equal(b.t, answer.Answers[0].Text, likely)
	}
	if answer.Decision.Check == nil {
		assert.Equal(b.t, "0", b.eval(`document.querySelectorAll(".check").length`))
		assert.Equal(b.t, answer.Steps[0].Text, b.eval(`document.querySelector(".steps strong").textContent`))
		return told, answer
	}
	assert.Equal(b.t, answer.NextCheck.Text, b.eval(`document.querySelector(".ask").textContent`))
	assert.Equal(b.t, "0", b.eval(`document.querySelectorAll("figure, .paper").length`))
	for line := range strings.Lines(b.eval(`[...document.querySelectorAll("#view > :not(.cautions)")].map((e) => e.textContent).join("\n")`)) {
		assert.NotRegexp(b.t, namesDepth, line)
		assert.NotContains(b.t, line, answer.NextDepth.Text)
	}
	return told, answer
}
