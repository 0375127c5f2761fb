package callers_test

import (
	"math"
	"math/rand/v2"
)

// shop is a template with the bushing and the cutter that go with it.
type shop struct {
	weight                         float64
	pitch, tailOpening, pinOpening float64 // pinOpening 0: a one-piece template
	bushing, cutter, angle, front  float64
}

// part is something of a set-up that can be said or left out.
type part uint8

const (
	partTemplate part = iota
	partBushing
	partCutter
	partAngle
	partDepth
	partReach
	partTemplateThickness
	partBarrel
	partFront
	partSide
	partWidth
	parts
)

// stated is a set-up as its owner has it in mind, and which parts of that are said.
type stated struct {
	kind                           string // of template, as the contract names it
	pitch, tailOpening, pinOpening float64
	bushing, cutter, angle         float64
	condition                      string // "" is not said
	depth                          float64
	reach, finger                  float64
	templateThickness, barrel      float64
	front, side, width             float64
	provenCutter                   float64
	provenAngle, provenDepth       float64
	inches                         bool // reads gaps to the nearest 1/64 in
	says                           [parts]bool
	tellsFeel, tellsGap            bool
	allowance                      float64 // that the sizes give
	templateIsOnePiece             bool
}

// drawStated draws what somebody has, and says everything of it.
func drawStated(r *rand.Rand) stated {
	s := shops[pick(r, len(shops), func(i int) float64 { return shops[i].weight })].stated()
	s.templateThickness = any1(r, templateThicknesses)
	s.barrel = s.templateThickness - any1(r, barrelsShort)
	s.side, s.width = any1(r, sideThicknesses), any1(r, boardWidths)
	s.placeTemplate()
	s.inches = r.Float64() < readsInches
	s.condition = drawCondition(r)
	switch told := r.Float64(); {
	case told < tellsBoth:
		s.tellsFeel, s.tellsGap = true, true
	case told < tellsBoth+tellsFeelOnly:
		s.tellsFeel = true
	default:
		s.tellsGap = true
	}
	switch how := r.Float64(); {
	case how < allowanceKind:
		s.kind = "allowance"
	case how < allowanceKind+provenKind:
		s.proven(r)
	}
	s.depth = chartDepth(s.depthFor(targetPlay))
	for p := range s.says {
		s.says[p] = true
	}
	return s
}

func (s shop) stated() stated {
	out := stated{
		kind: "two_position", pitch: s.pitch, tailOpening: s.tailOpening, pinOpening: s.pinOpening,
		bushing: s.bushing, cutter: s.cutter, angle: s.angle, front: s.front,
	}
	if s.pinOpening == 0 {
		out.kind, out.pinOpening, out.templateIsOnePiece = "one_piece", s.tailOpening, true
	}
	out.allowance = out.tailOpening + out.pinOpening - out.pitch
	return out
}

// placeTemplate puts the template where the side comes 0.05 mm proud at the
// target's play: q = s0 - S_p/2 - (f0 - F_t/2) + c/2.
func (s *stated) placeTemplate() {
	s.finger = round((s.pitch-s.tailOpening)/2+s.side*0.4, 0.1)
	s.reach = s.finger - (s.pitch-s.tailOpening)/2 + s.pinOpening/2 - 0.05 - targetPlay/2
}

// proven turns the template into one known by another cutter that worked in it.
func (s *stated) proven(r *rand.Rand) {
	s.kind = "proven"
	s.provenAngle = s.angle
	s.provenCutter = s.cutter
	if s.allowance > 2 && r.Float64() < 0.5 {
		s.provenAngle = s.angle - 2
	}
	s.provenDepth = round((s.allowance+2*(s.provenCutter-s.bushing)-provenPlay)/(2*tan(s.provenAngle)), 0.1)
	s.allowance = provenPlay - 2*(s.provenCutter-s.bushing) + 2*s.provenDepth*tan(s.provenAngle)
}

func drawCondition(r *rand.Rand) string {
	switch c := r.Float64(); {
	case c < conditionUnsaid:
		return ""
	case c < conditionUnsaid+conditionNew:
		return "new"
	case c < conditionUnsaid+conditionNew+conditionUsed:
		return "used"
	}
	return "resharpened"
}

