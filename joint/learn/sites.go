package learn

import (
	"math"

	"snugtail/joint"
	"snugtail/joint/length"
)

// site is one observation's word on the play of its test cut: a reading with
// its standard uncertainty, or an interval.
type site struct {
	cut         int
	observation Observation
	interval    bool
	low, high   float64 // play, mm; a reading has both alike
	u           float64
	viaWidths   bool // taken in width by width, not as one reading of play
	dropped     bool
}

// UncertaintyWentIn is the standard uncertainty of the overlap, mm, that
// follows from how far a joint went in before it stuck: weak evidence.
// Judgement.
const UncertaintyWentIn = 0.25

func (l *learner) readSites() []site {
	var sites []site
	for i, cut := range l.cuts {
		sites = l.gapSite(sites, i, cut)
		sites = l.widthSite(sites, i, cut)
		sites = l.feelSite(sites, i, cut)
	}
	return sites
}

// gapSite: c = 2 (w - max(0, h_t - h_p)) tan a.
func (l *learner) gapSite(sites []site, i int, cut TestCut) []site {
	if !cut.PulledGap.Given {
		return sites
	}
	perGap := 2 * l.observables.tanA
	open := math.Max(0, cut.ShoulderOpen().MM())
	c := perGap * (cut.PulledGap.MM() - open)
	u := perGap * cut.PulledGap.StandardUncertainty(joint.ToleranceGap)
	return append(sites, site{cut: i, observation: ObservedGap, low: c, high: c, u: u})
}

// widthSite: socket less tail, or socket less pin; both, averaged, where all
// are there. Single widths are taken in by themselves.
func (l *learner) widthSite(sites []site, i int, cut TestCut) []site {
	m := cut.Measured
	sum, n := 0.0, 0.0
	// Either difference is the play of its own board's depth; the deeper decides.
	if m.TailSocketWidest.Given && m.TailWidest.Given {
		sum, n = sum+(m.TailSocketWidest.Length-m.TailWidest.Length).MM(), n+1
	}
	if m.PinSocketWidest.Given && m.PinWidest.Given {
		sum, n = sum+(m.PinSocketWidest.Length-m.PinWidest.Length).MM(), n+1
	}
	if n == 0 {
		return sites
	}
	u := joint.ToleranceCaliper / 2.0 * math.Sqrt(2/n)
	_, viaWidths := l.joints[i].Widths()
	return append(sites, site{cut: i, observation: ObservedWidths, low: sum / n, high: sum / n, u: u, viaWidths: viaWidths})
}

// feelSite: the feel's interval; how far a joint went in before it stuck says
// more than that it stuck.
func (l *learner) feelSite(sites []site, i int, cut TestCut) []site {
	feel := cut.Feel
	if cut.WentIn.Given && feel == FeelNone {
		feel = FeelSticksPartWay
	}
	if low, high, ok := feel.Interval(l.bands); ok {
		sites = append(sites, site{cut: i, observation: ObservedFeel, interval: true, low: low, high: high, u: SoftEdge})
	}
	if !cut.WentIn.Given {
		return sites
	}
	if overlap, ok := l.joints[i].OverlapFromWentIn(cut.WentIn.Length); ok {
		c := -overlap.MM()
		sites = append(sites, site{cut: i, observation: ObservedWentIn, low: c, high: c, u: UncertaintyWentIn})
	}
	return sites
}

// outlierAt is how many standard uncertainties an observation may be off what
// all else lets expect. Judgement; chance alone passes it once in 2,000.
const outlierAt = 3.5

// dropOutliers marks, worst first, the observations that are off by more than
// the rest allow. One observation alone is never dropped: then it is the
// set-up that is not as stated.
func (l *learner) dropOutliers() []Outlier {
	var outliers []Outlier
	for {
		worst, z, rest := l.worstSite()
		if worst < 0 || z < outlierAt {
			return outliers
		}
		s := &l.sites[worst]
		s.dropped = true
		seen := s.low
		if math.Abs(s.high-rest) < math.Abs(s.low-rest) {
			seen = s.high
		}
		outliers = append(outliers, Outlier{s.cut, s.observation, length.Length(seen), length.Length(rest)})
	}
}

// worstSite returns the site that is furthest, in standard uncertainties, off
// what prior and all other sites let expect of its play.
func (l *learner) worstSite() (worst int, z, rest float64) {
	worst = -1
	if l.taken() < 2 {
		return worst, 0, 0
	}
	for k, s := range l.sites {
		if s.dropped {
			continue
		}
		b, sd := l.without(k)
		nominal := l.joints[s.cut].Play().MM()
		expected := nominal + b
		off := math.Max(0, math.Max(s.low-expected, expected-s.high))
		if zk := off / math.Sqrt(square(s.u)+square(l.settingPlay(s.cut))+square(sd)); zk > z {
			worst, z, rest = k, zk, expected
		}
	}
	return worst, z, rest
}

func (l *learner) taken() int {
	n := 0
	for _, s := range l.sites {
		if !s.dropped {
			n++
		}
	}
	return n
}

