package wood_test

import (
	"testing"

	"snugtail/joint/wood"
)

func TestFormulas(t *testing.T) {
	for _, r := range wood.Formulas() {
		if err := r.Check(); err != nil {
			t.Error(err)
		}
	}
}