// depthFor is the depth at which the stated sizes give play c.
func (s *stated) depthFor(c float64) float64 {
	return (s.allowance + 2*(s.cutter-s.bushing) - c) / (2 * tan(s.angle))
}

// chartDepth is a depth as a printed chart has it.
func chartDepth(h float64) float64 { return round(h, 25.4/64) }

// bench is what really stands there: the tools, the template, where everything
// is and what is wrong with it.
type bench struct {
	pitch, tailOpening, pinOpening float64
	g, d, angle                    float64
	zero                           float64 // depth in the wood less depth as set
	reach, finger                  float64
	templateThickness              float64
	front, side, width             float64

	follow                float64 // play lost by openings not followed to the steel, both passes
	narrowTail, narrowPin float64 // the same, grossly, in each pass
	shift, axisY          float64 // of the template onto the pin board; of the cutter's axis
	swept                 float64 // offset of the axes that a turned router sweeps
	stop                  float64 // error of the side stop
	tailHigher            float64 // the tail board stood higher
	tilt                  float64 // one end of the template stood higher by this
	crept                 float64 // depth gained from one end to the other
	squeeze               float64 // tightness that the hand finds and a caliper does not
	moved                 float64 // play that the wood took
	mixed                 float64 // sockets of the pin board wider, cut elsewhere
	shoulder              float64 // held open
	thickSeat, skew       float64 // seat by a side of another thickness; at the ends
	dry                   bool    // tight only with glue
	creeps                float64 // comes back unless tightened
	chips                 struct{ tilt, zero, stop float64 }
}

// ordinary is the bench of somebody whose every size is what is stated.
func ordinary(r *rand.Rand, s *stated) bench {
	b := bench{
		pitch: s.pitch, tailOpening: s.tailOpening + openingMade*r.NormFloat64(),
		g: s.bushing + bushingSD*r.NormFloat64(), d: s.cutter + wear(r, s.condition),
		angle: s.angle + angleSD*r.NormFloat64(), zero: zeroSD * r.NormFloat64(),
		reach: s.reach, finger: s.finger, templateThickness: s.templateThickness,
		front: s.front, side: s.side, width: s.width,
		follow: followMean + followSD*r.NormFloat64(),
		shift:  placeSD * r.NormFloat64(), stop: placeSD * r.NormFloat64(), tailHigher: levelSD * r.NormFloat64(),
	}
	b.pinOpening = b.tailOpening
	if !s.templateIsOnePiece {
		b.pinOpening = s.pinOpening + openingMade*r.NormFloat64()
	}
	switch s.kind {
	case "allowance":
		b.tailOpening += allowanceSD * r.NormFloat64()
	case "proven":
		b.tailOpening += s.provenAllowance(r, b.g) - (b.tailOpening + b.pinOpening - b.pitch)
	}
	return b
}

// provenAllowance is K as it truly follows from the joint that worked, cut with
// the same bushing, which is really g.
func (s *stated) provenAllowance(r *rand.Rand, g float64) float64 {
	play := math.Max(targetFrom, math.Min(targetTo, provenPlay+provenPlaySD*r.NormFloat64()))
	d := s.provenCutter + usedMean + provenDiameterSD*r.NormFloat64()
	h := s.provenDepth + provenDepthSD*r.NormFloat64()
	return play - 2*(d-g) + 2*h*tan(s.provenAngle+angleSD*r.NormFloat64())
}

// wear is how much wider or narrower a cutter is than it is marked.
func wear(r *rand.Rand, condition string) float64 {
	if condition == "" {
		condition = "used"
		if r.Float64() < unsaidIsNew {
			condition = "new"
		}
	}
	switch condition {
	case "new":
		return newSD * r.NormFloat64()
	case "resharpened":
		return resharpMean + resharpSD*r.NormFloat64()
	}
	return usedMean + usedSD*r.NormFloat64()
}

// joint is a test joint as it came out.
type joint struct {
	play, slope           float64 // in the middle; from one end to the other
	squeeze               float64
	pinSocket, tailSocket float64 // widest
	pin, tail             float64
	depthPin, depthTail   float64
	gap                   float64 // when pulled; below 0 there is none
	seat, skew, edge      float64
	shoulder              float64
	perDepth              float64 // by how much play falls with depth
	dry, broken           bool
}

