package layout_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint"
	"snugtail/joint/layout"
	"snugtail/joint/length"
)

// The strong heights are what trying every tenth of a mm finds.
func TestStrongHeightsAgainstTrying(t *testing.T) {
	tried := 0
	rapid.Check(t, func(t *rapid.T) {
		mm := func(name string, from, to float64) length.Size {
			return length.Exactly(length.Length(rapid.Float64Range(from, to).Draw(t, name)))
		}
		s := joint.Setup{
			Template:      joint.NewOnePiece(mm("pitch", 21, 26), mm("opening", 12.2, 13.5), length.Size{}, length.Size{}),
			Bushing:       joint.Bushing{Diameter: length.Exactly(11.1125)},
			Cutter:        joint.Cutter{Diameter: length.Exactly(12.7), Angle: 14},
			Depth:         joint.EqualDepth(length.Exactly(10)),
			SideStopError: mm("stops", -1, 1),
		}
		j, err := joint.New(s)
		if err != nil {
			t.Skip("no such joint")
		}
		h := length.Length(rapid.Float64Range(30, 220).Draw(t, "height"))
		strong := func(w length.Length) bool {
			l, err := layout.New(layout.Plan{Setup: s, Width: w})
			require.NoError(t, err)
			return l.SmallestEdgePin() >= joint.LeastRoot
		}
		if l, err := layout.New(layout.Plan{Setup: s, Width: h}); err != nil || l.HalfPins {
			t.Skip("within the tolerance of half pins another layout is taken")
		}
		below, above := layout.StrongHeights(&j, h)
		if strong(h) {
			assert.False(t, below.Known)
			assert.False(t, above.Known)
			return
		}
		tried++
		const step, near = 0.1, 0.15 // within HalfPinTolerance of whole pitches the layout is centred otherwise
		if above.Known {
			assert.Greater(t, above.From, h)
			assert.True(t, strong(above.From+1e-6))
			for w := h; w < above.From-near; w += step {
				assert.False(t, strong(w), "%g", w.MM())
			}
		}
		if below.Known {
			assert.Less(t, below.From, h)
			assert.True(t, strong(below.From-1e-6))
			for w := h; w > below.From+near; w -= step {
				assert.False(t, strong(w), "%g", w.MM())
			}
		}
	})
	assert.Positive(t, tried)
}
