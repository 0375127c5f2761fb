package say

import (
	"path"

	"snugtail/joint/advise"
	"snugtail/joint/belief"
	"snugtail/service/codes"
	"snugtail/service/message"
)

// Causes, in a few words and in sentences, and what was told of joints and tools.

// Cause names a cause, with its size where that says more.
func Cause(c *advise.Cause) message.Message {
	m, size := CauseName(c.Code), &c.Size
	switch {
	case size.Kind == belief.SizeBushing && size.Against > 0,
		c.Code == belief.CauseCutterDiameter && size.Kind == belief.SizeCutter && size.Against > 0:
		return m.With(message.Length("size", size.Length), message.Length("instead", size.Against)).As("instead")
	case size.Kind == belief.SizeAngle && size.AgainstAngle > 0:
		return m.With(anglesOf(size)...).As("instead")
	}
	return m
}

// CauseName names a cause without its size.
func CauseName(code belief.Code) message.Message {
	return message.New("cause_name." + codes.Causes[code])
}

// CauseSentence is what a cause is, and how large it would be.
func CauseSentence(c *advise.Cause) message.Message {
	return message.Sentences(message.New("cause_text."+codes.Causes[c.Code]), howLarge(&c.Size))
}

func howLarge(size *belief.Size) message.Message {
	name, named := codes.CauseSizes[size.Kind]
	if !named {
		return message.Message{}
	}
	m, x := message.New("cause_size."+name), size.Length
	switch size.Kind {
	case belief.SizeBushing, belief.SizeCutter:
		if size.Against <= 0 {
			return message.Message{}
		}
		return m.With(message.Length("size", x), message.Length("instead", size.Against))
	case belief.SizeAngle:
		if size.AgainstAngle <= 0 {
			return message.Message{}
		}
		return m.With(anglesOf(size)...)
	}
	m = m.With(message.Length("amount", max(x, -x)))
	switch size.Kind {
	case belief.SizeDepth, belief.SizeTail:
		return m.As(either(x < 0, "shallower", "deeper"))
	case belief.SizeThick:
		return m.As(either(x > 0, "thicker", "thinner"))
	case belief.SizeOpening:
		return m.As(either(x > 0, "wider", "narrower"))
	}
	return m
}

func anglesOf(size *belief.Size) []message.Param {
	return []message.Param{message.Angle("angle", float64(size.Angle)), message.Angle("instead", float64(size.AgainstAngle))}
}

// either is one of two states.
func either(is bool, yes, no string) string {
	if is {
		return yes
	}
	return no
}

// Finding says a finding that was answered with yes.
func Finding(f belief.Finding) message.Message { return message.New("finding." + codes.Findings[f]) }

// Evidence is something that was told, as half a sentence.
func Evidence(e belief.Evidence) message.Message {
	switch e.Seen {
	case belief.SeenFinding:
		m := message.New("evidence.finding", message.Word("finding", "finding", codes.Findings[e.Finding]))
		return m.As(either(e.Answer == belief.Yes, "yes", "no"))
	case belief.SeenBushing:
		return message.New("evidence.bushing_diameter")
	case belief.SeenCutter:
		return message.New("evidence.cutter_diameter")
	}
	m := message.New("evidence."+path.Base(codes.Seen[e.Seen]), message.Count("joint", e.Cut+1))
	if e.Place != belief.Whole {
		m = m.With(message.Count("place", e.Place+1))
	}
	return m
}
