package seasons

import (
	"fmt"
	"math"

	"snugtail/joint/wood"
)

// Sweep is a walk through the air's humidity, in even steps from From to To.
type Sweep struct {
	TemperatureC float64
	From, To     float64 // relative humidity, %
	Steps        int     // 1 to MostSteps; a walk has one point more
}

// MostSteps is the longest sweep, steps of a hundredth of a percent.
const MostSteps = 10_000

// QuantitySteps names a sweep's steps.
const QuantitySteps wood.Quantity = "steps"

// Point is the joint at one humidity.
type Point struct {
	Humidity float64 // relative, %
	Outcome
}

// OverHumidity returns the joint at every point of a sweep, its boards having
// taken on the moisture of that air. Errors as of Through, for air outside its
// range those of wood.EquilibriumMoisture, and a *wood.RangeError for too few
// or too many steps.
func (q *Question) OverHumidity(s Sweep) ([]Point, error) {
	if s.Steps < 1 || s.Steps > MostSteps {
		return nil, &wood.RangeError{Quantity: QuantitySteps, Value: float64(s.Steps), Low: 1, High: MostSteps, Unit: "1"}
	}
	points := make([]Point, s.Steps+1)
	climates := make([]wood.Climate, len(points))
	for i := range points {
		points[i].Humidity = s.From + (s.To-s.From)*float64(i)/float64(s.Steps)
		moisture, err := wood.Air{TemperatureC: s.TemperatureC, HumidityPercent: points[i].Humidity}.Moisture()
		if err != nil {
			return nil, fmt.Errorf("at %g %%: %w", points[i].Humidity, err)
		}
		climates[i] = wood.Climate{Moisture: moisture}
	}
	year, err := q.Through(climates)
	if err != nil {
		return nil, err
	}
	for i := range points {
		points[i].Outcome = year.Outcomes[i]
	}
	return points, nil
}

// HumidityOf returns the relative humidity, %, at which wood takes on a
// moisture content in air of some temperature, degC; ok is false where that
// lies outside the range of wood.EquilibriumMoisture. It is that equation
// solved by bisection, to 1e-6 %.
func HumidityOf(moisture, temperatureC float64) (humidity float64, ok bool) {
	low, high := float64(wood.LeastHumidity), float64(wood.GreatestHumidity)
	driest, err := wood.EquilibriumMoisture(temperatureC, low)
	if err != nil || !(moisture >= driest) {
		return 0, false
	}
	if dampest, err := wood.EquilibriumMoisture(temperatureC, high); err != nil || moisture > dampest {
		return 0, false
	}
	for range int(math.Log2((high-low)/1e-6)) + 1 {
		middle := (low + high) / 2
		if m, _ := wood.EquilibriumMoisture(temperatureC, middle); m < moisture {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2, true
}