// settingPlay is the play that the setting of a cut's depth scatters.
func (l *learner) settingPlay(i int) float64 {
	return 2 * l.observables.tanA * l.cuts[i].Depth.Deeper().StandardUncertainty(joint.ToleranceDepthSet)
}

// without returns mean and standard deviation of b from the prior and all
// sites but one, each taken as normal.
func (l *learner) without(k int) (mean, sd float64) {
	precision, sum := 0.0, 0.0
	if u := l.priorSD; u > 0 {
		precision, sum = 1/square(u), l.priorMean/square(u)
	}
	for i, s := range l.sites {
		if i == k || s.dropped {
			continue
		}
		low, high := s.low, s.high
		if s.interval { // an open end says no more than a stretch past the closed one
			const stretch = 0.5
			low, high = math.Max(low, high-stretch), math.Min(high, low+stretch)
		}
		width := (high - low) / math.Sqrt(12)
		v := square(s.u) + square(width) + square(l.settingPlay(s.cut))
		if v <= 0 {
			continue
		}
		precision += 1 / v
		sum += ((low+high)/2 - l.joints[s.cut].Play().MM()) / v
	}
	if precision == 0 {
		return 0, math.Inf(1)
	}
	return sum / precision, 1 / math.Sqrt(precision)
}

// plays returns what each test cut's own play is taken to have been: its
// linear readings, then its feel.
func (l *learner) plays(parts []component) []CutPlay {
	plays := make([]CutPlay, len(l.cuts))
	for i := range l.cuts {
		own := l.feelOf(i)
		plays[i].Known = own != nil || l.readOf(i)
		sum, total := 0.0, 0.0
		for _, part := range parts {
			mean, variance := part.state.of(l.observables.play(i))
			mean += l.joints[i].Play().MM()
			sd := math.Max(math.Sqrt(variance), leastSD)
			m, evidence := tilted(mean, sd, own)
			sum += part.weight * evidence * m
			total += part.weight * evidence
		}
		if total > 0 {
			plays[i].Mean = length.Length(sum / total)
		}
	}
	return plays
}

// onlyFelt: how far a joint went in is no more than a feel.
func (l *learner) onlyFelt() bool {
	felt := false
	for _, s := range l.sites {
		if s.observation == ObservedGap || s.observation == ObservedWidths {
			return false
		}
		felt = true
	}
	return felt
}

func (l *learner) feelOf(i int) *site {
	for k := range l.sites {
		if s := &l.sites[k]; s.cut == i && s.interval && !s.dropped {
			return s
		}
	}
	return nil
}

func (l *learner) readOf(i int) bool {
	for _, s := range l.sites {
		if s.cut == i && !s.interval && !s.dropped {
			return true
		}
	}
	return false
}

// tilted returns the mean of a normal distribution seen through a feel, and
// the probability of that feel, by quadrature.
func tilted(mean, sd float64, feel *site) (m, evidence float64) {
	if feel == nil {
		return mean, 1
	}
	sum := 0.0
	const steps = 60
	for k := range steps + 1 {
		z := -6 + 12*float64(k)/steps
		c := mean + z*sd
		w := math.Exp(-z*z/2) * (joint.NormalCDF((c-feel.low)/SoftEdge) - joint.NormalCDF((c-feel.high)/SoftEdge))
		evidence += w
		sum += w * c
	}
	if evidence <= 0 { // further off than can be told: the feel's nearer edge
		return math.Min(math.Max(mean, feel.low), feel.high), 1e-300
	}
	return sum / evidence, evidence
}

// SeatOffset is what seat readings taught: seat = base(play) + Offset, where
// base is the model's seat or, without the template's reaches, c/2.
type SeatOffset struct {
	Offset length.Length
	Known  bool
}

// seat averages how far the seat readings lie off what the model expects.
func (l *learner) seat(b length.Length) SeatOffset {
	sum, n := 0.0, 0.0
	for i, cut := range l.cuts {
		if cut.Seat.Given {
			sum += (cut.Seat.Length - seatBase(l.joints[i], b)).MM()
			n++
		}
	}
	if n == 0 {
		return SeatOffset{}
	}
	return SeatOffset{length.Length(sum / n), true}
}

// seatBase is the seat that the set-up predicts for play c + b; half of any
// further play shows in the seat (q = q0 + c/2).
func seatBase(j joint.Joint, b length.Length) length.Length {
	if seat := j.Seat(); seat.Known {
		return seat.Offset + b/2
	}
	return (j.Play() + b) / 2
}

// SeatAt returns the seat to expect of a next joint h deep; ok is false where
// no seat was seen and the template's reaches are not known.
func (p *Posterior) SeatAt(h length.Length) (q length.Length, ok bool) {
	j, err := joint.New(p.Setup.AtDepth(h))
	if err != nil || (!p.Seat.Known && !j.Seat().Known) {
		return 0, false
	}
	return seatBase(j, p.Mean) + p.Seat.Offset, true
}
