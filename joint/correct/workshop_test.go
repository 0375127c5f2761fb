package correct_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint"
	"snugtail/joint/correct"
	"snugtail/joint/learn"
	"snugtail/joint/length"
)

// A simulated workshop: shops whose true sizes differ from the stated ones cut
// test joints until one fits. Its distributions are this file's own, written
// down in the constants below; what the service assumes stands in
// joint/sure.go and joint/learn and knows nothing of them.
const (
	shopSteelSD     = 0.025 // new cutters and bushings about their stated diameter, mm
	shopReground    = 0.2   // share of shops whose cutter has been resharpened
	shopGroundLeast = 0.05  // and by how much, evenly between these, mm
	shopGroundMost  = 0.30
	shopTemplateSD  = 0.025 // opening about its stated width, mm
	shopAngleSD     = 0.15  // degrees
	shopSettingSD   = 0.075 // depth as set, mm
	shopGapSD       = 0.075 // a gap read, mm
	shopCaliperSD   = 0.025 // a width read, mm
	shopFeelSD      = 0.03  // play at which a feel turns into the next, mm
	shopMostJoints  = 12
)

// shop is one workshop: what it says, and what is so.
type shop struct {
	stated, actual joint.Setup
}

func drawShop(rng *rand.Rand) shop {
	angles := []joint.Angle{8, 10, 12, 14, 15, 18}
	stated := joint.Setup{
		Bushing: joint.Bushing{Diameter: mm(11.1125)},
		Cutter: joint.Cutter{
			Angle: angles[rng.IntN(len(angles))], Condition: joint.ConditionUnknown,
		},
		PinBoard: joint.PinBoard{Thickness: mm(30)},
	}
	// A template, and a cutter that with it asks for a depth between 7 and 12 mm.
	k := 1 + 1.5*rng.Float64()
	h := 7 + 5*rng.Float64()
	stated.Cutter.Diameter = mm(stated.Bushing.Diameter.MM() + (0.1-k)/2 + h*stated.Cutter.Angle.Tan())
	stated.Template = joint.NewOnePiece(within(22.225, 0), mm((22.225+k)/2), mm(14.2), mm(10.86))
	actual := stated
	actual.Bushing.Diameter.Length += length.Length(rng.NormFloat64() * shopSteelSD)
	actual.Cutter.Diameter.Length += length.Length(rng.NormFloat64() * shopSteelSD)
	if rng.Float64() < shopReground {
		actual.Cutter.Diameter.Length -= length.Length(shopGroundLeast + rng.Float64()*(shopGroundMost-shopGroundLeast))
	}
	actual.Cutter.Angle += joint.Angle(rng.NormFloat64() * shopAngleSD)
	opening := stated.Template.Tail.Opening.MM() + rng.NormFloat64()*shopTemplateSD
	actual.Template = joint.NewOnePiece(mm(22.225), mm(opening), mm(14.2), mm(10.86))
	return shop{stated, actual}
}

func within(x, t float64) length.Size { return length.Within(length.Length(x), length.Length(t)) }

// cut sets the depth with the hand's error and cuts.
func (s shop) cut(rng *rand.Rand, h float64) joint.Joint {
	j, err := joint.New(s.actual.AtDepth(length.Length(h + rng.NormFloat64()*shopSettingSD)))
	if err != nil {
		panic(err) // every shop's depths can be cut
	}
	return j
}

// feel is what the hand says of a joint.
func feel(rng *rand.Rand, c float64) learn.Feel {
	c += rng.NormFloat64() * shopFeelSD
	switch {
	case c > 0.5:
		return learn.FeelRattles
	case c > 0.2:
		return learn.FeelSlidesFree
	case c > -0.05:
		return learn.FeelHandPressure
	case c > -0.11:
		return learn.FeelLightTaps
	case c > -0.2:
		return learn.FeelHardBlows
	}
	return learn.FeelWillNotStart
}

func readGap(rng *rand.Rand, j *joint.Joint) length.Size {
	w, ok := j.PulledGap()
	if !ok {
		return length.Size{}
	}
	return mm(math.Max(0, w.MM()+rng.NormFloat64()*shopGapSD))
}

// A way of getting from one test joint to the next depth.
type way func(rng *rand.Rand, s shop) (next func(last *joint.Joint, h float64) float64)

// tradesWay: the chart's depth, then lower by the gap seen, raise by 1/64 in
// when it takes blows and by 1/32 in when it will not go together. Common
// practice, no source.
func tradesWay(rng *rand.Rand, s shop) func(*joint.Joint, float64) float64 {
	return func(last *joint.Joint, h float64) float64 {
		if last == nil {
			j, _ := joint.New(s.stated.AtDepth(0))
			return j.DepthFor(0.1).MM()
		}
		if gap := readGap(rng, last); gap.Given && last.Play() > 0.2 {
			return h + gap.MM()
		}
		if feel(rng, last.Play().MM()) == learn.FeelWillNotStart {
			return h - 25.4/32
		}
		return h - 25.4/64
	}
}

