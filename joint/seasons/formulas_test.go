package seasons_test

import (
	"testing"

	"snugtail/joint/seasons"
)

func TestFormulas(t *testing.T) {
	for _, r := range seasons.Formulas() {
		if err := r.Check(); err != nil {
			t.Error(err)
		}
	}
}
