package gate

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBucketsRefillAndAreBounded(t *testing.T) {
	r := newRates(Limits{Rate: 10, Burst: 1})
	now := time.Now()
	assert.Zero(t, r.take("a", 1, 1, now))
	assert.InDelta(t, 0.1, r.take("a", 1, 1, now).Seconds(), 1e-9)
	assert.NotZero(t, r.take("a", 1, 1, now.Add(-time.Hour)), "a clock that jumps back takes nothing away and gives nothing")
	assert.Zero(t, r.take("a", 1, 1, now.Add(time.Second)))
	for i := range 5 * maxClients {
		r.take(fmt.Sprint(i), 1, 1, now)
	}
	assert.LessOrEqual(t, len(r.young)+len(r.old), 2*maxClients)
}

func keyLine(name, key string) string {
	hash := sha256.Sum256([]byte(key))
	return name + " " + hex.EncodeToString(hash[:]) + "\n"
}

func TestWrongKeyFiles(t *testing.T) {
	for text, want := range map[string]string{
		"":                                    "no key",
		"museum first-secret\n":               "line 1: the SHA-256 must be 64",
		"\nmu*seum 00\n":                      "line 2: it must be a name",
		"museum\n":                            "line 1: it must be a name",
		"museum " + "zz" + "\n":               "64 hexadecimal",
		keyLine("a", "b") + keyLine("a", "b"): "line 2 stands twice",
	} {
		_, err := ReadKeys(strings.NewReader(text))
		require.ErrorContains(t, err, want)
		assert.NotContains(t, err.Error(), "secret")
	}
}
