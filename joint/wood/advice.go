package wood

import (
	"math"

	"snugtail/joint/length"
)

// MoistureApart is the difference in moisture content, %, below which boards
// count as equally dry: that of two meter readings. Judgement.
const MoistureApart = 2 * ReadingUncertainty

// Advice is what to do before the next joint is cut. All false and 0: as is.
type Advice struct {
	// SameWood, SameGrain and SameMoisture: some climate makes the joint tight
	// or open it, and the boards differ in that.
	SameWood, SameGrain, SameMoisture bool
	// SameStock: boards of one species, but not said to be of the same stock,
	// stay within limits only as far as they are average.
	SameStock bool
	// Wait: a board was cut drier than the driest or damper than the dampest
	// climate. WaitFor is the moisture content to wait for, %: the one in the
	// middle of the climates.
	Wait    bool
	WaitFor float64
	// CutLooser is how much more play leaves the least play at the outermost
	// tails in the worst climate.
	CutLooser length.Length
	// LooserIsLoose: with that much more play the joint is loose, above
	// OpensAbove, in the climate that leaves it most. Other wood is the cure.
	LooserIsLoose bool
}

// advise sums up the outcomes.
func (j *Joint) advise(outcomes []Outcome) Advice {
	y := yearOf(outcomes)
	if y.count == 0 {
		return Advice{}
	}
	pin, tail := &j.PinBoard, &j.TailBoard
	apart := math.Abs(pin.Moisture.Percent - tail.Moisture.Percent)
	a := Advice{
		SameWood:     y.fails && !pin.alike(tail),
		SameGrain:    y.fails && pin.Grain != tail.Grain && pin.Material == Solid && tail.Material == Solid,
		SameMoisture: y.fails && apart > MoistureApart,
		Wait:         y.outside(pin.Moisture.Percent) || y.outside(tail.Moisture.Percent),
		WaitFor:      (y.driest + y.dampest) / 2,
		CutLooser:    length.Length(math.Max(0, j.LeastPlay.MM()-y.least)),
	}
	a.SameStock = !j.SameStock && pin.alike(tail) && pin.Material == Solid && y.leastSure < j.LeastPlay.MM()
	a.LooserIsLoose = a.CutLooser > 0 && y.most+a.CutLooser.MM() > OpensAbove
	return a
}

// year is what the climates have in common.
type year struct {
	count           int
	fails           bool    // tight or open in some climate
	driest, dampest float64 // %
	least, most     float64 // play, mm, at the outermost tails
	leastSure       float64 // play, mm, that is left with about 95 %
}

func yearOf(outcomes []Outcome) year {
	y := year{driest: math.Inf(1), dampest: math.Inf(-1), least: math.Inf(1), most: math.Inf(-1), leastSure: math.Inf(1)}
	for i := range outcomes {
		if o := &outcomes[i]; o.Missing == nil {
			y.add(o)
		}
	}
	return y
}

func (y *year) add(o *Outcome) {
	y.count++
	y.fails = y.fails || o.State != Assembles
	m, play := o.Climate.Moisture.Percent, o.PlayOutermost.MM()
	y.driest, y.dampest = min(y.driest, m), max(y.dampest, m)
	y.least, y.most = min(y.least, play), max(y.most, play)
	y.leastSure = min(y.leastSure, play-2*o.Uncertainty.MM())
}

// outside reports whether wood of that moisture content is drier or damper
// than any climate makes it.
func (y *year) outside(percent float64) bool { return percent < y.driest || percent > y.dampest }
