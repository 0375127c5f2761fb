package service

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
)

func withFront(front, side string, depth float64) string {
	return fmt.Sprintf(`{"setup":{"template":{"kind":"one_piece","pitch":"7/8 in","opening":"0.484 in","opening_reach":14.2,"finger_reach":13.46},"bushing":{"diameter":"7/16 in"},`+
		`"cutter":{"diameter":"1/2 in","angle":14},"depth":%g,"pin_board":{"thickness":%q},"tail_board":{"thickness":%q}}}`, depth, front, side)
}

// The example of the joint/model.md, section 17: 18.6 +/- 0.5, h = 14.9: lap
// 3.7, 2.8 % under; 14.79 for 1 %. It takes 1/8 in for 3.2 mm; here it is 3.175 mm,
// so the same chance is 0.025 mm deeper.
func TestLapOfFrontsThatVary(t *testing.T) {
	c := newCaller(t)
	a := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", withFront("18.6 +/- 0.5 mm", "12 mm", 14.925))
	require.NotNil(t, a.Boards.LapThin)
	assert.InDelta(t, 0.028, *a.Boards.LapThin, 5e-4)
	assert.InDelta(t, 14.79+0.025, a.Boards.DepthForLap.MM, 5e-3+2e-3)
	assert.Contains(t, cautionCodes(a.Cautions), "boards_vary")
	assert.True(t, *limitNamed(t, a.Limits, "lap").OK, "kept on average, which is not enough")

	at := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", withFront("18.6 +/- 0.5 mm", "12 mm", a.Boards.DepthForLap.MM))
	assert.InDelta(t, 0.01, *at.Boards.LapThin, 1e-5)
	sure := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", withFront("18.6 +/- 0.02 mm", "12 mm", 14.9))
	assert.Less(t, *sure.Boards.LapThin, 1e-6)
	assert.NotContains(t, cautionCodes(sure.Cautions), "boards_vary")
	next := answerOf[api.CorrectionAnswer](t, c, "/v1/corrections", withFront("14.2 +/- 0.5 mm", "12 mm", 10.9))
	assert.Greater(t, *next.Boards.LapThin, 0.01)
	assert.Contains(t, cautionCodes(next.Cautions), "boards_vary")
}

// A side nearly as thick as one pass clears leaves a ridge as often as not, and
// its seat varies with it.
func TestSidesThatVary(t *testing.T) {
	c := newCaller(t)
	thick := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", withFront("19 mm", "12 mm", 10.9))
	margin := limitNamed(t, thick.Limits, "tail_board_cleared").Margin.MM
	edge := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", withFront("25 mm", fmt.Sprintf("%.4f +/- 0.5 mm", 12+margin), 10.9))
	require.NotNil(t, edge.Boards.Ridge)
	assert.InDelta(t, 0.5, *edge.Boards.Ridge, 0.01)
	assert.Less(t, *thick.Boards.Ridge, *edge.Boards.Ridge)
	require.NotNil(t, edge.Boards.SeatInside)
	require.NotNil(t, edge.Boards.SeatProud)
	assert.LessOrEqual(t, *edge.Boards.SeatInside+*edge.Boards.SeatProud, 1.0)

	unknown := answerOf[api.FitPredictionAnswer](t, c, "/v1/fit-predictions", cutWith(`{}`, 10.3, ""))
	assert.Nil(t, unknown.Boards.Ridge)
	assert.Nil(t, unknown.Boards.SeatInside)
	assert.NotNil(t, unknown.Boards.LapThin)
}