// cut cuts a test joint with the router set to a depth, off by the scatter of
// that setting. The widths are those of the joint's geometry, each socket by
// itself, and play is what sockets are wider than what goes into them:
// S_t - g + d and S_p - g + d, less the pitch, less 2 h tan a.
func (b *bench) cut(setting, scatter float64) joint {
	t := tan(b.angle)
	h := setting + b.zero + b.chips.zero + scatter
	j := joint{perDepth: 2 * t, squeeze: b.squeeze, skew: b.skew, dry: b.dry}
	j.depthPin, j.depthTail = h, h+b.tailHigher
	j.pinSocket = b.tailOpening - b.g + b.d + 2*b.swept - b.follow/2 - b.narrowTail
	j.tailSocket = b.pinOpening - b.g + b.d + 2*b.swept - b.follow/2 - b.narrowPin + b.mixed
	j.tail = b.pitch - j.pinSocket + 2*j.depthTail*t
	j.pin = b.pitch - j.tailSocket + 2*h*t
	deeper := math.Max(j.depthPin, j.depthTail)
	j.play = j.pinSocket + j.tailSocket - b.pitch - 2*deeper*t - b.moved
	tilt := b.tilt + b.chips.tilt
	j.slope = -(4*tilt + 2*b.crept) * t
	j.gap = j.tightest()/(2*t) + math.Max(0, b.tailHigher)
	j.seat = b.reach - b.pinOpening/2 - (b.finger - (b.pitch-b.tailOpening)/2) + j.play/2 +
		2*(b.shift+b.axisY) + b.thickSeat
	j.edge = b.stop + b.chips.stop
	j.shoulder = math.Max(0, b.tailHigher) + b.shoulder + math.Abs(tilt)
	j.broken = h >= b.front
	return j
}

// tightest is the play at the tighter end, which is the one that is met.
func (j *joint) tightest() float64 { return j.play - math.Abs(j.slope)/2 }

// felt is the play as the hand finds it.
func (j *joint) felt() float64 { return j.tightest() - j.squeeze }

// fits is whether play is in the target, all along the joint.
func (j *joint) fits() bool {
	return j.felt() >= targetFrom && j.play+math.Abs(j.slope)/2 <= targetTo
}

// closes is whether it goes together at all, so that it can be looked at.
func (j *joint) closes() bool { return j.felt() > feelEdges[1] }

func (j *joint) seatWrong() bool {
	worst, least := j.seat+math.Abs(j.skew), j.seat-math.Abs(j.skew)
	return worst > seatInsideMost || least < -seatProudMost
}
func (j *joint) edgeWrong() bool     { return math.Abs(j.edge) > edgeMost }
func (j *joint) shoulderWrong() bool { return j.shoulder > shoulderMost }

// right is whether nothing is left to complain of.
func (j *joint) right() bool {
	return j.fits() && !j.seatWrong() && !j.edgeWrong() && !j.shoulderWrong() && !j.broken
}

// cutting says whether a depth in the wood can be cut with what is there: the
// lap is left, the flare stays clear of the template, the cutter is long enough
// to have a width there (limits of the joint's geometry).
func (b *bench) cutting(h float64) bool {
	return h > 3 && b.front-h >= 3.2 && b.d/2-h*tan(b.angle) <= b.g/2-0.25 && b.d/2-h*tan(b.angle) > 0.5 &&
		b.tailOpening > b.g+0.05 && b.pinOpening > b.g+0.05
}

// settingFor is the setting that gives play c.
func (b *bench) settingFor(c float64) float64 {
	j := b.cut(0, 0)
	return (j.felt() - c) / j.perDepth
}

// benchOf is the bench of a caller who states one size wrongly, by the code of
// what; "right" for none.
func benchOf(r *rand.Rand, s *stated, wrong string) bench {
	for range 200 {
		b := ordinary(r, s)
		b.misstate(r, s, wrong)
		setting := b.settingFor(targetPlay)
		if b.cutting(setting+b.zero) && setting > 3 && s.front-setting >= 3.2 {
			return b
		}
	}
	return ordinary(r, s)
}

