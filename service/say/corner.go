package say

import (
	"snugtail/joint/layout"
	"snugtail/joint/length"
	"snugtail/service/message"
)

// What stands in the drawing of a drawer's corner.

// CornerView is a text of the drawing that names nothing.
func CornerView(code string) message.Message { return message.New("corner_view." + code) }

// Bare is a precise length without its unit, which the page states once.
func (w Words) Bare(l length.Length) string { return w.bare(l) }

// CornerNotes say what else is to be known of a corner.
func CornerNotes(l *layout.Layout, skips bool) []message.Message {
	notes := []message.Message{CornerView("mirrored")}
	if l.Spacer.Known {
		notes = append(notes, CornerView("spacer").With(message.Length("thickness", l.Spacer.Thickness)))
	}
	if skips {
		notes = append(notes, CornerView("skips"))
	}
	return notes
}
