package service

import (
	"time"

	"snugtail/api"
	"snugtail/joint/stock"
	"snugtail/service/gate"
	"snugtail/service/message"
	"snugtail/service/problem"
)

// What a question takes of one processor, estimated from what is counted in it,
// before any work. Measured on one of two shared cores (BenchmarkCosts); an
// estimate has to be about right, since places and rates go by it.
const (
	// mostCost is what one question may take; a dearer one is refused.
	mostCost = 450 * time.Millisecond

	costOfByte    = 100 * time.Nanosecond  // to read and check it, where it is refused
	costOfAnswer  = 100 * time.Microsecond // any
	costOfPair    = 40 * time.Microsecond  // of cutter and bushing
	costOfKind    = 6 * time.Microsecond   // a cutter judged for one kind of joint of a drawer
	costOfDrawer  = 60 * time.Microsecond
	costOfPage    = 2500 * time.Microsecond
	costOfPlot    = 1 * time.Millisecond
	costOfAdvice  = 2 * time.Millisecond
	costOfReading = 200 * time.Microsecond // of the last test joint
	costOfLesson  = 600 * time.Microsecond // to believe what a record or test joints teach
	costOfSession = 250 * time.Microsecond // of a record, for each pair taught
	costOfCut     = 15 * time.Microsecond  // in it, doubled by each reading of its play
)

// admitted lets a question in by what it will cost: refuses what is too costly,
// counts what costs more than a usual question against the client's rate, and
// takes another place where the work is longer than was thought.
func admitted(pass *gate.Pass, question any) error {
	cost := costOf(question)
	if cost > mostCost {
		return problem.TooCostly(tooCostly(question)...)
	}
	if err := pass.Charge(gate.Questions(cost) - 1); err != nil {
		return err
	}
	return pass.Now(cost)
}

// costOf estimates what a question takes.
func costOf(question any) time.Duration {
	switch q := question.(type) {
	case *api.CutterRecommendationRequest:
		return costOfAnswer + costOfPairs(cuttersAtHand(q.Cutters)*bushingsAtHand(q), recordOf(q.Setup))
	case *api.FitPredictionRequest:
		return costOfAnswer + costOfRecord(recordOf(q.Setup))
	case *api.LayoutRequest:
		return costOfAnswer + costOfRecord(recordOf(q.Setup))
	case *api.WoodMovementRequest:
		return costOfPlot + costOfRecord(recordOf(q.Setup))
	case *api.JointDrawingRequest:
		return costOfPage + costOfRecord(recordOf(q.Setup))
	case *api.CorrectionRequest:
		return costOfAdviceOn(q.TestCuts) + costOfRecord(recordOf(q.Setup))
	case *api.SetupSheetRequest:
		return costOfPage + costOfAdviceOn(q.TestCuts) + costOfRecord(recordOf(q.Setup))
	case *api.DiagnosisRequest:
		cuts := make([]api.TestCut, len(q.TestCuts))
		for i := range cuts {
			cuts[i] = api.TestCut(q.TestCuts[i])
		}
		return costOfAdviceOn(cuts) + costOfRecord(recordOf(q.Setup))
	case *api.DrawerPartsRequest:
		var record *api.Record
		if q.Setup != nil {
			record = q.Setup.Record
		}
		each := costOfKind + costOfRecord(record)
		return costOfAnswer + times(len(q.Drawers), costOfDrawer) + times(kindsOf(q.Drawers)*cuttersAtHand(q.Cutters), each)
	}
	return costOfAnswer
}

// costOfText is what it takes to read and check a body.
func costOfText(body string) time.Duration { return times(len(body), costOfByte) }

func times(n int, cost time.Duration) time.Duration { return time.Duration(n) * cost }

func recordOf(s *api.Setup) *api.Record {
	if s == nil {
		return nil
	}
	return s.Record
}

