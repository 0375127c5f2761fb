package strict

import "strings"

// Pointer writes the way to a member as a JSON pointer in fragment form (RFC
// 6901, section 6), such as #/setup/bushing/diameter.
func Pointer(path ...string) string {
	b := []byte{'#'}
	for _, token := range path {
		b = appendToken(append(b, '/'), token)
	}
	return string(b)
}

// appendToken escapes one reference token: ~ and / as the pointer needs, and
// then what a URI's fragment does not take (RFC 3986, 3.5).
func appendToken(b []byte, token string) []byte {
	const hex = "0123456789ABCDEF"
	for i := range len(token) {
		switch char := token[i]; {
		case char == '~':
			b = append(b, "~0"...)
		case char == '/':
			b = append(b, "~1"...)
		case inFragment(char):
			b = append(b, char)
		default:
			b = append(b, '%', hex[char>>4], hex[char&15])
		}
	}
	return b
}

func inFragment(char byte) bool {
	switch {
	case 'a' <= char && char <= 'z', 'A' <= char && char <= 'Z', '0' <= char && char <= '9':
		return true
	default:
		return strings.IndexByte("-._!$&'()*+,;=:@?", char) >= 0
	}
}

// ComparePointers sorts pointers as they stand in a tree: a/b before a-b, and
// item 9 before item 10.
func ComparePointers(x, y string) int {
	for x != "" && y != "" {
		var tokenX, tokenY string
		tokenX, x, _ = strings.Cut(x, "/")
		tokenY, y, _ = strings.Cut(y, "/")
		if order := compareTokens(tokenX, tokenY); order != 0 {
			return order
		}
	}
	return len(x) - len(y)
}

func compareTokens(a, b string) int {
	if isIndex(a) && isIndex(b) && len(a) != len(b) {
		return len(a) - len(b)
	}
	return strings.Compare(a, b)
}

func isIndex(token string) bool {
	return token != "" && strings.Trim(token, "0123456789") == ""
}
