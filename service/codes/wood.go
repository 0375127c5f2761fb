package codes

import "snugtail/joint/wood"

// Seasons are the seasons that a climate stands for.
var Seasons = map[string]wood.Season{
	"": wood.SeasonOther, wood.SeasonOther.String(): wood.SeasonOther, wood.SeasonNow.String(): wood.SeasonNow,
	wood.SeasonDry.String(): wood.SeasonDry, wood.SeasonDamp.String(): wood.SeasonDamp,
}

// Where a board's moisture at cutting comes from.
const (
	MoistureStated  = "stated"
	MoistureClimate = "climate"
	MoistureDefault = "default"
)
