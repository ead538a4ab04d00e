package plan

import (
	"context"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Variation sets shoots that differ in one thing side by side.
type Variation struct {
	Variants []Variant // in the order of the shoots
	// Best is the variant to take, an index. The verdict's rules decide but for
	// the weighing of what is carried: which of two that come to the same is
	// less trouble only the photographer knows, so that the first counts.
	Best int
}

// Variant is one of the shoots, done the way it is best done.
type Variant struct {
	Plan    *Plan
	Verdict Verdict
	// Held, Softer and Missed are minutes of the verdict's method. A minute
	// under broken cloud counts as the worse of its two cases.
	Held, Softer, Missed int
	// LeastHeadroom is the least of the minutes with flash; negative where the
	// flash is too weak. Flashes is false where none has flash.
	LeastHeadroom sky.Stops
	Flashes       bool
	Sets          int // of batteries for each flash
	// Equal reports that the rules find no difference to the best; else Worse is
	// the rule by which it lost.
	Equal bool
	Worse RuleKind
}

// Outcome is what the worst minute comes to.
func (v *Variant) Outcome() Outcome {
	switch {
	case v.Missed > 0:
		return Missed
	case v.Softer > 0:
		return Softer
	}
	return Held
}

// Vary plans shoots that differ in one thing, at least one, without cures. The
// error reports that a window cannot be placed in its day, or is TooLarge, or it
// is the context's, which ends the work at once.
func Vary(ctx context.Context, shoots []*shoot.Shoot) (*Variation, error) {
	var sessions []*session
	for _, s := range shoots {
		n, err := newSession(s)
		if err != nil {
			return nil, err
		}
		sessions = append(sessions, n)
	}
	if err := small(sessions...); err != nil {
		return nil, err
	}
	v := &Variation{}
	var list []candidate
	for number, n := range sessions {
		p, err := n.outline(ctx)
		if err != nil {
			return nil, err
		}
		one := variantOf(p)
		c := p.overall(p.totals())[p.Index(one.Verdict.Best)]
		c.number = number
		v.Variants, list = append(v.Variants, one), append(list, c)
	}
	left, asked := sift(list, rules[:len(rules)-1])
	for _, r := range asked {
		for _, d := range r.Dropped {
			v.Variants[d.number].Worse = r.Rule
		}
	}
	v.Best = left[0].number
	for i := range left {
		v.Variants[left[i].number].Equal = true
	}
	return v, nil
}

// variantOf sums a plan up under the method that is best for it.
func variantOf(p *Plan) Variant {
	v := Variant{Plan: p, Verdict: p.Verdict()}
	outcomes, _ := p.outcomes(v.Verdict.Best)
	for _, o := range outcomes {
		switch o {
		case Held:
			v.Held++
		case Softer:
			v.Softer++
		default:
			v.Missed++
		}
	}
	n := p.Index(v.Verdict.Best)
	for _, r := range p.RunsOf(n) {
		if r.Flashes && (!v.Flashes || r.LeastHeadroom < v.LeastHeadroom) {
			v.Flashes, v.LeastHeadroom = true, r.LeastHeadroom
		}
	}
	v.Sets = p.totals()[n].sets()
	return v
}

// OutOfReach reports whether under every variant there is a step at which no
// method brings the picture off.
func (v *Variation) OutOfReach() bool {
	for i := range v.Variants {
		if !v.Variants[i].Plan.OutOfReach() {
			return false
		}
	}
	return true
}
