package recommend_test

import (
	"testing"

	"snugtail/joint/recommend"
)

func TestFormulas(t *testing.T) {
	for _, r := range recommend.Formulas() {
		if err := r.Check(); err != nil {
			t.Error(err)
		}
	}
}
