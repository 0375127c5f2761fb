package wood

import (
	"errors"
	"fmt"
)

// Quantity names the stated quantity that an error is about.
type Quantity string

// Quantities that have a valid range. A moisture's standard uncertainty is
// named by the moisture's name and "_uncertainty".
const (
	QuantityTemperature       Quantity = "temperature"
	QuantityHumidity          Quantity = "relative_humidity"
	QuantityMoisture          Quantity = "moisture"
	QuantityPinBoardMoisture  Quantity = "pin_board_moisture"
	QuantityTailBoardMoisture Quantity = "tail_board_moisture"
	QuantityClimateMoisture   Quantity = "climate_moisture"
	QuantityPinBoardWidth     Quantity = "pin_board_width"
	QuantityTailBoardWidth    Quantity = "tail_board_width"
	QuantityPlay              Quantity = "play"
	QuantityLeastPlay         Quantity = "least_play"
	QuantityPitch             Quantity = "pitch"
	QuantityTailWidth         Quantity = "tail_width"
	QuantityPinWidth          Quantity = "pin_width"
	QuantityDepth             Quantity = "depth"
	QuantityDepthPinBoard     Quantity = "depth_pin_board"
	QuantityDepthTailBoard    Quantity = "depth_tail_board"
	QuantityNoseReach         Quantity = "nose_reach"
	QuantityInterference      Quantity = "interference"
	QuantityEngagedLength     Quantity = "engaged_length"
	QuantityAngle             Quantity = "angle"
	QuantityTails             Quantity = "tails"
	QuantityFriction          Quantity = "friction"
	QuantityFrictionLow       Quantity = "friction_low"
	QuantityFrictionHigh      Quantity = "friction_high"

	uncertaintySuffix = "_uncertainty"
)

const (
	unitCelsius    = "degC"
	unitPercent    = "%"
	unitMillimetre = "mm"
	unitDegree     = "deg"
	unitOne        = "1"

	// Range of every length of the service, mm.
	leastLength   = 0.1
	longestLength = 2000.0
)

// RangeError is the error for a quantity outside the range for which its
// formula is valid. Low and High themselves are valid.
type RangeError struct {
	Quantity         Quantity
	Value, Low, High float64
	Unit             string
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%s is %g %s, valid is %g to %g", e.Quantity, e.Value, e.Unit, e.Low, e.High)
}

// MissingError is the error for a species of which a property was not found
// that the answer needs.
type MissingError struct {
	Species  string
	Property PropertyName
}

func (e *MissingError) Error() string {
	return fmt.Sprintf("%s of %s is not known", e.Property, e.Species)
}

// RangeErrors returns every *RangeError in err, which may wrap or join several,
// in the order in which the quantities were checked.
func RangeErrors(err error) []*RangeError {
	switch e := err.(type) {
	case *RangeError:
		return []*RangeError{e}
	case interface{ Unwrap() error }:
		return RangeErrors(e.Unwrap())
	case interface{ Unwrap() []error }:
		var all []*RangeError
		for _, one := range e.Unwrap() {
			all = append(all, RangeErrors(one)...)
		}
		return all
	default:
		return nil
	}
}

// within returns a *RangeError unless low <= value <= high. NaN is outside.
func within(q Quantity, value, low, high float64, unit string) error {
	if value >= low && value <= high {
		return nil
	}
	return &RangeError{Quantity: q, Value: value, Low: low, High: high, Unit: unit}
}

// size returns a *RangeError for a length that no part of a joint has.
func size(q Quantity, mm float64) error {
	return within(q, mm, leastLength, longestLength, unitMillimetre)
}

// signed returns a *RangeError for a play or interference beyond all lengths.
func signed(q Quantity, mm float64) error {
	return within(q, mm, -longestLength, longestLength, unitMillimetre)
}

// moist returns the errors of a moisture content and its uncertainty.
func moist(q Quantity, m Moisture) error {
	return errors.Join(
		within(q, m.Percent, LeastMoisture, FiberSaturation, unitPercent),
		within(q+uncertaintySuffix, m.StandardUncertainty, 0, FiberSaturation/2, unitPercent),
	)
}
