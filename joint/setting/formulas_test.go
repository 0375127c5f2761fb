package setting_test

import (
	"testing"

	"snugtail/joint/setting"
)

func TestFormulas(t *testing.T) {
	for _, r := range setting.Formulas() {
		if err := r.Check(); err != nil {
			t.Error(err)
		}
	}
}
