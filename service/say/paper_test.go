package say

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"snugtail/joint"
	"snugtail/joint/length"
	shapes "snugtail/joint/shape"
	"snugtail/service/message"
)

// saysAll: the message has a sentence in every language, and every value that it
// names.
func saysAll(t *testing.T, m message.Message) {
	t.Helper()
	for _, language := range []string{"en", "de"} {
		p := spoken(t, language)
		for _, p.Variant = range []string{"", Bearing} {
			text := p.Text(m)
			assert.NotEmpty(t, text)
			assert.NotContains(t, text, "[")
		}
	}
}

func TestEveryDimensionSaysItsSize(t *testing.T) {
	for measure := range shapes.MeasureCount {
		for _, size := range []length.Length{1.5, 0, -1.5} {
			saysAll(t, DrawnSize(&shapes.Dimension{Measure: measure, Value: size, Degrees: 14.04}))
		}
	}
	en, de := spoken(t, "en"), spoken(t, "de")
	for _, row := range []struct {
		d               shapes.Dimension
		english, german string
	}{
		{shapes.Dimension{Measure: shapes.Play, Value: -0.25}, "interference\n0.25", "Übermaß\n0,25"},
		{shapes.Dimension{Measure: shapes.SeatOffset, Value: -0.4}, "seat\n0.4 proud", "Seite\n0,4 vor"},
		{shapes.Dimension{Measure: shapes.SeatOffset, Value: 0.4}, "seat\n0.4 inside", "Seite\n0,4 zurück"},
		{shapes.Dimension{Measure: shapes.SeatOffset, Value: -0.01}, "seat\nflush, -0.01", "Seite\nbündig, -0,01"},
		{shapes.Dimension{Measure: shapes.FlareClearance, Value: -0.5}, "flare cuts\nthe template\nby 0.5", "Kegel schneidet\nin die Schablone\n0,5 tief"},
		{shapes.Dimension{Measure: shapes.CutterAngle, Degrees: 12.34}, "flank\n12.3°", "Flanke\n12,3°"},
		{shapes.Dimension{Measure: shapes.CutterDiameter, Value: 12.7}, "cutter\nØ12.7", "Fräser\nØ12,7"},
	} {
		m := DrawnSize(&row.d)
		assert.Equal(t, row.english, en.Text(m))
		assert.Equal(t, row.german, de.Text(m))
	}
}

func TestTextsOfThePageAreThere(t *testing.T) {
	for _, part := range []shapes.Part{shapes.PinBoard, shapes.TailBoard, shapes.Wood, shapes.Template, shapes.RouterBase} {
		saysAll(t, DrawnPart(part))
	}
	for _, name := range SheetColumns {
		saysAll(t, Sheet("column."+name))
	}
	for _, name := range SheetChartRows {
		saysAll(t, Sheet("chart_row."+name))
	}
	for _, board := range CornerBoards {
		saysAll(t, Sheet("board."+board))
	}
	for _, kind := range []joint.TemplateKind{joint.OnePiece, joint.TwoPosition, joint.AllowanceOnly, joint.Proven} {
		saysAll(t, templateValue(&joint.Template{Kind: kind}))
		saysAll(t, firstStep("clamp").As(clamped(kind)))
	}
	saysAll(t, SheetChartHow())
	saysAll(t, SheetRuler())
	saysAll(t, PlayLarger(-0.2, 5))
	saysAll(t, PlayLarger(0.2, 2.5))
	saysAll(t, FactorDrawn(5, 1.22))
	saysAll(t, LettersLacking([]rune("海図室")))
	assert.Equal(t, "In the PDF □ stands for letters that its font lacks: U+0031, U+0032, U+0033, U+0034, U+0035, U+0036, U+0037, U+0038 and 2 more.",
		spoken(t, "en").Text(LettersLacking([]rune("1234567890"))))
}
