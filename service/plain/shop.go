package plain

import (
	"snugtail/api"
	"snugtail/service/message"
)

// Shop lists what a shop has, as the operator wrote it.
func Shop(in *message.Printer, a *api.Shop) string {
	s := NewLines(in)
	if a.Name != "" {
		s.Para(0, a.Name)
	}
	list := func(what string, n int, one func(i int) (name, size string)) {
		if n == 0 {
			return
		}
		s.Title(s.shop(what))
		for i := range n {
			name, size := one(i)
			s.Para(4, "- "+name+": "+size)
		}
	}
	list("templates", len(a.Templates), func(i int) (string, string) {
		return a.Templates[i].Name, s.shop("kind." + a.Templates[i].Template.Kind)
	})
	list("bushings", len(a.Bushings), func(i int) (string, string) {
		return a.Bushings[i].Name, s.asWritten(a.Bushings[i].Bushing.Diameter, a.Units)
	})
	list("cutters", len(a.Cutters), func(i int) (string, string) {
		c := &a.Cutters[i].Cutter
		return a.Cutters[i].Name, s.shop("cutter", message.Name("diameter", s.asWritten(c.Diameter, a.Units)), message.Number("angle", *c.Angle))
	})
	list("boards", len(a.Boards), func(i int) (string, string) {
		return a.Boards[i].Name, s.asWritten(&a.Boards[i].Thickness, a.Units)
	})
	if s.Len() == 0 {
		s.Para(0, s.shop("nothing"))
	}
	return s.String()
}

// shop is a text of this form.
func (s *Lines) shop(key string, params ...message.Param) string {
	return s.Of("plain.shop."+key, params...)
}

// asWritten is a length as the operator wrote it, with its unit.
func (s *Lines) asWritten(l *api.LengthIn, units api.Units) string {
	switch {
	case l.Form == api.LengthText:
		return l.Text
	case l.Form == api.LengthNumber && units == "in":
		return s.shop("inches", message.Number("length", l.Number))
	}
	return s.shop("millimetres", message.Number("length", l.Number))
}
