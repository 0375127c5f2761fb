package callers_test

import (
	"math"
	"math/rand/v2"
)

// feels are the contract's words for how a joint goes together, tight to loose.
var feels = [...]string{
	"will_not_start", "sticks_part_way", "hard_blows", "light_taps", "hand_pressure", "slides_free", "rattles",
}

const handPressure, slidesFree, rattles = 4, 5, 6

func feelIndex(word string) int {
	for i, f := range feels {
		if f == word {
			return i
		}
	}
	return -1
}

// feelBands is the chance of each word, rightly told, for a play.
func feelBands(play float64) (p [len(feels)]float64) {
	sd := feelBlur + feelBlurShare*math.Abs(play)
	below := 0.0
	for i, edge := range feelEdges {
		c := normalCDF((edge - play) / sd)
		p[i], below = c-below, c
	}
	p[len(p)-1] = 1 - below
	return p
}

// feelTold is the chance that a word is told for a play, misreading and all.
func feelTold(word int, bands *[len(feels)]float64) float64 {
	p := (1 - misreadShare) * bands[word]
	for i, b := range bands {
		if i != word {
			p += misreadShare * b * misreadAs(i, word)
		}
	}
	return p
}

// misreadAs is the chance that one word, misread, becomes the other.
func misreadAs(is, told int) float64 {
	p := (1 - misreadToNeighbour) / float64(len(feels)-1)
	neighbours := 2.0
	if is == 0 || is == len(feels)-1 {
		neighbours = 1
	}
	if d := is - told; d == 1 || d == -1 {
		p += misreadToNeighbour / neighbours
	}
	return p
}

// feel is a word for a play as it is told; without randomness by somebody
// whose hand is exact.
func feel(r *rand.Rand, play float64) int {
	if r == nil {
		return exactFeel(play)
	}
	bands := feelBands(play)
	is := pick(r, len(bands), func(i int) float64 { return bands[i] })
	if r.Float64() >= misreadShare {
		return is
	}
	return pick(r, len(feels), func(i int) float64 {
		if i == is {
			return 0
		}
		return misreadAs(is, i)
	})
}

// exactFeel is the word for a play, the edges between them sharp.
func exactFeel(play float64) int {
	for i, edge := range feelEdges {
		if play <= edge {
			return i
		}
	}
	return rattles
}

// read is a length as it is read, or without randomness as it is.
func read(r *rand.Rand, is, sd float64) float64 { return readAmong(r, 1, is, sd) }

// readAmong is one of several lengths that are read in one go: with a caliper in
// the hand, one such go in ten holds a misreading, not each figure of it.
func readAmong(r *rand.Rand, several int, is, sd float64) float64 {
	if r == nil {
		return is
	}
	if r.Float64() < misreadShare/float64(several) {
		is += either(r, span{misreadLeast, misreadMost})
	}
	return is + sd*r.NormFloat64()
}

// readTold is the density of a reading at which it lies off what is so.
func readTold(off, sd float64) float64 { return readToldAmong(1, off, sd) }

func readToldAmong(several int, off, sd float64) float64 {
	misread := misreadShare / float64(several)
	z := off / sd
	p := 1e-5
	if z*z < 60 {
		p += (1 - misread) * math.Exp(-z*z/2) / (sd * math.Sqrt(2*math.Pi))
	}
	if a := math.Abs(off); a >= misreadLeast-sd && a <= misreadMost+sd {
		p += misread / 2 / (misreadMost - misreadLeast)
	}
	return p
}

// gapStroke is what a gap is read to, and gapTold how far it is off by that and
// the eye, a standard deviation.
func (s *stated) gapStroke() float64 {
	if s.inches {
		return 25.4 / 64
	}
	return 0.1
}

func (s *stated) gapReadSD() float64 {
	stroke := s.gapStroke()
	return math.Sqrt(gapSD*gapSD + stroke*stroke/12)
}

// readGap is a pulled gap as it is told.
func (s *stated) readGap(r *rand.Rand, is float64) float64 {
	if r == nil {
		return math.Max(0, is)
	}
	return math.Max(0, round(read(r, math.Max(0, is), gapSD), s.gapStroke()))
}

// gapReadAs is the chance density of a gap that was told.
func (s *stated) gapReadAs(told, is float64) float64 {
	return readTold(told-math.Max(0, is), s.gapReadSD())
}

func normalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
