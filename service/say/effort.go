package say

import (
	"math"

	"snugtail/joint/effort"
	"snugtail/joint/wood"
	"snugtail/service/message"
)

// Effort says how hard a tight joint is to close, and how sure that is.
func Effort(e *wood.Effort) message.Message {
	if !e.Estimated {
		return message.New("closing").As("unknown")
	}
	m := message.New("closing", message.Word("words", "closing_words", e.Words.String()).Beside(),
		message.Number("push", twoDigits(e.Push.Value)), message.Number("low", twoDigits(e.Push.Low)), message.Number("high", twoDigits(e.Push.High)))
	if e.SpeciesUnknown {
		return m.As("middle_wood")
	}
	return m.As("estimated")
}

// twoDigits rounds a push to as much as is known of it.
func twoDigits(f float64) float64 {
	if f <= 0 {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(f))-1)
	return math.Round(f/step) * step
}

// Moving warns of boards that will move against each other.
func Moving(m effort.Moving) message.Message {
	return message.New("caution.wood_moves", message.Length("play", m.Outermost)).As(m.Season.String())
}
