// Package study turns linked records into problems of the trade's computation
// and holds the answers. An answer is computed once for a ledger and a day and
// shared by lint, show and report, so that a number can never differ between
// them.
package study

import (
	"sync"
	"time"

	"tenths/ledger"
	"tenths/ledger/redact"
)

// Set holds the studies of a ledger as of a day. It may be used from several
// goroutines.
type Set struct {
	L    *ledger.Ledger
	AsOf time.Time
	// Past is what earlier commits said. It may be nil: then nothing is found that
	// only they show.
	Past ledger.Past

	locating memo[*ledger.Station, *Locating]
	freedom  memo[*ledger.Station, *Freedom]
	clamping memo[*ledger.Station, *Clamping]
	gauging  memo[*ledger.Record, *Gauging]
	evidence memo[*ledger.Record, []*Evidence]
	outlook  memo[*ledger.Record, *Outlook]
	draws    int // of a prediction
	odd      memo[*ledger.Record, *Readings]
	plans    memo[*ledger.Record, *PlanGraph]
	derived  sync.Once
	results  []*Derived
	byPtr    map[*ledger.Derived]*Derived
	private  sync.Once
	words    []secret
	known    sync.Once
	own      redact.Own
	counted  sync.Once
	byChar   map[[2]string][]*ledger.Record
	using    sync.Once
	users    map[string][]user
	sorted   sync.Once
	byKind   map[ledger.Kind][]*ledger.Record
	dated    sync.Once
	work     []workDay
}

// New prepares the studies of a ledger as of a day. Nothing is computed yet.
func New(l *ledger.Ledger, asOf time.Time) *Set {
	y, m, d := asOf.Date()
	return &Set{L: l, AsOf: time.Date(y, m, d, 0, 0, 0, 0, time.UTC), draws: predictDraws}
}

// ofKind lists the records of a kind, in the order of the ledger. A study of one
// change of many must not look through all records for each.
func (s *Set) ofKind(k ledger.Kind) []*ledger.Record {
	s.sorted.Do(func() {
		s.byKind = map[ledger.Kind][]*ledger.Record{}
		for _, r := range s.L.Records {
			k := r.Kind()
			s.byKind[k] = append(s.byKind[k], r)
		}
	})
	return s.byKind[k]
}

// memo computes a value once for each key.
type memo[K comparable, V any] struct {
	mu sync.Mutex
	m  map[K]V
}

func (c *memo[K, V]) get(key K, compute func() V) V {
	c.mu.Lock()
	v, ok := c.m[key]
	c.mu.Unlock()
	if ok {
		return v
	}
	v = compute()
	c.mu.Lock()
	defer c.mu.Unlock()
	if first, ok := c.m[key]; ok {
		return first
	}
	if c.m == nil {
		c.m = map[K]V{}
	}
	c.m[key] = v
	return v
}