// costOfAdviceOn: of the last test joint every reading counts by itself, up to
// as many as are taken in.
func costOfAdviceOn(cuts []api.TestCut) time.Duration {
	const most, beside, atEach = 48, 8, 7 // readings: all, of the joint as a whole, of a place along it
	cost := costOfAdvice + costOfCuts(cuts)
	if len(cuts) == 0 {
		return cost
	}
	return cost + times(min(most, beside+atEach*len(cuts[len(cuts)-1].Along)), costOfReading)
}

// costOfRecord is what it takes to learn from a record once.
func costOfRecord(r *api.Record) time.Duration {
	if r == nil {
		return 0
	}
	cost := costOfLesson
	for i := range r.Sessions {
		cost += costOfCuts(r.Sessions[i].TestCuts)
	}
	return cost
}

func costOfCuts(cuts []api.TestCut) (sum time.Duration) {
	for i := range cuts {
		sum += costOfTestCut(&cuts[i])
	}
	return sum
}

// costOfTestCut: each reading of play may be misread, so they are weighed in
// every combination.
func costOfTestCut(c *api.TestCut) time.Duration {
	readings := 0
	for _, read := range []bool{
		c.PulledGap != nil, c.WentIn != nil,
		c.Measured != nil && c.Measured.PinWidest != nil && c.Measured.TailSocketWidest != nil,
		c.Measured != nil && c.Measured.TailWidest != nil && c.Measured.PinSocketWidest != nil,
	} {
		if read {
			readings++
		}
	}
	return costOfCut << readings
}

func cuttersAtHand(given []api.Cutter) int {
	if len(given) == 0 {
		return len(stock.Cutters())
	}
	return len(given) + 1 // and the set-up's own
}

// costOfPairs: a record is weighed once, and then taught to each pair.
func costOfPairs(pairs int, record *api.Record) time.Duration {
	if record == nil {
		return times(pairs, costOfPair)
	}
	return costOfRecord(record) + times(pairs, costOfPair+costOfLesson+times(len(record.Sessions), costOfSession))
}

func bushingsAtHand(q *api.CutterRecommendationRequest) int {
	if q.AllBushings {
		return len(stock.Bushings())
	}
	return max(1, len(q.Bushings)) // none: the set-up's own
}

// kindsOf is how many kinds of joints drawers have at most: those of one kind
// are judged once. Sides that are sawn make each its own.
func kindsOf(drawers []api.Drawer) int {
	type kind struct {
		front, sides, back string
		grooved, lipped    api.LengthIn
	}
	kinds, ends := map[kind]bool{}, 0
	for i := range drawers {
		d := &drawers[i]
		k := kind{front: d.Front, sides: d.Sides}
		if d.BackJoint == "" || d.BackJoint == "half_blind" {
			k.back = d.Back
		}
		if d.Groove != nil && d.Groove.Depth != nil {
			k.grooved = *d.Groove.Depth
		}
		if d.Lip != nil && d.Lip.Thickness != nil {
			k.lipped = *d.Lip.Thickness
		}
		if d.SidesSawn == nil && kinds[k] {
			continue
		}
		kinds[k] = true
		ends++
		if k.back != "" && k.back != k.front {
			ends++
		}
	}
	return ends
}

// tooCostly says what to leave out: no other question costs too much, however full.
func tooCostly(question any) []problem.Field {
	var fields []problem.Field
	record := func(r *api.Record) {
		if r != nil {
			fields = append(fields, costly("/setup/record", "record_for_each_pair"))
		}
	}
	switch q := question.(type) {
	case *api.CutterRecommendationRequest:
		record(recordOf(q.Setup))
		fields = append(fields, costly("/cutters", "cutters", message.Count("count", cuttersAtHand(q.Cutters))))
	case *api.DrawerPartsRequest:
		if q.Setup != nil {
			record(q.Setup.Record)
		}
		fields = append(fields, costly("/cutters", "cutters", message.Count("count", cuttersAtHand(q.Cutters))),
			costly("/drawers", "kinds", message.Count("count", kindsOf(q.Drawers))))
	}
	return fields
}

func costly(pointer, state string, params ...message.Param) problem.Field {
	return problem.At("#"+pointer, problem.CodeTooCostly, state, params...)
}
