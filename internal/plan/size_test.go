package plan

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// What planning works out is counted beforehand, and no more of it than some
// seconds' worth is begun.
func TestTooLarge(t *testing.T) {
	clear, broken := sky.Described(sky.Clear), sky.Described(sky.Broken)
	learned := func(minutes ...int) (list []shoot.Learned) {
		s := testShoot()
		n, err := newSession(s)
		require.NoError(t, err)
		for _, m := range minutes {
			list = append(list, shoot.Learned{From: n.from.Add(time.Duration(m) * time.Minute), Under: clear})
		}
		return list
	}
	for name, c := range map[string]struct {
		sky     []sky.Condition
		learned []shoot.Learned
		want    int // of each method; a window of two hours has 121 minutes
	}{
		"clear":                    {[]sky.Condition{clear}, nil, 121},
		"broken":                   {[]sky.Condition{broken}, nil, 242},
		"broken later":             {[]sky.Condition{clear, broken}, nil, 242},
		"a reading":                {[]sky.Condition{clear}, learned(60), 121 + 61},
		"two of one time":          {[]sky.Condition{clear}, learned(60, 60), 121 + 61},
		"before, at its end, past": {[]sky.Condition{clear}, learned(-5, 0, 120, 121), 121 + 1},
		"broken, two readings":     {[]sky.Condition{broken}, learned(20, 120), 2 * (121 + 101 + 1)},
	} {
		s := testShoot()
		s.Sky, s.Learned = nil, c.learned
		for i, one := range c.sky {
			span := shoot.SkySpan{Condition: one}
			if i > 0 {
				span.From = &shoot.Instant{Event: sky.Sunset, Offset: -time.Hour}
			}
			s.Sky = append(s.Sky, span)
		}
		n, err := newSession(s)
		require.NoError(t, err)
		assert.Equal(t, c.want, n.pictures(), name)
	}

	s := testShoot()
	s.Methods = []shoot.Method{shoot.Sync, shoot.HSS}
	var many []*shoot.Shoot
	for len(many) <= MostPictures/(2*121) {
		many = append(many, s)
	}
	_, err := Vary(t.Context(), many)
	require.Equal(t, TooLarge{2 * 121 * len(many), 121 * len(many)}, err)
	assert.Contains(t, err.Error(), fmt.Sprint(MostPictures))
	s.Learned = nil
	for m := range 120 {
		s.Learned = append(s.Learned, learned(m+1)...)
	}
	s.Sky[0].Condition = broken
	s.Methods = shoot.AllMethods[:]
	_, err = Make(t.Context(), s)
	assert.ErrorAs(t, err, new(TooLarge), "planned on from every minute")
	_, err = Compare(t.Context(), s, nil)
	assert.ErrorAs(t, err, new(TooLarge))
	s.Methods = s.Methods[:3]
	_, err = Make(t.Context(), s)
	assert.NoError(t, err)
}

// A kit of thousands costs no more than a bag full: so many of a kind are tried,
// over all of its range, and no solver kept for each.
func TestCuresOfALargeKit(t *testing.T) {
	s := testShoot()
	s.Flash.Units, s.Flash.Distance = 1, 6
	const many = 1000
	kit := &shoot.Library{}
	for i := range many {
		unit := *s.Flash.Unit
		unit.Name = fmt.Sprintf("flash-%d", i)
		unit.Guide = []flash.GuideNumber{{Number: 10 + 290*float64(i)/(many-1)}}
		unit.HighSpeed = i%2 == 0
		kit.Flashes = append(kit.Flashes, unit)
		size := 0.2 + 5*float64(i)/many
		kit.Modifiers = append(kit.Modifiers, flash.Modifier{Name: fmt.Sprintf("modifier-%d", i), Size: 1,
			Loss: sky.Stops(float64(i) / many)})
		kit.Scrims = append(kit.Scrims, scene.Scrim{Name: fmt.Sprintf("scrim-%d", i), Width: size, Length: size, Loss: 1})
		kit.Reflectors = append(kit.Reflectors, scene.Reflector{Name: fmt.Sprintf("reflector-%d", i), Width: size,
			Length: size, Reflectance: 0.8, Gain: 1})
		kit.Filters = append(kit.Filters, shoot.Filter{Name: fmt.Sprintf("filter-%d", i),
			Loss: sky.Stops(0.1 + 14*float64(i)/many)})
	}
	s.Kit, s.Scrim, s.Reflector, s.Filters = kit, nil, nil, nil
	p, err := Make(t.Context(), s)
	require.NoError(t, err)
	c := &cures{plan: p, stock: p.solver.stock(), changed: map[Cure]*Solver{}}
	named := map[CureKind]int{}
	for i := range p.Rows {
		for k := range p.Rows[i].Methods {
			if a := &p.Rows[i].Methods[k]; a.Outcome == Missed {
				for _, cure := range c.of(t.Context(), &p.Rows[i], a, besides{}) {
					named[cure.Kind]++
					checkCure(t, p, &p.Rows[i], a, cure)
				}
			}
		}
	}
	kinds := map[CureKind]int{}
	for cure := range c.changed {
		kinds[cure.Kind]++
	}
	t.Logf("named %v, solvers by kind %v", named, kinds)
	assert.NotZero(t, named[ChangeFlash], "one of the stronger does it")
	assert.LessOrEqual(t, len(c.changed), 200)
	for _, kind := range [...]CureKind{ChangeFlash, ChangeModifier, CarryScrim, CarryFilter, CarryReflector} {
		assert.NotZero(t, kinds[kind], "kind %d", kind)
		assert.LessOrEqual(t, kinds[kind], 2*mostTried, "kind %d", kind)
	}
	// The strongest and the weakest are among them.
	assert.Equal(t, "flash-999", c.stock.stronger[len(c.stock.stronger)-1].cure.Name)
	assert.Equal(t, "flash-0", c.stock.weaker[len(c.stock.weaker)-1].cure.Name)
}

func TestSpread(t *testing.T) {
	for n, want := range [][]int{{}, {0}, {0, 1}, {0, 1, 2}, {0, 1, 3}, {0, 2, 4}, {0, 2, 5}} {
		var list []int
		for i := range n {
			list = append(list, i)
		}
		assert.ElementsMatch(t, want, spread(list, 3), "%d", n)
	}
}

// Programs do not depend on the flash but for its clicks, so that another flash of
// the kit needs none of its own.
func TestAnotherFlashNeedsNoPrograms(t *testing.T) {
	s := testShoot()
	v := NewSolver(s)
	unit := *s.Flash.Unit
	unit.Name, unit.HighSpeed, unit.Plateau = "other", true, 9*time.Millisecond
	r := instead(&unit)
	changed := v.changed(&r)
	assert.Same(t, &v.fast[0], &changed.fast[0])
	m := at(s, sky.Described(sky.Clear), 20, 180)
	want := *s
	r.edit(&want)
	for _, method := range shoot.Methods {
		assert.Equal(t, NewSolver(&want).Solve(method, m, sky.Degrees(30), Gel{}),
			changed.Solve(method, m, sky.Degrees(30), Gel{}), "%v", method)
	}
	unit.Click = exposure.Full
	changed = v.changed(&r)
	assert.NotSame(t, &v.fast[0], &changed.fast[0])
}
