package transfer

import (
	"sync"

	"github.com/labstack/echo/v4"

	"snugtail/service/problem"
)

// AccountKey is where a request's context keeps its account.
const AccountKey = "account"

// free is how many bytes each request may hold that the budget does not count:
// the bound of connections bounds them.
const free = 16 << 10

// Budget bounds the bytes of bodies and unsent answers that are held together.
// One client may hold half of it.
type Budget struct {
	mu      sync.Mutex
	all     int64
	held    int64
	clients map[string]int64
}

func NewBudget(all int64) *Budget { return &Budget{all: all, clients: map[string]int64{}} }

// Account is what one request holds of the budget. It is not for concurrent use.
type Account struct {
	budget *Budget
	client string
	bytes  int64 // free ones too
	held   int64
}

// Account opens the account of a client's request.
func (b *Budget) Account(client string) *Account { return &Account{budget: b, client: client} }

func accountOf(c echo.Context) *Account {
	a, _ := c.Get(AccountKey).(*Account)
	return a
}

// Hold counts n bytes more, or says that there is no room for them.
func (a *Account) Hold(n int64) error {
	if a == nil {
		return nil
	}
	a.bytes += n
	more := max(a.bytes-free, 0) - a.held
	if more <= 0 {
		return nil
	}
	b := a.budget
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.held+more > b.all || b.clients[a.client]+more > b.all/2 {
		a.bytes -= n
		return problem.Unavailable("memory_full", 1)
	}
	b.held += more
	b.clients[a.client] += more
	a.held += more
	return nil
}

// Hold counts n bytes more of what a request holds.
func Hold(c echo.Context, n int64) error { return accountOf(c).Hold(n) }

// Close gives back all that is held.
func (a *Account) Close() {
	if a.held == 0 {
		return
	}
	b := a.budget
	b.mu.Lock()
	defer b.mu.Unlock()
	b.held -= a.held
	if b.clients[a.client] -= a.held; b.clients[a.client] == 0 {
		delete(b.clients, a.client)
	}
	a.held = 0
}
