package service

import (
	"bufio"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDocsInABrowser opens the page in a real browser, sends requests from it,
// and sees that nothing was asked of anyone but this service. With
// SNUGTAIL_SCREENSHOT set to a file's name, the page is kept there as a PNG.
func TestDocsInABrowser(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	b := startBrowser(t)
	b.open(server.URL + "/docs")

	b.until("the operations are shown", `document.querySelectorAll(".opblock").length >= 5`)
	assert.Equal(t, "snugtail: the contract", b.eval(`document.title`))
	assert.Contains(t, b.tryOut("/v1/cutters"), `"cutters"`)
	assert.Contains(t, b.tryOut("/v1/fit-predictions"), `"depth_for_target"`, "the contract's example, as it stands there")
	b.screenshot(os.Getenv("SNUGTAIL_SCREENSHOT"))

	for _, url := range b.asked {
		if !strings.HasPrefix(url, server.URL+"/") && !strings.HasPrefix(url, "data:") {
			t.Errorf("the page asked %s", url)
		}
	}
	assert.Contains(t, b.asked, server.URL+"/v1/cutters", "trying it out asks this service")
	assert.Empty(t, b.complaints, "the browser's console")
}

// tryOut opens an operation, sends what the page holds ready, and returns the
// answer that it then shows.
func (b *browser) tryOut(path string) string {
	b.t.Helper()
	block := `[...document.querySelectorAll(".opblock")].find(e => e.querySelector("[data-path='` + path + `']"))`
	b.eval(block + `.querySelector(".opblock-summary-control").click()`)
	// The viewer follows the operation's references after it has opened it, and
	// can't send before: wait for what stands behind one.
	b.until(path+" is open", block+`.querySelector("[data-param-name='X-Request-ID']") !== null && `+block+`.querySelector(".execute") !== null`)
	b.eval(block + `.querySelector(".execute").click()`)
	b.until("the answer of "+path+" is shown", block+`.querySelector(".live-responses-table .response-col_status") !== null`)
	return b.eval(block + `.querySelector(".live-responses-table").innerText`)
}

// browser is a headless Chromium that is told what to do over a pipe (the
// DevTools protocol: JSON texts, each ended by a zero byte).
type browser struct {
	t          *testing.T
	to         *os.File
	from       *bufio.Reader
	session    string
	lastID     int
	asked      []string // URLs of all requests
	complaints []string // errors in the console, refusals of the policy included
}

// devtoolsText is any text of the protocol that this test needs.
type devtoolsText struct {
	ID        int             `json:"id,omitempty"`
	SessionID string          `json:"sessionId,omitempty"`
	Method    string          `json:"method,omitempty"`
	Params    json.RawMessage `json:"params,omitempty"`
	Result    json.RawMessage `json:"result,omitempty"`
	Error     json.RawMessage `json:"error,omitempty"`
}

func startBrowser(t *testing.T) *browser {
	path := findChromium(t)
	fromTest, toBrowser, err := os.Pipe()
	require.NoError(t, err)
	fromBrowser, toTest, err := os.Pipe()
	require.NoError(t, err)
	deadline := 5 * time.Minute
	ctx, cancel := context.WithTimeout(t.Context(), deadline)
	command := exec.CommandContext(ctx, path, "--headless=new", "--no-sandbox", "--disable-gpu",
		"--disable-dev-shm-usage", "--no-first-run", "--disable-background-networking",
		"--window-size=1200,1600", "--user-data-dir="+browserDir(t), "--remote-debugging-pipe")
	command.ExtraFiles = []*os.File{fromTest, toTest} // 3 and 4 in the browser
	require.NoError(t, command.Start())
	fromTest.Close()
	toTest.Close()
	require.NoError(t, fromBrowser.SetReadDeadline(time.Now().Add(deadline)))
	b := &browser{t: t, to: toBrowser, from: bufio.NewReader(fromBrowser)}
	t.Cleanup(func() {
		b.session = ""
		b.send("Browser.close", nil)
		_ = command.Wait() // before its directory is removed
		cancel()
		toBrowser.Close()
		fromBrowser.Close()
	})
	return b
}

// browserDir is removed with patience: the browser's helpers write to it for a
// moment after the browser itself is gone.
func browserDir(t *testing.T) string {
	dir, err := os.MkdirTemp("", "snugtail-docs")
	require.NoError(t, err)
	t.Cleanup(func() {
		for range 50 {
			if os.RemoveAll(dir) == nil {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
	})
	return dir
}

// findChromium skips the test on a machine without one, but never in CI.
func findChromium(t *testing.T) string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv("CI") == "true" {
		t.Fatal("no Chromium, which .ci/run should have installed")
	}
	t.Skip("no Chromium on this machine")
	return ""
}

func (b *browser) open(url string) {
	var target struct{ TargetID string }
	b.call("Target.createTarget", map[string]any{"url": "about:blank"}, &target)
	var attached struct{ SessionID string }
	b.call("Target.attachToTarget", map[string]any{"targetId": target.TargetID, "flatten": true}, &attached)
	b.session = attached.SessionID
	for _, domain := range []string{"Network", "Log", "Runtime", "Page"} {
		b.call(domain+".enable", nil, nil)
	}
	b.call("Page.navigate", map[string]any{"url": url}, nil)
}

func (b *browser) send(method string, params any) {
	b.lastID++
	raw, err := json.Marshal(params)
	require.NoError(b.t, err)
	text, err := json.Marshal(devtoolsText{ID: b.lastID, SessionID: b.session, Method: method, Params: raw})
	require.NoError(b.t, err)
	_, err = b.to.Write(append(text, 0))
	require.NoError(b.t, err)
}

// call sends a command and reads on until its answer, noting events on the way.
func (b *browser) call(method string, params, result any) {
	b.t.Helper()
	b.send(method, params)
	for {
		text, err := b.from.ReadBytes(0)
		require.NoError(b.t, err, "reading the browser's answer to %s", method)
		var m devtoolsText
		require.NoError(b.t, json.Unmarshal(text[:len(text)-1], &m))
		if m.ID != b.lastID {
			b.note(m)
			continue
		}
		require.Empty(b.t, string(m.Error), method)
		if result != nil {
			require.NoError(b.t, json.Unmarshal(m.Result, result))
		}
		return
	}
}

func (b *browser) note(m devtoolsText) {
	var event struct {
		Request struct{ URL string }
		Entry   struct{ Level, Text, URL string }
		Type    string
	}
	if json.Unmarshal(m.Params, &event) != nil {
		return
	}
	switch {
	case m.Method == "Network.requestWillBeSent":
		b.asked = append(b.asked, event.Request.URL)
	case m.Method == "Log.entryAdded" && event.Entry.Level == "error":
		b.complaints = append(b.complaints, event.Entry.Text+" "+event.Entry.URL)
	case m.Method == "Runtime.exceptionThrown", m.Method == "Runtime.consoleAPICalled" && event.Type == "error":
		b.complaints = append(b.complaints, string(m.Params))
	}
}

// eval runs a script in the page and returns its value as text.
func (b *browser) eval(script string) string {
	b.t.Helper()
	var answer struct {
		Result           struct{ Value any }
		ExceptionDetails any
	}
	b.call("Runtime.evaluate", map[string]any{"expression": script, "returnByValue": true}, &answer)
	require.Nil(b.t, answer.ExceptionDetails, script)
	return fmt.Sprint(answer.Result.Value)
}

func (b *browser) until(what, script string) {
	b.t.Helper()
	for range 1200 {
		if b.eval(script) == "true" {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	b.t.Fatalf("waited in vain until %s; complaints: %v", what, b.complaints)
}

func (b *browser) screenshot(file string) {
	if file == "" {
		return
	}
	var shot struct{ Data string }
	b.call("Page.captureScreenshot", nil, &shot)
	png, err := base64.StdEncoding.DecodeString(shot.Data)
	require.NoError(b.t, err)
	require.NoError(b.t, os.WriteFile(file, png, 0o644))
}
