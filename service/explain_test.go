package service

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"snugtail/api"
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
		assert.Equal(t, want, pointer(path...))
	}
}

func TestFieldsAreSortedAsTheyStand(t *testing.T) {
	want := []string{"#", "#/a", "#/a/9", "#/a/10", "#/a/10/c", "#/a/b", "#/a-b", "#/b"}
	fields := make([]api.FieldError, 0, 2*len(want))
	for _, p := range slices.Backward(want) {
		fields = append(fields, api.FieldError{Pointer: p, Code: "x"}, api.FieldError{Pointer: p, Code: "x"})
	}
	var got []string
	for _, f := range tidy(fields) {
		got = append(got, f.Pointer)
	}
	assert.Equal(t, want, got)
}
