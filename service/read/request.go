package read

import (
	"encoding/json"

	"snugtail/api"
)

// UnitsOf looks up the unit that all of a request is read in.
func UnitsOf(body []byte) api.Units {
	var request struct {
		Units api.Units `json:"units"`
	}
	_ = json.Unmarshal(body, &request) // the body was read before
	return request.Units
}
