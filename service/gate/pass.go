package gate

import (
	"context"
	"time"

	"github.com/labstack/echo/v4"
)

// passKey is where a request's context keeps its pass.
const passKey = "pass"

// Pass is how one request, or one item of a batch, takes its place. A request
// without one is not gated.
type Pass struct {
	gate   *Gate
	client string
	ctx    context.Context
	isItem bool
	cost   time.Duration
	class  *class // nil without a place
}

// PassOf returns a request's pass.
func PassOf(c echo.Context) *Pass {
	p, _ := c.Get(passKey).(*Pass)
	return p
}

// Item is a pass for one item of a batch, whose work ends with ctx.
func (p *Pass) Item(ctx context.Context) *Pass {
	if p == nil {
		return nil
	}
	return &Pass{gate: p.gate, client: p.client, ctx: ctx, isItem: true}
}

// Enter waits for a place for work that is estimated to take that long on one
// processor. Items of batches are long work, whatever they cost.
func (p *Pass) Enter(cost time.Duration) error {
	if p == nil {
		return nil
	}
	class := &p.gate.places.long
	if !p.isItem {
		class = p.gate.places.classOf(cost)
	}
	if err := class.enter(p.ctx, p.client, cost, p.isItem); err != nil {
		return err
	}
	p.class, p.cost = class, cost
	return nil
}

// Now says what the work is estimated to cost now that more is known of it. Work
// that is no longer quick waits for another place.
func (p *Pass) Now(cost time.Duration) error {
	if p == nil || p.class == nil || cost <= p.cost {
		return nil
	}
	if p.class == &p.gate.places.long || cost <= Quick {
		p.class.charge(p.client, cost-p.cost, p.isItem)
		p.cost = cost
		return nil
	}
	p.Leave()
	return p.Enter(cost)
}

// Leave gives the place back, if there is one.
func (p *Pass) Leave() {
	if p == nil || p.class == nil {
		return
	}
	p.class.leave()
	p.class = nil
}

type passIn struct{}

// With returns a context in which the work of an item finds its pass.
func (p *Pass) With(ctx context.Context) context.Context { return context.WithValue(ctx, passIn{}, p) }

// PassIn returns the pass of the item that ctx is for.
func PassIn(ctx context.Context) *Pass {
	p, _ := ctx.Value(passIn{}).(*Pass)
	return p
}

// Pace waits until the client's rate allows one question more.
func (p *Pass) Pace(ctx context.Context) error {
	if p == nil || p.gate.rates == nil {
		return nil
	}
	for {
		wait := p.gate.rates.take(p.client, 1, 1, time.Now())
		if wait == 0 {
			return nil
		}
		timer := time.NewTimer(wait)
		select {
		case <-timer.C:
		case <-ctx.Done():
			timer.Stop()
			return ctx.Err()
		}
	}
}

// perQuestion is the estimated cost that counts as one more question. Judgement.
const perQuestion = 10 * time.Millisecond

// Questions is for how many questions one of a cost counts.
func Questions(cost time.Duration) int { return 1 + int(cost/perQuestion) }

// Charge counts questions against the client's rate, beside the one that every
// request counts for; or says when to come back. More questions than may come at
// once are let in when no fewer could be, and leave a debt. So do those of an item.
func (p *Pass) Charge(questions int) error {
	if p == nil || p.gate.rates == nil || questions < 1 {
		return nil
	}
	if p.isItem { // its batch was let in
		p.gate.rates.take(p.client, questions, 0, time.Now())
		return nil
	}
	return p.gate.limited(p.gate.rates.take(p.client, questions, p.gate.rates.burst-1, time.Now()))
}
