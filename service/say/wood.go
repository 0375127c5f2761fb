package say

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"snugtail/joint/length"
	"snugtail/joint/wood"
)

// What is told of wood and its movement.

const (
	MovementWidthMissing = "Say how wide the boards are, across the joint: here or in the set-up."
	MovementJointMissing = "Give the set-up that cuts the joint; or say in joint what is known of it: play, pitch, tail_widest and depth."
	MoistureTwice        = "The board's moisture is stated already: give moisture or climate."
	ToleranceAlone       = "A tolerance needs the moisture that it is of, or the climate."
	AirIncomplete        = "Air is known by its temperature and its humidity: give both."
	ClimateTwice         = "Say moisture, or temperature and humidity, not both."
	ClimateEmpty         = "Say what the climate is: moisture, or temperature and humidity."
)

// JointSizeMissing says why a size of the joint is asked for.
func JointSizeMissing(name string) string { return jointSizesMissing[name] }

var jointSizesMissing = map[string]string{
	"play":        "Say how much play the joint was cut with, both flanks together.",
	"depth":       "Say how deep the joint was cut, in the wood.",
	"pitch":       "The pitch follows from no set-up here: say how far the tails stand from centre to centre.",
	"tail_widest": "The tails' width follows from no set-up here: say how wide they are at their end.",
}

func SpeciesNotFound(id string) string {
	return SpeciesUnknown(id) + " GET /v1/species lists them."
}

// Outside says what range a quantity is outside of.
func (w Words) Outside(e *wood.RangeError) string {
	value, low, high := w.quantity(e, e.Value), w.quantity(e, e.Low), w.quantity(e, e.High)
	text := fmt.Sprintf("%s is out of range: it must be %s to %s", value, low, high)
	switch e.Quantity {
	case wood.QuantityPinBoardWidth, wood.QuantityTailBoardWidth:
		if e.Value < e.Low {
			return fmt.Sprintf("A board %s wide is narrower than one pitch, %s: there is no whole tail on it", value, low)
		}
	case wood.QuantityTailWidth:
		if e.Value > e.High {
			return fmt.Sprintf("Tails %s wide leave no pins on a pitch of %s", value, high)
		}
	case wood.QuantityTemperature, wood.QuantityHumidity:
		return text + ", for which the handbook's equation of moisture was read"
	}
	return text
}

func (w Words) quantity(e *wood.RangeError, value float64) string {
	if e.Unit == "mm" {
		return w.Precise(length.Length(value))
	}
	return strings.TrimSpace(tenths(value) + " " + map[string]string{"degC": "deg C", "%": "%"}[e.Unit])
}

// tenths writes a figure to one decimal.
func tenths(x float64) string { return strconv.FormatFloat(math.Round(x*10)/10+0, 'f', -1, 64) }
