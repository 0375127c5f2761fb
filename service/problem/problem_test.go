package problem

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFieldsAreSortedAsTheyStand(t *testing.T) {
	want := []string{"#", "#/a", "#/a/9", "#/a/10", "#/a/10/c", "#/a/b", "#/a-b", "#/b"}
	fields := make([]Field, 0, 2*len(want))
	for _, p := range slices.Backward(want) {
		fields = append(fields, Field{Pointer: p, Code: "x"}, Field{Pointer: p, Code: "x"})
	}
	var got []string
	for _, f := range tidy(fields) {
		got = append(got, f.Pointer)
	}
	assert.Equal(t, want, got)
}
