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

func englishInches(t testing.TB) message.Printer {
	p := english(t)
	p.Unit = length.UnitInch
	return p
}
