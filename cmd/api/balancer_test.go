package main

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"math/big"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// balancer is the configuration of deploy/ with a certificate of its own and the
// replicas' addresses (service, operators), where it answers, and what asks it.
func balancer(t *testing.T, replicas [3][2]string) (file, front string, client func(connections int) *http.Client) {
	t.Helper()
	dir, tlsAt := t.TempDir(), freePort(t)
	certificate, pool := ownCertificate(t)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "snugtail.pem"), certificate, 0o600))
	swaps := []string{":443 ", tlsAt + " ", ":80\n", freePort(t) + "\n", "/etc/haproxy/snugtail.pem", filepath.Join(dir, "snugtail.pem")}
	for i, at := range replicas {
		_, port, err := net.SplitHostPort(at[1])
		require.NoError(t, err)
		swaps = append(swaps, "10.0.0.1"+string(rune('1'+i))+":8080 port 8081", at[0]+" port "+port)
	}
	text, err := os.ReadFile("../../deploy/haproxy/haproxy.cfg")
	require.NoError(t, err)
	config := string(text)
	for i := 0; i < len(swaps); i += 2 {
		require.Equal(t, 1, strings.Count(config, swaps[i]), swaps[i])
		config = strings.Replace(config, swaps[i], swaps[i+1], 1)
	}
	file = filepath.Join(dir, "haproxy.cfg")
	require.NoError(t, os.WriteFile(file, []byte(config), 0o600))
	return file, "https://" + tlsAt, func(connections int) *http.Client {
		return &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}, MaxIdleConnsPerHost: connections}}
	}
}

// ownCertificate is one for 127.0.0.1, with its key, and who trusts it.
func ownCertificate(t *testing.T) (both []byte, pool *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
	}
	certificate, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	require.NoError(t, err)
	private, err := x509.MarshalPKCS8PrivateKey(key)
	require.NoError(t, err)
	var text bytes.Buffer
	require.NoError(t, pem.Encode(&text, &pem.Block{Type: "CERTIFICATE", Bytes: certificate}))
	pool = x509.NewCertPool()
	require.True(t, pool.AppendCertsFromPEM(text.Bytes()))
	require.NoError(t, pem.Encode(&text, &pem.Block{Type: "PRIVATE KEY", Bytes: private}))
	return text.Bytes(), pool
}

// The balancer takes its configuration, speaks TLS, and
// stops asking a replica that is not ready.
func TestBalancer(t *testing.T) {
	haproxy := tool(t, "haproxy")
	var addresses [3][2]string
	for i := range addresses {
		addresses[i] = [2]string{freePort(t), freePort(t)}
	}
	file, front, client := balancer(t, addresses)
	said, err := exec.CommandContext(t.Context(), haproxy, "-c", "-f", file).CombinedOutput()
	require.NoError(t, err, string(said))
	assert.NotContains(t, string(said), "WARNING")

	r := start(t, "-addr", addresses[0][0], "-admin-addr", addresses[0][1])
	startTool(t, haproxy, "-db", "-f", file)
	asker := client(1)
	// Until the two that are not there are found to be down, a request may find nobody.
	var answer *http.Response
	require.Eventually(t, func() bool {
		answer, err = asker.Get(front + "/v1/cutters")
		if err != nil {
			return false
		}
		answer.Body.Close()
		return answer.StatusCode == 200
	}, ample, 20*time.Millisecond)
	assert.Equal(t, "max-age=31536000", answer.Header.Get("Strict-Transport-Security"))
	assert.GreaterOrEqual(t, answer.TLS.Version, uint16(tls.VersionTLS12))
	r.service.SetReady(false)
	require.Eventually(t, func() bool {
		answer, err := asker.Get(front + "/v1/cutters")
		if err != nil {
			return false
		}
		answer.Body.Close()
		return answer.StatusCode == 503
	}, ample, 20*time.Millisecond, "nobody is left to ask")
}
