package joint

import (
	"slices"

	"snugtail/joint/formula"
	"snugtail/joint/length"
)

// Formulas returns the records of this package's formulas, in the order of the
// model's page.
func Formulas() []*formula.Record {
	return slices.Concat(widthFormulas(), fitFormulas(), seatFormulas(), engagementFormulas(), limitFormulas(), sureFormulas(), varyFormulas())
}

// jointOf returns the joint that the values of a formula's symbols describe.
// What a symbol does not say is left out, or 0: such a joint serves the formula
// that the symbols are of, and can often not be cut. A play "c" that differs from
// what the sizes give is taken as learned.
func jointOf(v formula.Values) *Joint {
	size := sizes(v)
	s := Setup{
		Cutter: Cutter{
			Diameter: size("d"), Angle: Angle(v["a"]), CuttingLength: size("CL"), OverallLength: size("OL"), Runout: size("T_r"),
			Shank: size("d_s"),
		},
		Bushing:       Bushing{Diameter: size("g"), Barrel: size("L"), Bore: size("b_g"), OffsetX: size("ex"), OffsetY: size("ey")},
		Depth:         Depth{PinBoard: size("h", "h_p"), TailBoard: size("h", "h_t")},
		Router:        Router{ColletHeight: size("H_c"), AdjusterLead: size("l")},
		PinBoard:      PinBoard{Thickness: size("t_p"), GrooveDepth: size("m_g")},
		TailBoard:     TailBoard{Thickness: size("t_t")},
		SideStopError: size("m"),
		Template:      templateOf(v),
		Offset:        Offset{Mean: length.Length(v["b"])},
	}
	if u, unsure := v["u_a"]; unsure {
		s.Cutter.AngleTolerance, s.Cutter.HasAngleTolerance = Angle(2*u), true
	}
	j, _ := New(s) // a joint that can't be cut still has lengths
	if c, stated := v["c"]; stated {
		j.b += c - j.Play().MM()
	}
	return &j
}

// sizes returns the size that the first of some symbols with a value has; "u_d"
// is the standard uncertainty of "d".
func sizes(v formula.Values) func(symbols ...string) length.Size {
	return func(symbols ...string) length.Size {
		for _, symbol := range symbols {
			if x, ok := v[symbol]; ok {
				if u, unsure := v["u_"+symbol]; unsure {
					return length.Within(length.Length(x), length.Length(2*u))
				}
				return length.Exactly(length.Length(x))
			}
		}
		return length.Size{}
	}
}

func templateOf(v formula.Values) Template {
	size := sizes(v)
	_, opening := v["S_t"]
	_, finger := v["F_p"]
	_, nose := v["F_t"]
	_, end := v["S_p"]
	if _, one := v["S"]; one {
		t := NewOnePiece(size("P"), size("S"), size("s0"), size("f0"))
		t.Thickness = size("T")
		return t
	}
	if !(opening || finger || nose || end) {
		t := NewAllowance(size("K"))
		t.Thickness = size("T")
		return t
	}
	return Template{
		Kind: TwoPosition, Pitch: size("P"), Thickness: size("T"),
		Tail: Pass{Opening: size("S_t"), Finger: size("F_t"), OpeningReach: size("s0_t", "s0"), FingerReach: size("f0_t", "f0")},
		Pin:  Pass{Opening: size("S_p"), Finger: size("F_p"), OpeningReach: size("s0_p", "s0"), FingerReach: size("f0_p", "f0")},
	}
}

// known is a value, or NaN where it is not known.
func known(x length.Length, ok bool) float64 { return formula.Known(x.MM(), ok) }
