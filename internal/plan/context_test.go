package plan

import (
	"context"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"evenfall/internal/shoot"
)

// countdown is a context that ends when it has been asked so many times.
type countdown struct {
	context.Context
	left atomic.Int64
}

func (c *countdown) Err() error {
	if c.left.Add(-1) < 0 {
		return context.Canceled
	}
	return nil
}

// counting returns a context that ends after so many looks.
func counting(t *testing.T, looks int64) *countdown {
	c := &countdown{Context: t.Context()}
	c.left.Store(looks)
	return c
}

// Wherever a context ends, planning ends with its error, after no more than
// what lies between two looks at it.
func TestContextEnds(t *testing.T) {
	s := testShoot()
	s.Methods = []shoot.Method{shoot.HSS, shoot.ND} // the one misses, so that there are cures to look for
	planned := func(ctx context.Context) error { _, err := Make(ctx, s); return err }
	compared := func(ctx context.Context) error { _, err := Compare(ctx, s, nil); return err }
	for name, plan := range map[string]func(context.Context) error{"plan": planned, "comparison": compared} {
		const many = 1 << 30
		asked := counting(t, many)
		require.NoError(t, plan(asked))
		looks := many - asked.left.Load()
		assert.Greater(t, looks, int64(200), "%s: looks at the context", name)
		longest := time.Duration(0)
		for n := int64(0); n < looks; n += 1 + looks/40 {
			from := time.Now()
			ctx := counting(t, n)
			require.ErrorIs(t, plan(ctx), context.Canceled, "%s, ended at look %d of %d", name, n, looks)
			assert.Greater(t, ctx.left.Load(), int64(-60), "%s, ended at look %d: it went on", name, n)
			longest = max(longest, time.Since(from))
		}
		t.Logf("%s: %d looks, ended in at most %v", name, looks, longest)
	}
}
