package read

import (
	"strconv"

	"snugtail/api"
	"snugtail/joint/wood"
	"snugtail/service/problem"
	"snugtail/service/say"
)

// Shop finds what stands for nothing in the operator's list of what a shop has:
// texts that are no lengths, sizes out of range, impossible templates, unknown
// wood, and two of a kind with one name.
func Shop(r *Reader, in *api.Shop) {
	named := map[string]bool{}
	once := func(list string, i int, name string) {
		if named[list+"/"+name] {
			r.refuse(at(list, i), "name", problem.CodeConflict, say.NamedTwice(name))
		}
		named[list+"/"+name] = true
	}
	for i := range in.Templates {
		base := at("/templates", i)
		r.onePiece = false
		r.template(&in.Templates[i].Template, base+"/template")
		once("/templates", i, in.Templates[i].Name)
	}
	for i := range in.Bushings {
		base := at("/bushings", i)
		r.bushing(&in.Bushings[i].Bushing, base+"/bushing")
		once("/bushings", i, in.Bushings[i].Name)
	}
	for i := range in.Cutters {
		base := at("/cutters", i)
		r.cutter(&in.Cutters[i].Cutter, base+"/cutter")
		once("/cutters", i, in.Cutters[i].Name)
	}
	for i := range in.Boards {
		base, board := at("/boards", i), &in.Boards[i]
		r.size(&board.Thickness, positive, base, "thickness")
		once("/boards", i, board.Name)
		if _, known := wood.ByID(board.Species); board.Species != "" && !known {
			r.refuse(base, "species", problem.CodeUnknownID, say.SpeciesUnknown(board.Species))
		}
	}
}

func at(list string, i int) string { return list + "/" + strconv.Itoa(i) }
