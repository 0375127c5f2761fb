package read

import (
	"maps"
	"slices"
	"strconv"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/belief"
	"snugtail/joint/length"
	"snugtail/joint/parts"
	"snugtail/joint/stock"
	"snugtail/service/codes"
	"snugtail/service/problem"
	"snugtail/service/say"
)

func DrawerParts(r *Reader, in *api.DrawerPartsRequest) { r.PartsJob(in) }

// PartsJob reads what drawers are to be made of what.
func (r *Reader) PartsJob(in *api.DrawerPartsRequest) parts.Job {
	setup, sessions := r.drawerSetup(in.Setup)
	job := parts.Job{Setup: setup, Earlier: sessions, Observer: r.Observer, Bands: r.Bands, Rates: ratesOf(in.Rates)}
	job.Cutters = r.cuttersForParts(in, setup.Cutter)
	places := r.stockOf(in.Stock, &job)
	job.Drawers = make([]parts.Drawer, len(in.Drawers))
	labels := make(map[string]bool, len(in.Drawers))
	for i := range in.Drawers {
		base := "/drawers/" + strconv.Itoa(i)
		if d := &in.Drawers[i]; d.ID != "" && labels[d.ID] {
			r.fail(base, "id", problem.CodeConflict, "label_twice")
		}
		labels[in.Drawers[i].ID] = true
		job.Drawers[i] = r.drawer(&in.Drawers[i], places, base)
	}
	setup.PinBoard.Width = length.Exactly(highestOf(job.Drawers))
	job.Target = r.Target(in.Target, setup.Tails())
	if len(in.Climates) > 0 {
		job.Climates = r.climates(in.Climates)
	}
	job.Rough = r.rough(in.RoughAllowance)
	r.heightRules(in, &setup)
	return job
}

// drawerSetup reads a set-up without boards.
func (r *Reader) drawerSetup(in *api.DrawerSetup) (joint.Setup, []belief.Session) {
	if in == nil { // only in a request that is refused for it
		return joint.Setup{}, nil
	}
	return r.Setup(&api.Setup{
		Record: in.Record, Template: in.Template, Bushing: in.Bushing, Cutter: in.Cutter,
		Depth: in.Depth, Router: in.Router, SideStopError: in.SideStopError,
	})
}

// cuttersForParts are the request's and with them the set-up's own, or the
// set-up's own as it stands, or else all built-in ones.
func (r *Reader) cuttersForParts(in *api.DrawerPartsRequest, own joint.Cutter) []joint.Cutter {
	isOwn := own.Diameter.Given && own.Angle > 0
	if len(in.Cutters) == 0 {
		if isOwn {
			return nil
		}
		return stock.Cutters()
	}
	var all []joint.Cutter
	if isOwn {
		all = append(all, own)
	}
	for i := range in.Cutters {
		if cutter, ok := r.cutterAtHand(&in.Cutters[i], "/cutters/"+strconv.Itoa(i)); ok {
			all = append(all, cutter)
		}
	}
	return all
}

// stockOf reads the stock and returns where each stands, by id.
func (r *Reader) stockOf(in []api.DrawerStock, job *parts.Job) map[string]int {
	places := make(map[string]int, len(in))
	job.Stock = make([]parts.Stock, len(in))
	for i := range in {
		base := "/stock/" + strconv.Itoa(i)
		job.Stock[i] = r.drawerStock(&in[i], base)
		if _, twice := places[in[i].ID]; twice {
			r.fail(base, "id", problem.CodeConflict, "stock_twice")
			continue
		}
		places[in[i].ID] = i
	}
	return places
}

