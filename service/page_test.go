package service

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/api"
	"snugtail/joint/length"
)

// Answers that are made at the same desks one after the other, and at many at
// once, are those of a new page each.
func TestDesksAreClearedBetweenAnswers(t *testing.T) {
	s, err := New(Config{})
	require.NoError(t, err)
	var bodies, want []string
	for i := range 24 {
		units, more := "mm", ""
		if i%2 == 0 {
			units = "in"
		}
		if i%3 == 0 { // limits that are known, a cutter that is reground, a target to miss
			more = `,"pin_board":{"thickness":"19 mm"},"tail_board":{"thickness":"13 mm"}`
		}
		body := fmt.Sprintf(`{"units":%q,"setup":{"template":{"kind":"allowance","allowance":"2.5 mm"},"bushing":{"diameter":"11 mm"},`+
			`"cutter":{"diameter":"%.2f mm","angle":%d,"condition":%q},"depth":"%.1f mm"%s}}`,
			units, 12+float64(i)/20, 8+i%6, []string{"new", "used", "unknown"}[i%3], 8+float64(i)/10, more)
		question := new(api.FitPredictionRequest)
		require.NoError(t, json.Unmarshal([]byte(body), question))
		answer, err := predictFit(context.Background(), question)
		require.NoError(t, err, body)
		text := new(bytes.Buffer)
		require.NoError(t, encode(text, answer))
		bodies, want = append(bodies, body), append(want, text.String())
	}
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			for i := range 10 * len(bodies) {
				w := ask(s.Handler(), request("POST", "/v1/fit-predictions", bodies[i%len(bodies)]))
				if !assert.Equal(t, want[i%len(bodies)], w.Body.String()) {
					return
				}
			}
		})
	}
	wait.Wait()
}

// Texts and values stay as they are when more is written, also where a page is
// full, and when it is cleared the texts still do.
func TestPagesKeepWhatIsWritten(t *testing.T) {
	p, long := new(page), strings.Repeat("x", 3*pageText)
	var texts []string
	var lengths []*api.Length
	for i := range 500 {
		texts = append(texts, p.keep(fmt.Appendf(nil, "text %d", i)), p.join("joined ", fmt.Sprint(i)))
		lengths = append(lengths, p.length(api.Length{MM: float64(i)}))
		if i == 250 {
			assert.Equal(t, long, p.join(long))
		}
	}
	for i := range 500 {
		require.Equal(t, fmt.Sprint("text ", i), texts[2*i])
		require.Equal(t, fmt.Sprint("joined ", i), texts[2*i+1])
		require.Equal(t, float64(i), lengths[i].MM)
	}
	p.clear()
	assert.Equal(t, "other", p.keep([]byte("other")))
	assert.Equal(t, "text 499", texts[998])
	assert.Equal(t, api.Length{}, *p.lengths.one(1), "what was given out is zero")

	var none *page
	assert.Equal(t, "ab", none.join("a", "b"))
	assert.Equal(t, api.Length{MM: 1}, *none.length(api.Length{MM: 1}))
	assert.Equal(t, "8 mm", words{unit: length.UnitMillimetre}.l(8))
}

// A desk ends as any other context does.
func TestDesksEnd(t *testing.T) {
	s, err := New(Config{AnswerWithin: 20 * time.Millisecond})
	require.NoError(t, err)

	d := s.desk(context.Background())
	at, ok := d.Deadline()
	assert.True(t, ok)
	assert.Positive(t, time.Until(at))
	require.NoError(t, d.Err())
	time.Sleep(25 * time.Millisecond)
	require.ErrorIs(t, d.Err(), context.DeadlineExceeded)
	<-d.Done()

	s.clear(d) // which waited, and may be held
	assert.NotSame(t, d, s.desk(context.Background()))

	within, cancel := context.WithCancel(context.Background())
	d = s.desk(within)
	child, stop := context.WithCancel(d)
	defer stop()
	cancel()
	<-child.Done()
	require.ErrorIs(t, d.Err(), context.Canceled)
	require.ErrorIs(t, child.Err(), context.Canceled)

	sooner, cancel := context.WithTimeout(context.Background(), time.Millisecond)
	defer cancel()
	d = s.desk(sooner)
	at, _ = d.Deadline()
	soon, _ := sooner.Deadline()
	assert.Equal(t, soon, at)

	s, err = New(Config{AnswerWithin: time.Hour})
	require.NoError(t, err)
	d = s.desk(context.Background())
	child, stop = context.WithCancel(d)
	defer stop()
	s.clear(d)
	<-child.Done() // what was begun within it ends with it
}
