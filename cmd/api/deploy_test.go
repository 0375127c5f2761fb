package main

import (
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"
)

// composeFile is what the tests need of deploy/compose.yaml.
type composeFile struct {
	Services map[string]struct {
		Ports       []string
		Environment map[string]string
		User        string
		ReadOnly    bool     `yaml:"read_only"`
		CapDrop     []string `yaml:"cap_drop"`
		CapAdd      []string `yaml:"cap_add"`
		SecurityOpt []string `yaml:"security_opt"`
		Privileged  bool
		MemLimit    string `yaml:"mem_limit"`
		PidsLimit   int    `yaml:"pids_limit"`
		StopGrace   string `yaml:"stop_grace_period"`
		Volumes     []string
		Healthcheck struct{ Test []string }
	}
}

func TestComposeIsHardened(t *testing.T) {
	text, err := os.ReadFile("../../deploy/compose.yaml")
	require.NoError(t, err)
	var file composeFile
	require.NoError(t, yaml.Unmarshal(text, &file))
	require.Len(t, file.Services, 3)
	s := file.Services["snugtail"]
	assert.True(t, s.ReadOnly, "the root is read-only")
	assert.Equal(t, []string{"ALL"}, s.CapDrop)
	assert.Empty(t, s.CapAdd)
	assert.Contains(t, s.SecurityOpt, "no-new-privileges:true")
	assert.False(t, s.Privileged)
	assert.Empty(t, s.Volumes, "nothing is stored")
	assert.NotEmpty(t, s.MemLimit)
	assert.Positive(t, s.PidsLimit)
	assert.Regexp(t, `^[1-9]\d*:[1-9]\d*$`, s.User, "a number that is not root")
	assert.Equal(t, []string{"127.0.0.1:8080:8080"}, s.Ports, "on loopback; operators' port is not published")
	assert.Equal(t, []string{"CMD", "/snugtail", "-healthcheck"}, s.Healthcheck.Test)
}

// What compose sets, the program must take, and have time for.
func TestComposeAndProgramAgree(t *testing.T) {
	text, err := os.ReadFile("../../deploy/compose.yaml")
	require.NoError(t, err)
	var file composeFile
	require.NoError(t, yaml.Unmarshal(text, &file))
	s := file.Services["snugtail"]
	c, err := readSettings(nil, fromMap(s.Environment), os.Stdout)
	require.NoError(t, err)
	known := map[string]bool{}
	for _, row := range c.list() {
		known[row.variable] = true
	}
	for name := range s.Environment {
		assert.True(t, known[name], "%s is no setting", name)
	}
	grace, err := time.ParseDuration(s.StopGrace)
	require.NoError(t, err)
	assert.Greater(t, grace, c.drainDelay+c.shutdownGrace)
}

func TestDockerfile(t *testing.T) {
	text, err := os.ReadFile("../../Dockerfile")
	require.NoError(t, err)
	_, final, found := strings.Cut(string(text), "\nFROM scratch\n")
	require.True(t, found, "the last stage is empty but for what is copied")
	assert.NotContains(t, final, "FROM ")
	assert.Regexp(t, `(?m)^USER [1-9]\d*:[1-9]\d*$`, final)
	assert.Regexp(t, `(?m)^EXPOSE 8080 8081$`, final)
	assert.Contains(t, final, `CMD ["/snugtail", "-healthcheck"]`)
	assert.Contains(t, final, `ENTRYPOINT ["/snugtail"]`)
	for _, part := range []string{"CGO_ENABLED=0", "-trimpath", "-buildvcs=false", `-s -w -X main.version=`, "FROM golang:1.26 AS build"} {
		assert.Contains(t, string(text), part)
	}
}
