package callers_test

import (
	"math"
	"math/rand/v2"
)

// What an adviser can tell a caller to do, by the contract's names.
const (
	doCut    = "cut"
	doCheck  = "check"
	doStop   = "stop"
	doChange = "change"
)

// advice is what a caller is told to do next.
type advice struct {
	do     string
	check  string
	depth  float64 // to set; of change and check the depth that is offered beside it
	chance float64 // that the next joint fits; NaN is not said
	minute float64 // that the check takes; 0 is not said
	remedy remedy  // of change
}

// remedy is everything that is done to a set-up before the next joint is cut.
type remedy struct {
	repairs []string // of these things, see bench.repair
	// deeper is a change of the depth as set; inWood instead a depth that is
	// measured in the wood, where what is wrong is the depth.
	deeper  float64
	inWood  float64 // 0: none
	onto    float64 // template moved onto the pin board
	inLine  float64 // side stop moved by this, the way that helps
	bushing float64 // fitted instead, 0: none
	cutter  float64
	angle   float64
}

// diagnosis is what an adviser says of a set-up with something wrong.
type diagnosis struct {
	causes []cause // the likelier first
	groups []cause // the same with what one cure cures told as one; codes of the first
	check  string  // next, "" for none
	minute float64
	advice advice // what to do now
}

// onlyDepth is whether nothing but the depth changes.
func (m *remedy) onlyDepth() bool {
	return len(m.repairs) == 0 && m.onto == 0 && m.inLine == 0 && m.bushing == 0 && m.cutter == 0 && m.angle == 0
}

type cause struct {
	code        string
	codes       []string
	probability float64
}

func (d *diagnosis) rank(code string) int {
	for i, c := range d.causes {
		if c.code == code {
			return i
		}
	}
	return notNamed
}

// notNamed is the rank of a cause that is not among those told.
const notNamed = 99

// adviser is somebody or something that callers ask. One that stands in the
// world's own knowledge is told with which random stream to work.
type adviser interface {
	name() string
	// advise answers a caller of the workshop.
	advise(c *call, r *rand.Rand) advice
	// diagnose answers a caller with something wrong.
	diagnose(c *call, r *rand.Rand) diagnosis
}

// alike are causes that neither check nor cure tells apart.
var alike = [][]string{
	{"depth_off", "cutter_crept", "depth_lock_slipped"},
	{"template_position", "bushing_off_centre", "board_thickness"},
	{"chips_under", "side_stop", "template_tilted"},
}

func groupOf(code string) int {
	for i, g := range alike {
		for _, c := range g {
			if c == code {
				return i
			}
		}
	}
	return -1
}

// sameAnswer is whether two causes count as one answer.
func sameAnswer(a, b string) bool { return a == b || groupOf(a) >= 0 && groupOf(a) == groupOf(b) }

// grouped is causes with those that are alike taken together, the likelier first.
func grouped(causes []cause) []cause {
	var out []cause
next:
	for _, c := range causes {
		for i := range out {
			if sameAnswer(out[i].code, c.code) {
				out[i].probability += c.probability
				out[i].codes = append(out[i].codes, c.code)
				continue next
			}
		}
		out = append(out, cause{c.code, []string{c.code}, c.probability})
	}
	sortCauses(out)
	return out
}

// repairKind is what putting right what a cause's cure names does.
var repairKind = map[string]string{
	"bushing_diameter": "bushing", "cutter_diameter": "cutter", "cutter_angle": "cutter", "dull_cutter": "cutter",
	"depth_from_bushing_tip": "depth", "depth_from_router_base": "depth", "depth_off": "depth",
	"cutter_crept": "depth", "depth_lock_slipped": "depth", "lap_broken": "depth",
	"bushing_off_centre": "centre", "router_turned": "centre", "openings_not_followed": "follow",
	"template_tilted": "reseat", "chips_under": "reseat", "side_stop": "face", "wrong_face_or_stop": "face",
	"board_cupped": "boards", "stock_not_square": "boards", "wood_moved": "boards", "mixed_boards": "boards",
	"glue_swelled": "boards", "boards_not_level": "level", "template_skewed": "skew", "template_position": "place",
	"board_thickness": "place",
}

// repair puts one thing right, whether or not it was wrong.
func (b *bench) repair(r *rand.Rand, kind string, s *stated) {
	switch kind {
	case "bushing":
		b.g = s.bushing + bushingSD*r.NormFloat64()
	case "cutter":
		b.d, b.angle = s.cutter+newSD*r.NormFloat64(), s.angle+angleSD*r.NormFloat64()
		if !b.dry {
			b.squeeze = 0
		}
	case "depth": // taken from the wood, and tightened
		b.zero, b.crept, b.creeps = depthGaugeSD*r.NormFloat64(), 0, 0
		b.chips.zero = 0
	case "centre":
		b.axisY, b.swept = placeSD*r.NormFloat64(), 0
	case "follow":
		b.narrowTail, b.narrowPin = 0, 0
	case "reseat":
		b.tilt, b.chips.tilt, b.chips.zero, b.chips.stop = 0, 0, 0, 0
	case "face":
		b.stop, b.chips.stop = placeSD*r.NormFloat64(), 0
	case "boards":
		b.shoulder, b.moved, b.mixed = 0, 0, 0
		if b.dry {
			b.squeeze, b.dry = 0, false
		}
	case "level":
		b.tailHigher = levelSD * r.NormFloat64()
	case "skew":
		b.skew = 0
	}
}

// apply does all of a remedy to a set-up whose router stands at a setting, and
// returns the setting for the next joint.
func (m *remedy) apply(r *rand.Rand, b *bench, s *stated, setting float64) float64 {
	for _, kind := range m.repairs {
		b.repair(r, kind, s)
	}
	if m.bushing > 0 {
		b.g = m.bushing + bushingSD*r.NormFloat64()
	}
	if m.cutter > 0 {
		b.d = m.cutter + newSD*r.NormFloat64()
	}
	if m.angle > 0 {
		b.angle = m.angle + angleSD*r.NormFloat64()
	}
	b.shift += m.onto
	if edge := b.stop + b.chips.stop; m.inLine != 0 {
		b.stop -= math.Copysign(m.inLine, edge)
	}
	if r.Float64() < slipsAgain {
		b.zero += b.creeps
	}
	if m.inWood > 0 {
		return m.inWood
	}
	return setting + m.deeper
}