// misstate makes one size another than stated.
func (b *bench) misstate(r *rand.Rand, s *stated, wrong string) {
	switch wrong {
	case "bushing":
		b.g += another(r, shopBushings, s.bushing, 0.08, wrongBushingMost)
	case "cutter":
		b.d += another(r, shopCutters, s.cutter, wrongCutterLeast, wrongCutterMost)
	case "angle":
		b.angle += another(r, shopAngles, s.angle, wrongAngleLeast, wrongAngleMost)
	case "reground":
		b.d -= within(r, span{regroundLeast, regroundMost})
	case "template":
		b.misstateTemplate(r, s)
	case "depth_scale":
		b.zero += depthScale(r, s)
	}
}

func (b *bench) misstateTemplate(r *rand.Rand, s *stated) {
	switch s.kind {
	case "allowance":
		b.tailOpening += either(r, span{allowanceOffLeast, allowanceOffMost})
	case "proven":
		b.tailOpening += 2 * tan(s.provenAngle) * either(r, span{provenOffLeast, provenOffMost})
	default:
		off := any1(r, openingMisreads) * sign(r)
		b.tailOpening += off
		if s.templateIsOnePiece {
			b.pinOpening += off
		}
	}
}

// depthScale is the constant error of somebody's scale of depths: what stands
// out below the bushing's tip or below the base is not the depth of cut.
func depthScale(r *rand.Rand, s *stated) float64 {
	switch how := r.Float64(); {
	case how < scaleFromTip:
		return -(s.templateThickness - s.barrel)
	case how < scaleFromTip+scaleFromBase:
		return -s.templateThickness
	}
	return either(r, span{scaleOffLeast, scaleOffMost})
}

// drawWrong draws what a caller states wrongly, "right" for nothing.
func drawWrong(r *rand.Rand) string {
	if r.Float64() >= shareWrong {
		return "right"
	}
	return drawShare(r, wrongShares)
}

// Randomness.

// stream is a source of its own for every purpose, so that what one adviser
// leads to does not change what another meets.
func stream(parts ...uint64) *rand.Rand {
	a, b := uint64(0x9e3779b97f4a7c15), uint64(0xd1b54a32d192ed03)
	for _, p := range parts {
		a = mix(a ^ p)
		b = mix(b + a)
	}
	return rand.New(rand.NewPCG(a, b))
}

// mix is the finalizer of SplitMix64 (Steele, Lea, Flood 2014).
func mix(z uint64) uint64 {
	z += 0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

func pick(r *rand.Rand, n int, weight func(int) float64) int {
	sum := 0.0
	for i := range n {
		sum += weight(i)
	}
	at := r.Float64() * sum
	for i := range n {
		if at -= weight(i); at < 0 {
			return i
		}
	}
	return n - 1
}

func drawShare(r *rand.Rand, of []share) string {
	return of[pick(r, len(of), func(i int) float64 { return of[i].weight })].code
}

func any1[T any](r *rand.Rand, of []T) T { return of[r.IntN(len(of))] }

func within(r *rand.Rand, s span) float64 { return s.least + (s.most-s.least)*r.Float64() }

func either(r *rand.Rand, s span) float64 { return within(r, s) * sign(r) }

func sign(r *rand.Rand) float64 {
	if r.Float64() < 0.5 {
		return -1
	}
	return 1
}

// another is the difference to some other size of a shop, 0 where there is none.
func another(r *rand.Rand, sizes []float64, than, least, most float64) float64 {
	var off []float64
	for _, s := range sizes {
		if d := s - than; math.Abs(d) >= least && math.Abs(d) <= most {
			off = append(off, d)
		}
	}
	if len(off) == 0 {
		return 0
	}
	return any1(r, off)
}

func tan(degrees float64) float64 { return math.Tan(degrees * math.Pi / 180) }

func round(x, to float64) float64 {
	if per := math.Round(1 / to); math.Abs(per*to-1) < 1e-12 {
		return math.Round(x*per) / per // 13.6, not 13.600000000000001
	}
	return math.Round(x/to) * to
}
