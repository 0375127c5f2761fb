package main

import (
	"bufio"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestConnectionsBeyondTheBoundAreTold(t *testing.T) {
	r := startChanged(t, patientWhenFull, "-connections", "2")
	address := r.publicOn.Addr().String()
	var held [2]net.Conn
	for i := range held {
		var err error
		held[i], err = net.Dial("tcp", address)
		require.NoError(t, err)
		defer held[i].Close()
	}
	conn, err := net.Dial("tcp", address)
	require.NoError(t, err)
	defer conn.Close()
	_, err = io.WriteString(conn, "GET /v1/cutters HTTP/1.1\r\nHost: x\r\n\r\n")
	require.NoError(t, err)
	answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
	require.NoError(t, err)
	defer answer.Body.Close()
	assert.Equal(t, 503, answer.StatusCode)
	assert.Equal(t, "1", answer.Header.Get("Retry-After"))
	var problem struct{ Type string }
	require.NoError(t, json.NewDecoder(answer.Body).Decode(&problem))
	assert.Equal(t, "urn:snugtail:problem:unavailable", problem.Type)
	assert.Equal(t, 200, status(t, r.admin+"/healthz"), "operators always get an answer")
	held[0].Close()
	assert.Eventually(t, answers(r.public+"/v1/cutters"), ample, 10*time.Millisecond, "a place comes back")
}

func TestLimitSettings(t *testing.T) {
	keys := filepath.Join(t.TempDir(), "keys")
	require.NoError(t, os.WriteFile(keys, []byte("museum "+strings.Repeat("ab", 32)+"\n"), 0o600))
	c, err := readSettings([]string{
		"-at-once", "3", "-queue", "4", "-queue-wait", "1s", "-rate", "0.5", "-burst", "6",
		"-keys-file", keys, "-origins", "https://planner.example, http://localhost:3000", "-trusted-proxies", "10.0.0.0/8,::1/128", "-connections", "7", "-elements", "8",
	}, noEnv, io.Discard)
	require.NoError(t, err)
	assert.Equal(t, 3, c.limits.AtOnce)
	assert.Equal(t, 4, c.limits.Queue)
	assert.Equal(t, time.Second, c.limits.QueueWait)
	assert.Equal(t, 0.5, c.limits.Rate)
	assert.Equal(t, 6, c.limits.Burst)
	assert.Equal(t, "museum", c.keys[0].Name)
	assert.Equal(t, []string{"https://planner.example", "http://localhost:3000"}, c.origins)
	assert.Len(t, c.proxies, 2)
	assert.Equal(t, 7, c.connections)
	assert.Equal(t, 8, c.limits.Elements)
	for _, wrong := range [][2]string{
		{"at-once", "-1"},
		{"queue", "x"},
		{"rate", "NaN"},
		{"rate", "-1"},
		{"burst", "1.5"},
		{"keys-file", "/nowhere"},
		{"connections", "0"},
		{"elements", "0"},
		{"elements", "10000001"},
		{"origins", "*"},
		{"origins", "https://*.example"},
		{"origins", "https://a.example/"},
		{"origins", "planner"},
		{"trusted-proxies", "10.0.0.1"},
	} {
		_, err := readSettings([]string{"-" + wrong[0], wrong[1]}, noEnv, io.Discard)
		assert.ErrorContains(t, err, "-"+wrong[0], wrong)
	}
}

// licences are those whose terms a service may keep to by naming them; each is
// known by words that only it has.
var licences = []struct{ name, words string }{
	{"Apache-2.0", "Apache License"},
	{"MIT", "Permission is hereby granted, free of charge"},
	{"BSD-3-Clause", "Neither the name"},
}

// Every module that is in the program has a licence that is known to be compatible.
func TestLicences(t *testing.T) {
	list := exec.CommandContext(t.Context(), "go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Dir}}{{end}}{{end}}", ".")
	out, err := list.Output()
	require.NoError(t, err)
	seen := map[string]string{}
	for line := range strings.Lines(string(out)) {
		path, dir, found := strings.Cut(strings.TrimSpace(line), " ")
		if found {
			seen[path] = dir
		}
	}
	require.NotEmpty(t, seen)
	for path, dir := range seen {
		t.Logf("%s: %s", path, licenceOf(t, path, dir))
	}
}

func licenceOf(t *testing.T, path, dir string) string {
	files, err := filepath.Glob(filepath.Join(dir, "LICEN[SC]E*"))
	require.NoError(t, err)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, each := range licences {
			if strings.Contains(strings.Join(strings.Fields(string(text)), " "), each.words) {
				return each.name
			}
		}
	}
	t.Errorf("%s has no licence that is known to be compatible", path)
	return "none"
}
