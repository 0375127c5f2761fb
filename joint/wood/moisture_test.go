package wood_test

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"snugtail/joint/wood"
)

// Wood Handbook, FPL-GTR-190, Table 4-2, 30 to 120 degF: all 190 points. The
// table is rounded to 0.1, so 0.05 is its own; coefficients and temperatures
// rounded to print do the rest.
func TestTable42(t *testing.T) {
	const tolerance = 0.06
	points, worst := 0, 0.0
	for _, p := range table42(t) {
		got, err := wood.EquilibriumMoisture(p.temperature, p.humidity)
		require.NoError(t, err)
		assert.InDelta(t, p.percent, got, tolerance, "%g degC, %g %%", p.temperature, p.humidity)
		worst = math.Max(worst, math.Abs(got-p.percent))
		points++
	}
	assert.Equal(t, 190, points)
	t.Logf("largest difference %.4f %%", worst)
}

type point struct{ temperature, humidity, percent float64 }

func table42(t *testing.T) (points []point) {
	t.Helper()
	file, err := os.Open("testdata/table-4-2.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	number := func(text string) float64 {
		v, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		return v
	}
	for _, row := range rows[1:] {
		for i, percent := range row[2:] {
			points = append(points, point{number(row[1]), number(rows[0][i+2]), number(percent)})
		}
	}
	return points
}

// Wood Handbook, FPL-GTR-190, Table 4-2 at 70 degF.
func ExampleEquilibriumMoisture() {
	for _, humidity := range []float64{65, 40} {
		percent, err := wood.EquilibriumMoisture(21.1, humidity)
		fmt.Printf("%.1f %% %v\n", percent, err)
	}
	// Output:
	// 12.0 % <nil>
	// 7.7 % <nil>
}

func TestAirOutOfRange(t *testing.T) {
	for _, row := range []struct {
		temperature, humidity float64
		want                  []wood.Quantity
	}{
		{-1.2, 50, []wood.Quantity{wood.QuantityTemperature}},
		{60, 50, []wood.Quantity{wood.QuantityTemperature}},
		{20, 4.9, []wood.Quantity{wood.QuantityHumidity}},
		{20, 95.1, []wood.Quantity{wood.QuantityHumidity}},
		{-300, 400, []wood.Quantity{wood.QuantityTemperature, wood.QuantityHumidity}},
		{math.NaN(), math.Inf(1), []wood.Quantity{wood.QuantityTemperature, wood.QuantityHumidity}},
	} {
		_, err := wood.Air{TemperatureC: row.temperature, HumidityPercent: row.humidity}.Moisture()
		assert.Equal(t, row.want, quantities(err), "%+v", row)
	}
	_, err := wood.EquilibriumMoisture(60, 50)
	var rangeError *wood.RangeError
	require.True(t, errors.As(err, &rangeError))
	assert.Equal(t, wood.RangeError{wood.QuantityTemperature, 60, -1.1, 48.9, "degC"}, *rangeError)
	assert.EqualError(t, rangeError, "temperature is 60 degC, valid is -1.1 to 48.9")
}

func quantities(err error) (all []wood.Quantity) {
	for _, e := range wood.RangeErrors(err) {
		all = append(all, e.Quantity)
	}
	return all
}

// Damper air makes damper wood; warmer air at the same humidity drier wood.
func TestMoistureIsMonotone(t *testing.T) {
	temperature := rapid.Float64Range(wood.LeastTemperature, wood.GreatestTemperature-1)
	humidity := rapid.Float64Range(wood.LeastHumidity, wood.GreatestHumidity-1)
	rapid.Check(t, func(t *rapid.T) {
		c, h := temperature.Draw(t, "degC"), humidity.Draw(t, "%")
		m := mustEMC(t, c, h)
		assert.Greater(t, mustEMC(t, c, h+1), m)
		assert.True(t, m > wood.LeastMoisture && m < wood.FiberSaturation)
		if c > 10 { // below, the table itself levels out
			assert.Less(t, mustEMC(t, c+1, h), m)
		}
	})
}

func mustEMC(t require.TestingT, c, h float64) float64 {
	percent, err := wood.EquilibriumMoisture(c, h)
	require.NoError(t, err)
	return percent
}

// Table 13-2, most areas, from memory.
func TestHeatedHome(t *testing.T) {
	year := wood.HeatedHome()
	for i, row := range []struct {
		season  wood.Season
		code    string
		percent float64
	}{{wood.SeasonNow, "now", 8}, {wood.SeasonDry, "dry", 6}, {wood.SeasonDamp, "damp", 10}} {
		assert.Equal(t, row.season, year[i].Season)
		assert.Equal(t, row.code, year[i].Season.String())
		assert.Equal(t, row.percent, year[i].Moisture.Percent)
	}
	_, table, memory := wood.HeatedHomeSource()
	assert.Contains(t, table, "13-2")
	assert.True(t, memory)
	assert.Equal(t, wood.Moisture{8, 1}, wood.UnknownMoisture())
	assert.Equal(t, wood.Moisture{9, 0.5}, wood.Reading(9))
}