func (r *Reader) drawerStock(in *api.DrawerStock, base string) parts.Stock {
	known := r.stock(in.Species, in.Grain, in.Moisture, nil, base)
	thickness := r.size(in.Thickness, positive, base, "thickness")
	s := parts.Stock{
		Thickness: thickness.Length, Tolerance: length.Size{Length: thickness.Tolerance, Given: thickness.HasTolerance},
		Material: codes.Materials[in.Material], Species: known.Species, Grain: known.Grain,
		Moisture: known.Moisture, MoistureKnown: known.MoistureKnown,
	}
	if in.Climate == nil {
		return s
	}
	if in.Moisture != nil {
		r.fail(base, "climate", problem.CodeConflict, "moisture_twice")
		return s
	}
	s.Moisture, s.MoistureKnown = r.air(in.Climate.Temperature, in.Climate.Humidity, nil, base+"/climate"), true
	return s
}

// rough is what is added to saw parts out.
func (r *Reader) rough(in *api.RoughAllowance) parts.RoughAllowance {
	if in == nil {
		return parts.RoughAllowance{}
	}
	const base = "/rough_allowance"
	return parts.RoughAllowance{
		Given:     true,
		Length:    r.size(in.Length, fromZero, base, "length").Length,
		Width:     r.size(in.Width, fromZero, base, "width").Length,
		Thickness: r.size(in.Thickness, fromZero, base, "thickness").Length,
	}
}

// heightRules tells where a rule of height can't be kept.
func (r *Reader) heightRules(in *api.DrawerPartsRequest, s *joint.Setup) {
	for i := range in.Drawers {
		d, base := &in.Drawers[i], "/drawers/"+strconv.Itoa(i)
		rule := codes.HeightRules[d.HeightRule]
		switch {
		case rule == parts.ExactHeight:
		case rule == parts.HalfPinsUp && d.Opening != nil:
			r.fail(base, "height_rule", problem.CodeConflict, "half_pins_up_in_opening")
		case d.SidesHeight != nil:
			r.fail(base, "height_rule", problem.CodeConflict, "height_rule_of_sides")
		case in.Setup != nil && (in.Setup.Template != nil || in.Setup.Record != nil) && !s.Template.KnownByOpenings():
			r.fail(base, "height_rule", problem.CodeConflict, "height_rule_needs_openings")
		}
	}
}

func (r *Reader) drawer(in *api.Drawer, places map[string]int, base string) parts.Drawer {
	d := parts.Drawer{
		Count: max(in.Count, 1), // left out, it is one
		Front: r.place(in.Front, places, base, "front"), Sides: r.place(in.Sides, places, base, "sides"),
		BackFrom: r.place(in.Back, places, base, "back"), Bottom: parts.NoBottom,
		Back:   r.backPanel(in, base),
		Groove: r.drawerGroove(in.Groove, base+"/groove"),
		Lip:    r.lip(in.Lip, base+"/lip"),
		Sawn:   r.size(in.SidesSawn, positive, base, "sides_sawn"),

		HeightRule:  codes.HeightRules[in.HeightRule],
		SidesHeight: r.size(in.SidesHeight, positive, base, "sides_height"),
		BackHeight:  r.size(in.BackHeight, positive, base, "back_height"),
	}
	if in.Bottom != "" {
		d.Bottom = r.place(in.Bottom, places, base, "bottom")
	}
	d.Outside, d.Room = r.outside(in, d.Lip, base)
	return d
}

// place finds stock by its id.
func (r *Reader) place(id string, places map[string]int, base, name string) int {
	place, ok := places[id]
	if !ok && id != "" { // one that is missing is told by the contract
		r.refuse(base, name, problem.CodeUnknownID, say.StockUnknown(id, slices.Sorted(maps.Keys(places))))
	}
	return place
}

