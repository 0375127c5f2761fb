package problem

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"snugtail/api"
)

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
