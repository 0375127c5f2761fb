package plain

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A label that a spreadsheet would take for a formula is kept from it; others
// stand as they are.
func TestCSVHoldsNoFormulas(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "shallow": "shallow", "1-2": "1-2", "a=b": "a=b", "'=1": "'=1",
		"=1+1": "'=1+1", "+1": "'+1", "-1": "'-1", "@SUM(A1)": "'@SUM(A1)", "\tx": "'\tx", "\rx": "'\rx",
	} {
		assert.Equal(t, want, csvText(text))
	}
}
