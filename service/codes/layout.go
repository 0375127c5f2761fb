package codes

import "snugtail/joint/layout"

// Centres are what a layout is centred on.
var Centres = [...]string{layout.OnPin: "pin", layout.OnTail: "tail"}

// Endings are what stands at a board's edges.
var Endings = [...]string{layout.EndsInHalfPin: "half_pin", layout.EndsInPartPin: "part_pin", layout.EndsInWholePin: "whole_pin", layout.EndsInTail: "part_tail"}

// Shares are how much of a pin or tail there is.
var Shares = [...]string{layout.Whole: "whole", layout.Half: "half", layout.Partly: "part"}

// Sides are the sides of a drawer.
var Sides = [...]string{layout.Left: "left", layout.Right: "right"}

// Depthwise are its front and back.
var Depthwise = [...]string{layout.Front: "front", layout.Back: "back"}

// Runs are the ways along a board, by the stop where they begin.
var Runs = [...]string{layout.Left: "left_to_right", layout.Right: "right_to_left"}

// CornerLabels are the corners of a drawer.
var CornerLabels = [...][2]string{layout.Front: {"FL", "FR"}, layout.Back: {"BL", "BR"}}
