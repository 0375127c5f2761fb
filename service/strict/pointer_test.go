package strict

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The escapes are those of RFC 6901, sections 5 and 6.
func TestPointer(t *testing.T) {
	for want, path := range map[string][]string{
		"#":                        {},
		"#/":                       {""},
		"#/setup/bushing/diameter": {"setup", "bushing", "diameter"},
		"#/test_cuts/3":            {"test_cuts", "3"},
		"#/a~1b":                   {"a/b"},
		"#/m~0n":                   {"m~n"},
		"#/c%25d":                  {"c%d"},
		"#/e%5Ef":                  {"e^f"},
		"#/g%7Ch":                  {"g|h"},
		"#/i%5Cj":                  {`i\j`},
		"#/k%22l":                  {`k"l`},
		"#/%20":                    {" "},
		"#/%C3%A9":                 {"é"},
		"#/%23?&=+":                {"#?&=+"},
		"#/~01":                    {"~1"},
	} {
		assert.Equal(t, want, Pointer(path...))
	}
}
