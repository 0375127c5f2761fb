// Package belief is what to think of a set-up after all that was told of it:
// one posterior over what may be wrong and by how much.
//
// Told are sizes as stated, test joints, what was seen of each, findings, and
// earlier sessions. People call because something is not as they state it, so
// every stated size may be another: one that shops stock, or any. No reading is
// ever dropped: each may be misread, with its chance, and the posterior says
// how likely that is.
//
//	codes.go      causes, checks and findings
//	seen.go       test joints and what was seen of them
//	priors.go     how often, how large, what shows in what: judgement
//	case.go       a case with its gaps filled
//	effect.go     what a fault of a given size does to all that can be seen
//	branches.go   the faults, and how large each may be
//	tools.go      tools that are not of the size stated; by how much: package sizes
//	shares.go     how often each fault is behind what is told
//	model.go      tolerances, and how all that is read depends on them
//	reading.go    what was seen of the latest joint, as readings and ranges
//	older.go      what the joints before it say of play
//	session.go    earlier sessions
//	weigh.go      what every fault predicts
//	solution.go   readings taken in: every fault, with every guess what is misread
//	pairs.go      two faults at once
//	grid.go       older joints and feels taken in, on a grid of play
//	feel.go       the latest joint's feel
//	posterior.go  what follows: causes, doubts
//	play.go       the play of a next joint
//	best.go       the depth at which it is likeliest to fit
//	known.go      what any figure is likely to read
//	explain.go    the size of a cause, and what it explains
//	taught.go     what records teach of set-ups
//	without.go    what would be believed without some joints
//
// The source of the method is joint/model.md, One belief; the tables of
// judgement are in priors.go.
package belief

import (
	"errors"
	"math"
	"sync"
)

// Observer believes, before anything is seen, what its priors say.
type Observer struct {
	tables *tables
	stop   func() bool // nil never stops
}

// ErrStopped is the error of what was stopped before it had an answer.
var ErrStopped = errors.New("belief: stopped before there was an answer")

// Until returns the same observer for one question, which gives up with
// ErrStopped once stop returns true. It is asked before each case and between
// the parts of its work, every few milliseconds.
func (o *Observer) Until(stop func() bool) *Observer {
	return &Observer{tables: o.tables, stop: stop}
}

// Stopped reports whether the observer's question was given up.
func (o *Observer) Stopped() bool { return o.stop != nil && o.stop() }

// NewObserver returns an observer with these priors, which it keeps.
func NewObserver(p *Priors) *Observer { return &Observer{tables: newTables(p)} }

// Default returns the observer with the default priors.
var Default = sync.OnceValue(func() *Observer { return NewObserver(DefaultPriors()) })

// Priors returns the observer's priors, not to be changed.
func (o *Observer) Priors() *Priors { return o.tables.priors }

// tables are the priors made ready.
type tables struct {
	priors    *Priors
	logChance [CauseCount][FindingCount][3]float64 // by answer; 0 where none was given
	yes       [CauseCount][FindingCount]float64    // chance of it
}

func newTables(p *Priors) *tables {
	t := &tables{priors: p}
	for c := range CauseCount {
		for f := range FindingCount {
			t.yes[c][f] = math.Max(1e-6, p.chance(c, f, Yes))
			for _, a := range [...]Answer{No, Yes} {
				t.logChance[c][f][a] = math.Log(math.Max(1e-6, p.chance(c, f, a)))
			}
		}
	}
	return t
}

// Of returns what is believed of a case. Errors are *joint.Impossible for a
// set-up that is stated in full and cannot be cut, a *CutError for a test
// joint's depth, a *SessionError for an earlier session, ErrStopped. A cut through
// the pin board is no error here.
func (o *Observer) Of(c *Case) (*Posterior, error) {
	m, err := newModel(c, o.tables)
	if err != nil {
		return nil, err
	}
	if p := m.posterior(o.Stopped); p != nil {
		return p, nil
	}
	return nil, ErrStopped
}

// posterior returns nil where it was stopped.
func (m *model) posterior(stopped func() bool) *Posterior {
	m.limitReadings()
	fs := m.forecasts()
	p := &Posterior{m: m, scatters: m.scatters(), listed: len(fs)}
	about := (2+len(m.flaws)/2)*len(fs) + mostSingles*mostSingles // parts that there are
	parts := make([]part, 0, about*len(p.scatters))
	for i, sc := range p.scatters {
		if stopped() {
			return nil
		}
		s := newSystem(m, sc.by)
		p.systems = append(p.systems, s)
		parts = m.linear(parts, fs, s, i, math.Log(sc.chance))
	}
	p.all = m.twoFaults(parts, p)
	if stopped() {
		return nil
	}
	p.weigh(m.newGrid(p.all, p.scatters))
	return p
}

// limitReadings bounds the work: of more than mostReadings the first are taken
// in.
func (m *model) limitReadings() {
	m.readings = m.readings[:min(len(m.readings), mostReadings)]
	m.listFlaws()
}
