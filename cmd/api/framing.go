package main

import "net/http"

// distrustFraming closes the connection behind each request whose end a proxy in
// front may see elsewhere than this server, so that what follows it is never taken
// for the next request: another client's, with whatever the first put before it
// ("request smuggling", RFC 9112, section 11.2).
//
// Of a request with Content-Length and Transfer-Encoding the latter counts (RFC 9112,
// section 6.3), but the connection must be closed after the answer (section 6.1). Package
// net/http drops the length before anyone sees it, so every chunked request is treated
// so: closing is always allowed, and few clients send chunks. In HTTP/1.0 a
// Transfer-Encoding is faulty and asks for the same (section 6.1); net/http drops that
// too, so no HTTP/1.0 connection is kept.
func distrustFraming(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if len(r.TransferEncoding) > 0 || !r.ProtoAtLeast(1, 1) {
			w.Header().Set("Connection", "close")
		}
		next.ServeHTTP(w, r)
	})
}
