package draw

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Labels that would cover each other are stacked about the mean of where they
// belong; one that is clear of them stays there.
func TestLabelsStayWhereTheyBelong(t *testing.T) {
	at := func(wanted ...float64) (all []float64) {
		c := column{}
		for _, y := range wanted {
			c.labels = append(c.labels, label{Dim: &Dim{}, wanted: y, height: 4})
		}
		c.spread()
		for _, l := range c.labels {
			all = append(all, l.at)
		}
		return all
	}
	assert.Equal(t, []float64{10, 30}, at(30, 10))
	assert.Equal(t, []float64{9, 13}, at(10, 12), "about 11")
	assert.Equal(t, []float64{7, 11, 15, 40}, at(10, 11, 12, 40), "about 11")
	assert.Equal(t, []float64{10, 14}, at(10, 14), "side by side")
}
