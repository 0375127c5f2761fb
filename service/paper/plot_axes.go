package paper

import (
	"math"
	"strconv"

	"snugtail/joint/length"
	"snugtail/joint/seasons"
	"snugtail/joint/wood"
	"snugtail/service/draw"
	"snugtail/service/say"
)

func (p *plot) playAxis() {
	unit := length.Millimetre
	if p.said.Unit == length.UnitInch {
		unit = length.Inch
	}
	low, high := p.low/unit.MM(), p.high/unit.MM()
	step, decimals := tickStep(high - low)
	for n := math.Ceil(low / step); n*step <= high; n++ {
		y := p.y(length.Length(n*step) * unit)
		p.line(plotLeft-tickLength, y, plotLeft, y, draw.Style{Pen: axisPen})
		p.page.Write(draw.Text{
			At: draw.Point{X: plotLeft - 2.4, Y: y + 1.2}, Size: smallText, Anchor: draw.End, Text: p.said.Number(n*step+0, decimals),
		})
	}
	zero := p.y(0)
	p.line(plotLeft, zero, plotRight, zero, draw.Style{Pen: 0.3})
	p.page.Draw(draw.Rect(plotLeft, p.top, plotRight-plotLeft, plotBottom-p.top), draw.Style{Pen: framePen})
	p.page.Write(draw.Text{At: draw.Point{X: 6, Y: (p.top + plotBottom) / 2}, Size: text, Anchor: draw.Middle, Turned: true, Text: p.said.Text(p.said.PlayAxis())})
}

// tickStep is the least of 1, 2 or 5 times a power of ten that makes at most a
// dozen steps, and the decimals that it needs.
func tickStep(span float64) (step float64, decimals int) {
	const most = 12
	power := int(math.Floor(math.Log10(span / most)))
	for _, times := range []float64{1, 2, 5, 10} {
		step = times * math.Pow(10, float64(power))
		if times == 10 {
			power++
		}
		if span/step <= most {
			break
		}
	}
	return step, max(0, -power)
}

func (p *plot) humidityAxis() {
	for h := Sweep.From; h <= Sweep.To; h += 10 {
		p.tickBelow(p.x(h), plotBottom, strconv.FormatFloat(h, 'f', 0, 64))
	}
	p.centred((plotLeft+plotRight)/2, plotBottom+10.4, text, p.said.Text(say.PlotHumidity(Sweep.TemperatureC)))
}

// tickBelow marks a figure on an axis.
func (p *plot) tickBelow(x, axis float64, figure string) {
	p.line(x, axis, x, axis+tickLength, draw.Style{Pen: axisPen})
	p.centred(x, axis+5.3, smallText, figure)
}

// moistureAxis says which moisture the wood takes on, below the humidity.
func (p *plot) moistureAxis() {
	p.line(plotLeft, moistureAxis, plotRight, moistureAxis, draw.Style{Pen: axisPen})
	for moisture := 2.0; moisture <= wood.FiberSaturation; moisture += 2 {
		if x, seen := p.moistureAt(moisture); seen {
			p.tickBelow(x, moistureAxis, strconv.FormatFloat(moisture, 'f', 0, 64))
		}
	}
	p.centred((plotLeft+plotRight)/2, moistureAxis+10.2, text, p.said.Text(say.Plot("moisture")))
}

// moistureAt is where a moisture content stands; seen is false beside the plot.
func (p *plot) moistureAt(percent float64) (x float64, seen bool) {
	humidity, ok := seasons.HumidityOf(percent, Sweep.TemperatureC)
	if !ok || humidity < Sweep.From || humidity > Sweep.To {
		return 0, false
	}
	return p.x(humidity), true
}
