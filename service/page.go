package service

import (
	"context"
	"strings"
	"sync"
	"time"

	"snugtail/api"
	"snugtail/joint"
	"snugtail/joint/length"
)

// desk is what one answer is worked out at: the time that there is for it, and
// the page that it is written on. As a context it ends with the request or when
// the time is over. Most answers are there long before anyone would ask to be
// woken, so that the timer is only made for who does.
type desk struct {
	context.Context // the request's
	until           time.Time

	mu     sync.Mutex
	timed  context.Context // once someone waits
	cancel context.CancelFunc

	page page
}

// desk sets one up; clear it when the answer is written.
func (s *Service) desk(ctx context.Context) *desk {
	d := s.desks.Get().(*desk)
	d.Context, d.until = ctx, time.Now().Add(s.config.AnswerWithin)
	return d
}

// clear ends the time and gives the desk to the next answer. What stands on the
// page is gone then. A desk that someone waited at is not used again: they may
// still hold it.
func (s *Service) clear(d *desk) {
	d.mu.Lock()
	waited := d.cancel
	d.mu.Unlock()
	if waited != nil {
		waited()
		return
	}
	d.Context = nil
	d.page.clear()
	s.desks.Put(d)
}

// Deadline returns when the time is over.
func (d *desk) Deadline() (time.Time, bool) {
	if earlier, ok := d.Context.Deadline(); ok && earlier.Before(d.until) {
		return earlier, true
	}
	return d.until, true
}

// Done returns the channel that is closed when the time is over.
func (d *desk) Done() <-chan struct{} { return d.waiting().Done() }

// waiting makes the timer.
func (d *desk) waiting() context.Context {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.timed == nil {
		d.timed, d.cancel = context.WithDeadline(d.Context, d.until)
	}
	return d.timed
}

// Err returns why the time is over, or nil.
func (d *desk) Err() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.timed != nil {
		return d.timed.Err()
	}
	if err := d.Context.Err(); err != nil {
		return err
	}
	if !time.Now().Before(d.until) {
		return context.DeadlineExceeded
	}
	return nil
}

// page is what an answer is written on: one piece of memory for its texts and
// one for each kind of value in it, where each of some hundred would have one
// of its own. A nil page gives each its own.
type page struct {
	text strings.Builder

	predictions   slab[api.FitPredictionAnswer]
	lengths       slab[api.Length]
	widths        slab[api.Widths]
	limits        slab[api.Limit]
	truths        slab[bool]
	contributions slab[api.Contribution]
	measures      slab[api.MeasureFirst]
	cautions      slab[api.Caution]
	regrinds      slab[api.Regrind]
}

// pageText is room for the texts of several answers, in bytes: most have 2 KB.
const pageText = 16 << 10

// pageOf is the page at the desk that ctx is, or a new one.
func pageOf(ctx context.Context) *page {
	if d, ok := ctx.(*desk); ok {
		return &d.page
	}
	return new(page)
}

// words are for an answer: what they say stands on a page.
func (r *reader) words(ctx context.Context) words { return words{unit: r.unit, page: pageOf(ctx)} }

// paper is the page, or one for what is said outside of an answer.
func (w words) paper() *page {
	if w.page == nil {
		return new(page)
	}
	return w.page
}

// clear takes back the values. The texts stay, and the next answer's come behind
// them: what was written once is never written over.
func (p *page) clear() {
	p.predictions.clear()
	p.lengths.clear()
	p.widths.clear()
	p.limits.clear()
	p.truths.clear()
	p.contributions.clear()
	p.measures.clear()
	p.cautions.clear()
	p.regrinds.clear()
}

// keep makes a text of b.
func (p *page) keep(b []byte) string {
	if p == nil {
		return string(b)
	}
	start := p.begin(len(b))
	p.text.Write(b)
	return p.text.String()[start:]
}

// join makes one text of its parts.
func (p *page) join(parts ...string) string {
	if p == nil {
		return strings.Join(parts, "")
	}
	size := 0
	for _, part := range parts {
		size += len(part)
	}
	start := p.begin(size)
	for _, part := range parts {
		p.text.WriteString(part)
	}
	return p.text.String()[start:]
}

// begin makes room for size more bytes and returns where they will stand. Texts
// that were made stay as they are: a Builder writes nothing twice.
func (p *page) begin(size int) int {
	if p.text.Cap()-p.text.Len() < size {
		p.text = strings.Builder{}
		p.text.Grow(max(pageText, size))
	}
	return p.text.Len()
}

// length keeps a length that the answer may also leave out.
func (p *page) length(l api.Length) *api.Length {
	if p == nil {
		alone := l // not &l, which would put every l there is on the heap
		return &alone
	}
	out := p.lengths.one(2 * int(joint.LimitCount))
	*out = l
	return out
}

// slab is a piece of memory for values of one type.
type slab[T any] struct {
	all  []T
	used int
}

// some returns n values, all zero. A full slab leaves its piece to those who
// have it and begins another, of at least room values.
func (s *slab[T]) some(n, room int) []T {
	if len(s.all)-s.used < n {
		s.all, s.used = make([]T, max(n, room)), 0
	}
	from := s.used
	s.used += n
	return s.all[from:s.used:s.used]
}

func (s *slab[T]) one(room int) *T { return &s.some(1, room)[0] }

// clear takes back what was given out last.
func (s *slab[T]) clear() {
	clear(s.all[:s.used])
	s.used = 0
}

// l prints a length as a person at the bench reads it.
func (w words) l(x length.Length) string {
	var buffer [48]byte
	return w.page.keep(x.AppendText(buffer[:0], w.unit))
}

// precise prints what is read by a caliper, such as plays, gaps and margins:
// decimals in either unit.
func (w words) precise(x length.Length) string {
	var buffer [48]byte
	return w.page.keep(x.AppendDecimal(buffer[:0], w.unit))
}
