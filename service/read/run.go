package read

import (
	"strconv"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/joint/run"
	"snugtail/service/problem"
)

// A run of joints, all cut at the depth set now.

// run reads a run: as readings for its chart, and as test cuts, which teach of
// the set-up as any others do.
func (r *Reader) run(in []api.RunReading, s *joint.Setup) (readings []run.Reading, cuts []belief.Cut) {
	for i := range in {
		base := "/run/" + strconv.Itoa(i)
		cut := belief.Cut{Depth: s.Depth, Sight: belief.Sight{
			PulledGap: r.size(in[i].PulledGap, fromZero, base, "pulled_gap"),
			Measured:  r.measured(in[i].Measured, base+"/measured"),
		}}
		reading := run.Reading{Joint: in[i].Joint, Gap: cut.PulledGap.Length}
		switch {
		case in[i].PulledGap != nil && in[i].Measured != nil:
			r.fail(base, "measured", problem.CodeConflict, "run_read_twice")
		case in[i].PulledGap == nil && in[i].Measured == nil:
			r.fail(base, "pulled_gap", problem.CodeMissing, "run_not_read")
		case in[i].Measured != nil:
			var ok bool
			if reading.Gap, ok = gapOf(&cut.Measured, s.Cutter.Angle); !ok {
				r.fail(base, "measured", problem.CodeMissing, "run_no_pair")
			}
			reading.FromWidths = true
		}
		readings, cuts = append(readings, reading), append(cuts, cut)
	}
	return readings, cuts
}

// gapOf is the gap that measured widths stand for, w = c/(2 tan a), c the mean of
// what the two sorts of sockets leave; ok is false without one sort whole.
func gapOf(m *belief.Measured, angle joint.Angle) (gap length.Length, ok bool) {
	var play, sorts length.Length
	for _, sort := range [...][2]length.Size{{m.TailSocketWidest, m.TailWidest}, {m.PinSocketWidest, m.PinWidest}} {
		if sort[0].Given && sort[1].Given {
			play += sort[0].Length - sort[1].Length
			sorts++
		}
	}
	if sorts == 0 || angle <= 0 {
		return 0, false
	}
	return play / sorts / length.Length(2*angle.Tan()), true
}
