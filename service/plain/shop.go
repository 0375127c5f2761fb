package plain

import (
	"fmt"
	"strings"

	"snugtail/api"
	"snugtail/service/message"
)

// Shop lists what a shop has, as the operator wrote it.
func Shop(in *message.Printer, a *api.Shop) string {
	s := NewLines(in)
	if a.Name != "" {
		s.Para(0, a.Name)
	}
	list := func(title string, n int, one func(i int) (name, size string)) {
		if n == 0 {
			return
		}
		s.Title(title)
		for i := range n {
			name, size := one(i)
			s.Para(4, "- "+name+": "+size)
		}
	}
	list("TEMPLATES", len(a.Templates), func(i int) (string, string) {
		return a.Templates[i].Name, strings.ReplaceAll(a.Templates[i].Template.Kind, "_", " ")
	})
	list("BUSHINGS", len(a.Bushings), func(i int) (string, string) {
		return a.Bushings[i].Name, asWritten(a.Bushings[i].Bushing.Diameter, a.Units)
	})
	list("CUTTERS", len(a.Cutters), func(i int) (string, string) {
		c := &a.Cutters[i].Cutter
		return a.Cutters[i].Name, fmt.Sprintf("%s, %g deg", asWritten(c.Diameter, a.Units), *c.Angle)
	})
	list("BOARDS", len(a.Boards), func(i int) (string, string) {
		return a.Boards[i].Name, asWritten(&a.Boards[i].Thickness, a.Units)
	})
	if s.Len() == 0 {
		s.Para(0, "Nothing is listed here.")
	}
	return s.String()
}

// asWritten is a length as the operator wrote it, with its unit.
func asWritten(l *api.LengthIn, units api.Units) string {
	switch {
	case l == nil:
		return "not stated"
	case l.Form == api.LengthText:
		return l.Text
	case l.Form == api.LengthNumber && units == "in":
		return fmt.Sprintf("%g in", l.Number)
	}
	return fmt.Sprintf("%g mm", l.Number)
}
