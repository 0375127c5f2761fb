package advise

import (
	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
)

// minutes returns what each check costs.
func (w *work) minutes() (all [belief.CheckCount]float64) {
	for c := range belief.CheckCount {
		all[c] = w.costCheck(c)
	}
	return all
}

// seatOffset returns how much further inside the latest joint sits than the
// sizes stated give at its play; not known where no seat was seen or no reaches
// are known.
func (w *work) seatOffset() (offset length.Length, known bool) {
	if w.last == nil || !w.last.Seat.Given || w.jammed() {
		return 0, false
	}
	s := w.setup
	if w.last.Depth.PinBoard.Given {
		s.Depth = w.last.Depth
	}
	mean, _ := w.Posterior.Estimate()
	s.Offset = joint.Offset{Mean: mean, Known: true}
	j, err := joint.New(s)
	if err != nil || !j.Seat().Known {
		return 0, false
	}
	return w.last.Seat.Length - j.Seat().Offset, true
}
