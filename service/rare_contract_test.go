package service

import (
	"net/http"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api/apitest"
)

// A contract that asks what no request of ours does, or promises more than the Go
// type takes, is still answered by a refusal.
func TestContractBeyondOurs(t *testing.T) {
	for name, row := range map[string]struct {
		do       *openapi3.Schema
		doing    string
		code, is string
	}{
		"an unused keyword": {
			&openapi3.Schema{Type: &openapi3.Types{openapi3.TypeNumber}, MultipleOf: openapi3.Ptr(2.0)}, `3`,
			"bad_format", "number must be a multiple of 2",
		},
		"another type": {openapi3.NewInt64Schema().WithMin(0).WithMax(9), `3`, "wrong_type", "the request can't be read"},
	} {
		t.Run(name, func(t *testing.T) {
			contract := loadProbeContract(t)
			body := contract.Document.Paths.Value("/v1/probes").Post.RequestBody.Value.Content.Get("application/json").Schema.Value
			body.Properties["do"] = row.do.NewRef()
			s, err := newService(Config{}, contract, probeTable)
			require.NoError(t, err)
			w := ask(s.Handler(), request(http.MethodPost, "/v1/probes", `{"do":`+row.doing+`,`+apitest.GoodProbe[1:]))
			assert.Equal(t, http.StatusBadRequest, w.Code, "%s", w.Body)
			assert.Contains(t, w.Body.String(), `"code":"`+row.code+`"`)
			assert.Contains(t, w.Body.String(), row.is)
		})
	}
}
