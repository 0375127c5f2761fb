package parts_test

import (
	"testing"

	"snugtail/joint/parts"
)

func TestFormulas(t *testing.T) {
	for _, r := range parts.Formulas() {
		if err := r.Check(); err != nil {
			t.Error(err)
		}
	}
}
