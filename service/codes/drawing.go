package codes

import shapes "snugtail/joint/shape"

// DrawnParts name the parts of a drawing.
var DrawnParts = [shapes.PartCount]string{
	shapes.PinBoard: "pin_board", shapes.TailBoard: "tail_board", shapes.Overlap: "overlap", shapes.Wood: "wood",
	shapes.Cutter: "cutter", shapes.Shank: "shank", shapes.Template: "template", shapes.Bushing: "bushing",
	shapes.BushingSide: "bushing_side", shapes.RouterBase: "router_base", shapes.CutterAxis: "cutter_axis", shapes.BushingAxis: "bushing_axis",
}

// Measures name the dimensions of a drawing.
var Measures = [shapes.MeasureCount]string{
	shapes.PinWidest: "pin_widest", shapes.PinRoot: "pin_root", shapes.TailWidest: "tail_widest", shapes.TailRoot: "tail_root",
	shapes.PinSocketWidest: "pin_socket_widest", shapes.TailSocketWidest: "tail_socket_widest", shapes.Pitch: "pitch",
	shapes.Depth: "depth", shapes.DepthPinBoard: "depth_pin_board", shapes.DepthTailBoard: "depth_tail_board", shapes.Lap: "lap",
	shapes.Play: "play", shapes.ShoulderGap: "shoulder_gap", shapes.FloorGap: "floor_gap", shapes.SeatOffset: "seat_offset",
	shapes.FirstTouch: "first_touch", shapes.NoseRadius: "nose_radius", shapes.SocketRadius: "socket_radius",
	shapes.PinEndRadius: "pin_end_radius", shapes.TailThickness: "tail_thickness", shapes.CutterDiameter: "cutter_diameter",
	shapes.BushingDiameter: "bushing_diameter", shapes.BushingBore: "bushing_bore", shapes.FlareClearance: "flare_clearance",
	shapes.BelowBase: "below_base", shapes.BelowBushing: "below_bushing", shapes.CutterAngle: "cutter_angle",
}
