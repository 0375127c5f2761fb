package say

import (
	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// What was heard, said back.

// Heard says back what was told, in one line.
func Heard(c *belief.Case) message.Message {
	parts := heardSetup(&c.Setup)
	if n := len(c.Cuts); n > 0 {
		parts = append(parts, heardCut(&c.Cuts[n-1], n))
	}
	for f, answer := range c.Findings {
		if answer == belief.Yes {
			parts = append(parts, Finding(belief.Finding(f)))
		}
	}
	if len(parts) == 0 {
		return message.New("heard").As("nothing")
	}
	return message.New("heard", message.List("told", parts...)).As("so_far")
}

func heardSetup(s *joint.Setup) []message.Message {
	var parts []message.Message
	if d := s.Bushing.Diameter; d.Given {
		parts = append(parts, message.New("heard_bushing", message.Length("diameter", d.Length)))
	}
	if d := s.Cutter.Diameter; d.Given {
		cutter := message.New("heard_cutter", message.Length("diameter", d.Length))
		if s.Cutter.Angle > 0 {
			cutter = cutter.With(message.Angle("angle", float64(s.Cutter.Angle)))
		}
		parts = append(parts, cutter)
	}
	if d := s.Depth.PinBoard; d.Given {
		parts = append(parts, message.New("heard_depth", message.Length("depth", d.Length)))
	}
	return parts
}

func heardCut(c *belief.Cut, n int) message.Message {
	var seen []message.Message
	if d := c.Depth.PinBoard; d.Given {
		seen = append(seen, message.New("heard_cut_depth", message.Length("depth", d.Length)))
	}
	if c.Feel != belief.FeelNone {
		seen = append(seen, message.New("heard_feel."+codes.FeelNames[c.Feel]))
	}
	for _, read := range [...]struct {
		of   belief.Seen
		size length.Size
	}{
		{belief.SeenPulledGap, c.PulledGap},
		{belief.SeenShoulderGap, c.ShoulderGap},
		{belief.SeenWentIn, c.WentIn},
		{belief.SeenSeat, c.Seat},
		{belief.SeenEdgeStep, c.EdgeStep},
	} {
		if read.size.Given {
			seen = append(seen, message.New("heard_reading."+codes.Seen[read.of], message.Length("reading", read.size.Length)))
		}
	}
	if c.Measured != (belief.Measured{}) {
		seen = append(seen, message.New("heard_measured"))
	}
	if n := len(c.Along); n > 0 {
		seen = append(seen, message.New("heard_places", message.Count("places", n)))
	}
	return message.New("heard_cut", message.Count("joint", n), message.List("seen", seen...))
}
