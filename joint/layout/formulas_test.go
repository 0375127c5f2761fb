package layout_test

import (
	"testing"

	"snugtail/joint/layout"
)

func TestFormulas(t *testing.T) {
	for _, r := range layout.Formulas() {
		if err := r.Check(); err != nil {
			t.Error(err)
		}
	}
}
