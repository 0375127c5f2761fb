package hold_test

import (
	"testing"

	"snugtail/joint/hold"
)

func TestFormulas(t *testing.T) {
	for _, r := range hold.Formulas() {
		if err := r.Check(); err != nil {
			t.Error(err)
		}
	}
}
