package service

import (
	"testing"

	"github.com/stretchr/testify/require"

	"snugtail/joint/length"
	"snugtail/service/message"
)

// english writes messages as answers do, in millimetres.
func english(t testing.TB) message.Printer {
	all, err := message.Load()
	require.NoError(t, err)
	return message.Printer{Catalogue: all.Default()}
}

// texts are the languages' printers, by the names that clients ask for them by.
func texts(t testing.TB) map[string]message.Printer {
	all, err := message.Load()
	require.NoError(t, err)
	printers := map[string]message.Printer{}
	for _, c := range all.All() {
		printers[c.Language] = message.Printer{Catalogue: c}
	}
	require.Len(t, printers, 2)
	return printers
}

func englishInches(t testing.TB) message.Printer {
	p := english(t)
	p.Unit = length.UnitInch
	return p
}
