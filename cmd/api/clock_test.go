package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The machine's clock may jump: no answer, limit or deadline looks at the time of
// day. Times are only taken and compared within the process, and there Go counts
// on a clock that is never set (package time, "Monotonic Clocks"), unless one of
// its methods below throws that reading away. The log's stamps are the exception.
func TestNothingLooksAtTheTimeOfDay(t *testing.T) {
	staysMonotonic := map[string]bool{
		"Now": true, "Since": true, "Duration": true, "ParseDuration": true, "NewTimer": true, "After": true, "Sleep": true,
		"Hour": true, "Minute": true, "Second": true, "Millisecond": true, "Time": true,
	}
	throwsAway := map[string]bool{
		"Unix": true, "UnixNano": true, "UnixMicro": true, "UnixMilli": true, "UTC": true, "Local": true, "In": true, "Format": true,
		"AppendFormat": true, "Truncate": true, "Round": true, "AddDate": true, "Date": true, "Clock": true, "Weekday": true, "YearDay": true,
	}
	taken := 0
	for _, root := range []string{"../../joint", "../../service", "."} {
		files := goFiles(t, root)
		require.NotEmpty(t, files)
		for _, path := range files {
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, path, nil, 0)
			require.NoError(t, err)
			ast.Inspect(file, func(n ast.Node) bool {
				if call, ok := n.(*ast.CallExpr); ok {
					if method, ok := call.Fun.(*ast.SelectorExpr); ok && throwsAway[method.Sel.Name] {
						of, isName := method.X.(*ast.Ident)
						assert.True(t, isName && of.Name == "math", "%s: %s", set.Position(n.Pos()), method.Sel.Name)
					}
				}
				selector, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				if of, ok := selector.X.(*ast.Ident); ok && of.Name == "time" && of.Obj == nil {
					taken++
					where := set.Position(n.Pos())
					assert.True(t, staysMonotonic[selector.Sel.Name], "%s: time.%s", where, selector.Sel.Name)
					assert.False(t, strings.HasPrefix(path, "../../joint"), "%s: the textbook knows no clock", where)
				}
				return true
			})
		}
	}
	assert.Greater(t, taken, 20)
}

func goFiles(t *testing.T, root string) (paths []string) {
	require.NoError(t, filepath.WalkDir(root, func(path string, _ fs.DirEntry, err error) error {
		if strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, "_test.go") {
			paths = append(paths, path)
		}
		return err
	}))
	return paths
}
