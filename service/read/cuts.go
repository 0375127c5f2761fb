package read

import (
	"strconv"

	"snugtail/api"
	"snugtail/joint/belief"
	"snugtail/service/codes"
)

// Test joints, and what was seen of them: as a whole, and at places along them.

func (r *Reader) testCuts(in []api.TestCut, base string) []belief.Cut {
	cuts := make([]belief.Cut, len(in))
	for i := range in {
		cuts[i] = r.testCut(&in[i], base+"/test_cuts/"+strconv.Itoa(i))
	}
	return cuts
}

func (r *Reader) testCut(in *api.TestCut, base string) belief.Cut {
	cut := belief.Cut{
		Depth: r.depth(in.Depth, base),
		Sight: r.sight(&api.SeenAt{
			Feel: in.Feel, PulledGap: in.PulledGap, ShoulderGap: in.ShoulderGap,
			WentIn: in.WentIn, Seat: in.Seat, EdgeStep: in.EdgeStep, Measured: in.Measured,
		}, base),
		TemplateAt: r.size(in.TemplateAt, signed, base, "template_at"),
		SideStopAt: r.size(in.SideStopAt, signed, base, "side_stop_at"),
		Corner:     codes.Corners[in.Corner],
	}
	for i := range in.Along {
		at := base + "/along/" + strconv.Itoa(i)
		cut.Along = append(cut.Along, belief.Place{
			Position: r.size(in.Along[i].Position, fromZero, at, "position").Length,
			Sight:    r.sight(&in.Along[i], at),
		})
	}
	return cut
}

func (r *Reader) sight(in *api.SeenAt, base string) belief.Sight {
	return belief.Sight{
		Feel:        codes.Feels[in.Feel],
		PulledGap:   r.size(in.PulledGap, fromZero, base, "pulled_gap"),
		ShoulderGap: r.size(in.ShoulderGap, fromZero, base, "shoulder_gap"),
		WentIn:      r.size(in.WentIn, fromZero, base, "went_in"),
		Seat:        r.size(in.Seat, signed, base, "seat"),
		EdgeStep:    r.size(in.EdgeStep, signed, base, "edge_step"),
		Measured:    r.measured(in.Measured, base+"/measured"),
	}
}

func (r *Reader) measured(in *api.Measured, base string) belief.Measured {
	if in == nil {
		return belief.Measured{}
	}
	return belief.Measured{
		PinWidest:        r.size(in.PinWidest, positive, base, "pin_widest"),
		TailWidest:       r.size(in.TailWidest, positive, base, "tail_widest"),
		PinSocketWidest:  r.size(in.PinSocketWidest, positive, base, "pin_socket_widest"),
		TailSocketWidest: r.size(in.TailSocketWidest, positive, base, "tail_socket_widest"),
		DepthPinBoard:    r.size(in.DepthPinBoard, positive, base, "depth_pin_board"),
		DepthTailBoard:   r.size(in.DepthTailBoard, positive, base, "depth_tail_board"),
	}
}
