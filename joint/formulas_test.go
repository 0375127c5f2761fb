package joint_test

import (
	"testing"

	"snugtail/joint"
)

func TestFormulas(t *testing.T) {
	for _, r := range joint.Formulas() {
		t.Run(r.Name, func(t *testing.T) {
			if err := r.Check(); err != nil {
				t.Error(err)
			}
		})
	}
}
