package service

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// layers are the packages of the service, each above those that it may call; see
// the package's own comment. inorder, wire and draw call none.
var layers = []string{
	"", "site", "gate", "watch", "transfer", "paper", "plain", "working", "answers", "read", "priors", "check", "fields", "problem", "say", "codes", "strict", "spelling", "message",
	"draw", "inorder", "wire",
}

// without says which packages know nothing of which others, and so can be changed
// without them.
var without = map[string][]string{
	"say":      {"snugtail/api"}, // sentences are of the domain, whoever asks
	"codes":    {"snugtail/api"},
	"priors":   {"snugtail/api"},
	"strict":   {"snugtail/api", "snugtail/joint"}, // JSON is of no contract
	"spelling": {"snugtail/"},
	"draw":     {"snugtail/api", "snugtail/service"},
	"wire":     {"snugtail/"},
	"inorder":  {"snugtail/"},
	"gate":     {"snugtail/joint"},
	"transfer": {"snugtail/joint"},
}

func TestCallsRunOneWay(t *testing.T) {
	const own = "snugtail/service/"
	for at, layer := range layers {
		for _, path := range importsOf(t, filepath.Join(".", layer)) {
			if called, ok := strings.CutPrefix(path, own); ok {
				assert.Greater(t, slices.Index(layers, called), at, "%q calls %q, which stands above it or is not listed", layer, called)
			}
			for _, unknown := range without[layer] {
				assert.False(t, strings.HasPrefix(path+"/", unknown), "%s knows nothing of %s", layer, path)
			}
		}
	}
	folders, err := filepath.Glob("*/*.go")
	require.NoError(t, err)
	for _, file := range folders {
		if strings.HasPrefix(file, "callers/") { // people who call, for tests alone
			continue
		}
		assert.Contains(t, layers, filepath.Dir(file))
	}
}

// importsOf are the packages that a folder's code imports, its tests apart.
func importsOf(t *testing.T, folder string) (paths []string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*.go"))
	require.NoError(t, err)
	require.NotEmpty(t, files, folder)
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		file, err := parser.ParseFile(token.NewFileSet(), name, text, parser.ImportsOnly)
		require.NoError(t, err)
		for _, spec := range file.Imports {
			path, err := strconv.Unquote(spec.Path.Value)
			require.NoError(t, err)
			paths = append(paths, path)
		}
	}
	return paths
}
