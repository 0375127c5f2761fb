package service

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/service/gate"
)

// goodPrediction holds 13 values: 5 objects, a text, 6 numbers and itself; a
// batch of it 5 more.
func TestElements(t *testing.T) {
	for name, row := range map[string]struct {
		most       int
		path, body string
		refused    string // part of the reason; empty for none
	}{
		"as many":            {13, "/v1/fit-predictions", goodPrediction, ""},
		"one too many":       {12, "/v1/fit-predictions", goodPrediction, "more than 12 values"},
		"in a batch":         {18, batchPath, batchOf(item("a", "fit-predictions", goodPrediction)), ""},
		"one more":           {17, batchPath, batchOf(item("a", "fit-predictions", goodPrediction)), "more than 17 values"},
		"by the standard":    {0, batchPath, `{"items":[` + strings.Repeat("1,", 500_000), "more than 50000 values"},
		"where it went over": {1, "/v1/layouts", "{\n \"a\": 1}", "line 2, column 7"},
	} {
		t.Run(name, func(t *testing.T) {
			s, err := New(Config{Limits: gate.Limits{Elements: row.most}})
			require.NoError(t, err)
			w := ask(s.Handler(), request(http.MethodPost, row.path, row.body))
			if row.refused == "" {
				assert.Equal(t, http.StatusOK, w.Code, w.Body)
				return
			}
			require.Equal(t, http.StatusBadRequest, w.Code, w.Body)
			field := problemIn(t, w).Errors[0]
			assert.Equal(t, "#", field.Pointer)
			assert.Equal(t, "too_many_values", field.Code)
			assert.Contains(t, field.Detail, row.refused)
		})
	}
	_, err := New(Config{Limits: gate.Limits{Elements: -1}})
	assert.Error(t, err)
}
