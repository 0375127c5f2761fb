package watch

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestTraceID(t *testing.T) {
	const id, parent = "4bf92f3577b34da6a3ce929d0e0e4736", "00f067aa0ba902b7"
	for given, want := range map[string]string{ // W3C Trace Context, section 3.2
		"00-" + id + "-" + parent + "-01":                      id,
		"cc-" + id + "-" + parent + "-01-later":                id,
		"00-" + id + "-" + parent + "-01-later":                "",
		"ff-" + id + "-" + parent + "-01":                      "",
		"00-" + strings.Repeat("0", 32) + "-" + parent + "-01": "",
		"00-" + id + "-" + strings.Repeat("0", 16) + "-01":     "",
		"00-" + strings.ToUpper(id) + "-" + parent + "-01":     "",
		"00-" + id + "-" + parent:                              "",
		"00-" + id[1:] + "-" + parent + "-01":                  "",
		"":                                                     "",
		"---":                                                  "",
	} {
		assert.Equal(t, want, traceID(given), given)
	}
}
