package service

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"snugtail/service/message"
)

// mostUnsaid is how many sentences may be said in answer to no request of the
// tests: those that drawn requests alone bring up may be missing once in a while.
// None was when this was written.
const mostUnsaid = 3

// everySentence runs all tests, and counts then the sentences of the catalogues
// that were said in answer to no request of theirs: one that is never said is never
// read. Only a run of all tests can tell.
func everySentence(m *testing.M) int {
	flag.Parse()
	asked := func(name string) string { return flag.Lookup("test." + name).Value.String() }
	if os.Getenv("CI") == "" || asked("run")+asked("skip")+asked("bench")+asked("fuzz") != "" {
		return m.Run()
	}
	languages, err := message.Load()
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	var said sync.Map
	languages.Observe(func(key string) { said.Store(key, true) })
	if code := m.Run(); code != 0 {
		return code
	}
	var unsaid []string
	for _, key := range languages.Default().Keys() {
		if _, was := said.Load(key); !was && !ofThePage(key) {
			unsaid = append(unsaid, key)
		}
	}
	if len(unsaid) > mostUnsaid {
		fmt.Printf("%d sentences are said in answer to no request of the tests:\n%s\n", len(unsaid), strings.Join(unsaid, "\n"))
		return 1
	}
	return 0
}

// ofThePage are texts that the page has whole, and figures that are no sentences.
func ofThePage(key string) bool {
	return slices.ContainsFunc([]string{"page.", "figure.", "list."}, func(prefix string) bool { return strings.HasPrefix(key, prefix) })
}
