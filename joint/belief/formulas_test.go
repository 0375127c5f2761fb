package belief_test

import (
	"testing"

	"snugtail/joint/belief"
)

func TestFormulas(t *testing.T) {
	for _, r := range belief.Formulas() {
		if err := r.Check(); err != nil {
			t.Error(err)
		}
	}
}
