package run_test

import (
	"testing"

	"snugtail/joint/run"
)

func TestFormulas(t *testing.T) {
	for _, r := range run.Formulas() {
		if err := r.Check(); err != nil {
			t.Error(err)
		}
	}
}
