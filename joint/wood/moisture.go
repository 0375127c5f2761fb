package wood

import "errors"

// Range of equation (4-5) as it is used here: that of the rows of Table 4-2
// that were read, 30 to 120 degF, and of its columns. The handbook's own table
// goes hotter.
const (
	LeastTemperature    = -1.1 // degC
	GreatestTemperature = 48.9 // degC
	LeastHumidity       = 5    // %
	GreatestHumidity    = 95   // %
)

// Range of moisture content, %, for which strains are told: wood moves only
// between oven-dry and fiber saturation. Wood Handbook, FPL-GTR-190, ch. 13:
// equation (13-3) takes neither moisture content above 30 %.
const (
	LeastMoisture   = 0
	FiberSaturation = 30
)

// Standard uncertainties of moisture content, % of oven-dry mass.
const (
	// ReadingUncertainty is half of 1 %: Wood Handbook, FPL-GTR-190, ch. 13:
	// averages of meter readings below fiber saturation should lie within 1 %
	// of the true average.
	ReadingUncertainty = 0.5
	// AirUncertainty: one curve serves all species, and wood that dries stands
	// a little above it, wood that gains moisture a little below. Judgement.
	AirUncertainty = 0.5
)

// Moisture is a moisture content, % of oven-dry mass, and its standard
// uncertainty in the same unit: 0 is exact.
type Moisture struct{ Percent, StandardUncertainty float64 }

// Reading returns a moisture content as read from a meter.
func Reading(percent float64) Moisture { return Moisture{percent, ReadingUncertainty} }

// UnknownMoisture returns the moisture content of a board of which none was
// stated: that of furniture in most heated homes, its whole year's range taken
// as two standard uncertainties (see [HeatedHome]).
func UnknownMoisture() Moisture {
	return Moisture{homeAverage, (homeDamp - homeDry) / 4}
}

// Air is the air that wood stands in for long.
type Air struct{ TemperatureC, HumidityPercent float64 }

// Moisture returns the moisture content that wood takes on in the air, with
// AirUncertainty. Errors as of [EquilibriumMoisture].
func (a Air) Moisture() (Moisture, error) {
	percent, err := EquilibriumMoisture(a.TemperatureC, a.HumidityPercent)
	if err != nil {
		return Moisture{}, err
	}
	return Moisture{percent, AirUncertainty}, nil
}

// EquilibriumMoisture returns the equilibrium moisture content of wood, %, in
// air of temperature T, degC, and relative humidity h,
//
//	M = 1800/W (K h/(1 - K h) + (K1 K h + 2 K1 K2 K^2 h^2)/(1 + K1 K h + K1 K2 K^2 h^2))
//
// (Hailwood and Horrobin). T is LeastTemperature to GreatestTemperature, the
// humidity LeastHumidity to GreatestHumidity percent, else the error joins a
// *RangeError for each. It holds for wood of any species for most purposes, and
// differs from the printed table by at most 0.06, of which 0.05 is rounding.
// Source: Wood Handbook, FPL-GTR-190, equation (4-5) and Table 4-2.
func EquilibriumMoisture(temperatureC, relativeHumidityPercent float64) (percent float64, err error) {
	err = errors.Join(
		within(QuantityTemperature, temperatureC, LeastTemperature, GreatestTemperature, unitCelsius),
		within(QuantityHumidity, relativeHumidityPercent, LeastHumidity, GreatestHumidity, unitPercent),
	)
	if err != nil {
		return 0, err
	}
	t, h := temperatureC, relativeHumidityPercent/100
	w := 349 + 1.29*t + 0.0135*t*t
	k := 0.805 + 0.000736*t - 0.00000273*t*t
	k1 := 6.27 - 0.00938*t - 0.000303*t*t
	k2 := 1.91 + 0.0407*t - 0.000293*t*t
	kh := k * h
	hydrate, solution := k1*kh+2*k1*k2*kh*kh, 1+k1*kh+k1*k2*kh*kh
	return 1800 / w * (kh/(1-kh) + hydrate/solution), nil
}

// Season is when in the year a climate is judged.
type Season uint8

// Seasons of a climate.
const (
	SeasonOther Season = iota
	SeasonNow
	SeasonDry
	SeasonDamp
)

// String returns the season's code.
func (s Season) String() string {
	return code(s, "other", "now", "dry", "damp")
}

// Climate is what a joint has to live in: the moisture content that both
// boards take on there.
type Climate struct {
	Season   Season
	Moisture Moisture
}

// Moisture content of interior woodwork and furniture in most areas of the
// United States, %: average, and range of individual pieces. Wood Handbook,
// FPL-GTR-190, Table 13-2, from memory.
const homeAverage, homeDry, homeDamp = 8.0, 6.0, 10.0

// HeatedHome returns a heated home's year: now 8 %, dry 6 %, damp 10 %. It is
// the average and the range of individual pieces in [HeatedHomeSource], which
// tells what to install at, so a judgement as a year's range.
func HeatedHome() [3]Climate {
	return [3]Climate{
		{SeasonNow, Moisture{homeAverage, AirUncertainty}},
		{SeasonDry, Moisture{homeDry, AirUncertainty}},
		{SeasonDamp, Moisture{homeDamp, AirUncertainty}},
	}
}

// HeatedHomeSource returns where the numbers of [HeatedHome] stand.
func HeatedHomeSource() (source, table string, memory bool) {
	return "Wood Handbook, FPL-GTR-190 (2010)",
		"13-2, interior woodwork, flooring, furniture, wood trim; most areas of the United States", true
}

// code returns the name of an enumerated value, "" for one outside the list.
func code[E ~uint8](e E, names ...string) string {
	if int(e) >= len(names) {
		return ""
	}
	return names[e]
}