func (r *Reader) backPanel(in *api.Drawer, base string) parts.BackPanel {
	b := parts.BackPanel{
		Joint:   codes.BackJoints[in.BackJoint],
		Housing: r.size(in.HousingDepth, positive, base, "housing_depth").Length,
		Setback: r.size(in.Setback, fromZero, base, "setback").Length,
	}
	switch housed := b.Joint == parts.HousedBack; {
	case housed && in.HousingDepth == nil:
		r.fail(base, "housing_depth", problem.CodeMissing, "housing")
	case !housed && in.HousingDepth != nil:
		r.fail(base, "housing_depth", problem.CodeConflict, "housing_not_needed")
	}
	if b.Joint == parts.HalfBlindBack && in.Setback != nil {
		r.fail(base, "setback", problem.CodeConflict, "setback_not_needed")
	}
	return b
}

func (r *Reader) drawerGroove(in *api.DrawerGroove, base string) parts.Groove {
	if in == nil {
		return parts.Groove{}
	}
	return parts.Groove{
		Given:      true,
		FromBottom: r.size(in.FromBottom, fromZero, base, "from_bottom").Length,
		Width:      r.size(in.Width, positive, base, "width").Length,
		Depth:      r.size(in.Depth, positive, base, "depth").Length,
		Clearance:  r.size(in.Clearance, fromZero, base, "clearance").Length,
		UnderBack:  in.UnderBack,
	}
}

func (r *Reader) lip(in *api.DrawerLip, base string) parts.Lip {
	if in == nil {
		return parts.Lip{}
	}
	return parts.Lip{
		Given:     true,
		Width:     r.size(in.Width, positive, base, "width").Length,
		Thickness: r.size(in.Thickness, positive, base, "thickness").Length,
		Edges:     codes.LipEdges[in.Edges],
	}
}

// outside is the size as stated, or that of the opening less the allowance.
// and what the opening leaves free.
func (r *Reader) outside(in *api.Drawer, lip parts.Lip, base string) (parts.Size, parts.Room) {
	var allowance parts.Size
	if a := in.Allowance; a != nil {
		at := base + "/allowance"
		allowance = parts.Size{
			Width:  r.size(a.Width, fromZero, at, "width").Length,
			Height: r.size(a.Height, fromZero, at, "height").Length,
			Depth:  r.size(a.Depth, fromZero, at, "depth").Length,
		}
	}
	switch {
	case in.Outside == nil && in.Opening == nil:
		r.fail(base, "outside", problem.CodeMissing, "drawer_size")
	case in.Outside != nil && in.Opening != nil:
		r.fail(base, "opening", problem.CodeConflict, "drawer_size_twice")
	case in.Outside != nil && in.Allowance != nil:
		r.fail(base, "allowance", problem.CodeConflict, "allowance_not_needed")
	}
	if in.Outside != nil {
		return r.drawerSize(in.Outside, base+"/outside"), parts.Room{}
	}
	room := parts.Room{Known: true, Width: allowance.Width, Height: allowance.Height}
	return parts.FromOpening(r.drawerSize(in.Opening, base+"/opening"), allowance, lip), room
}

func (r *Reader) drawerSize(in *api.DrawerSize, base string) parts.Size {
	if in == nil {
		return parts.Size{}
	}
	return parts.Size{
		Width:  r.size(in.Width, positive, base, "width").Length,
		Height: r.size(in.Height, positive, base, "height").Length,
		Depth:  r.size(in.Depth, positive, base, "depth").Length,
	}
}

// ratesOf: a rate that is left out counts nothing.
func ratesOf(in *api.LabourRates) parts.Rates {
	if in == nil {
		return parts.Rates{}
	}
	of := func(minutes *float64) float64 {
		if minutes == nil {
			return 0
		}
		return *minutes
	}
	return parts.Rates{
		Given: true,
		Setup: of(in.Setup), TestJoint: of(in.TestJoint), Joint: of(in.Joint),
		Opening: of(in.Opening), Metre: of(in.Metre), Part: of(in.Part),
	}
}

// highestOf is the height of the highest drawer.
func highestOf(drawers []parts.Drawer) length.Length {
	var most length.Length
	for i := range drawers {
		most = max(most, drawers[i].Outside.Height)
	}
	return most
}