// middle is the target of a shop that only counts what fits: it aims at the
// middle of what counts, not at the play that is wanted by default.
var middle = joint.Target{Play: (target.From + target.To) / 2, From: target.From, To: target.To}

// serviceWay asks this project, telling it what the trade sees anyway.
func serviceWay(target joint.Target, measureFirst, measureWidths bool) way {
	return func(rng *rand.Rand, s shop) func(*joint.Joint, float64) float64 {
		setup := s.stated
		if measureFirst {
			read := func(actual length.Size) length.Size {
				return within(actual.MM()+rng.NormFloat64()*shopCaliperSD, joint.ToleranceCaliper)
			}
			setup.Cutter.Diameter = read(s.actual.Cutter.Diameter)
			setup.Bushing.Diameter = read(s.actual.Bushing.Diameter)
		}
		var cuts []learn.TestCut
		return func(last *joint.Joint, h float64) float64 {
			if last != nil {
				cuts = append(cuts, see(rng, last, h, measureWidths))
			} else {
				j, _ := joint.New(setup.AtDepth(0))
				h = j.DepthFor(target.Play).MM()
			}
			c, err := correct.After(setup.AtDepth(length.Length(h)), cuts, target, bands)
			if err != nil {
				panic(err)
			}
			return c.NextDepth.MM()
		}
	}
}

func see(rng *rand.Rand, j *joint.Joint, h float64, measureWidths bool) learn.TestCut {
	cut := learn.TestCut{Depth: joint.EqualDepth(mm(h)), Feel: feel(rng, j.Play().MM())}
	if j.Play() > 0.2 {
		cut.PulledGap = readGap(rng, j)
	}
	if measureWidths {
		w, _ := j.Widths()
		read := func(x length.Length) length.Size { return mm(x.MM() + rng.NormFloat64()*shopCaliperSD) }
		cut.Measured = learn.Measured{
			PinWidest: read(w.PinWidest), TailWidest: read(w.TailWidest),
			PinSocketWidest: read(w.PinSocketWidest), TailSocketWidest: read(w.TailSocketWidest),
		}
	}
	return cut
}

// floorWay knows the truth: only the setting errs.
func floorWay(_ *rand.Rand, s shop) func(*joint.Joint, float64) float64 {
	return func(*joint.Joint, float64) float64 {
		j, _ := joint.New(s.actual.AtDepth(0))
		return j.DepthFor((target.From + target.To) / 2).MM()
	}
}

type tally struct{ mean, first, two float64 }

// run counts test joints until one fits, over shops drawn from one seed.
func run(w way, shops int) tally {
	var t tally
	for i := range shops {
		rng := rand.New(rand.NewPCG(uint64(i), 20260114))
		s := drawShop(rng)
		next := w(rng, s)
		h, joints := next(nil, 0), 0
		for joints < shopMostJoints {
			j := s.cut(rng, h)
			joints++
			if target.Holds(j.Play()) {
				break
			}
			h = next(&j, h)
		}
		t.mean += float64(joints)
		if joints == 1 {
			t.first++
		}
		if joints <= 2 {
			t.two++
		}
	}
	n := float64(shops)
	return tally{t.mean / n, t.first / n, t.two / n}
}

// The service beats the trade's way, and measuring first beats not measuring.
func TestWorkshop(t *testing.T) {
	const shops = 1500
	trade, service, measured, floor := run(tradesWay, shops), run(serviceWay(target, false, false), shops), run(serviceWay(target, true, true), shops), run(floorWay, shops)
	assert.Less(t, service.mean, trade.mean)
	assert.Greater(t, service.two, trade.two)
	assert.Less(t, measured.mean, service.mean)
	assert.Less(t, floor.mean, measured.mean)
	require.Less(t, floor.mean, 1.1)
}

func BenchmarkWorkshop(b *testing.B) {
	const shops = 20000
	for _, policy := range []struct {
		name string
		way  way
	}{
		{"trade", tradesWay},
		{"service", serviceWay(target, false, false)},
		{"service_middle", serviceWay(middle, false, false)},
		{"service_measured", serviceWay(target, true, true)},
		{"floor", floorWay},
	} {
		b.Run(policy.name, func(b *testing.B) {
			for b.Loop() {
				t := run(policy.way, shops)
				b.ReportMetric(t.mean, "joints/shop")
				b.ReportMetric(100*t.first, "%first")
				b.ReportMetric(100*t.two, "%within2")
			}
		})
	}
}
