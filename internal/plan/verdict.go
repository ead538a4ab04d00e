package plan

import (
	"math"
	"slices"
	"time"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Verdict is which method to take, and by which rules.
type Verdict struct {
	Best shoot.Method
	// Held and Succeeds are the shares of the minutes, 0 to 1, at which Best
	// holds the look, and holds it or comes out softer.
	Held, Succeeds float64
	From, Until    time.Time // of its success, where there is one stretch short of the window; else zero
	Rules          []Ruling  // in the order they were asked
}

// RuleKind is what a rule looks at.
type RuleKind int

// The rules, in the order they are asked.
const (
	WindRule     RuleKind = iota // whether the stated wind is too strong for its scrim
	HoldsRule                    // share of the minutes held
	SucceedsRule                 // share held or softer
	MissRule                     // smallest miss, where nothing succeeds
	ComfortRule                  // share with comfortable headroom
	FrameRule                    // share with scrim, reflector or flash in the frame
	WeightRule                   // the weighted sum
)

// Ruling is how one rule went: the methods it dropped, none where it made no
// difference.
type Ruling struct {
	Rule    RuleKind
	Dropped []Dropped
}

// Dropped is a method that a rule dropped, with what the rule saw: a share, a
// number of stops, or the weighted sum.
type Dropped struct {
	Method  shoot.Method
	Value   float64
	Lacking bool // its kit is not carried

	number int // of its shoot, among some that differ in one thing
}

// Comfortable is the headroom from which on nobody has to worry: a guide number
// is not known better. Common practice, no source.
const Comfortable sky.Stops = 0.7

// candidate is a method before the judge: what the rules look at, each as a
// mean over the minutes.
type candidate struct {
	method   shoot.Method
	lacking  bool      // its kit is not carried
	number   int       // of its shoot, among some that differ in one thing
	windy    float64   // 1 where the stated wind is too strong for it
	held     float64   // share at which it holds the look
	succeeds float64   // share at which it holds it or comes out softer
	short    sky.Stops // how far it misses at the worst
	tight    float64   // share of its success with less than comfortable headroom
	inFrame  float64   // share at which scrim, reflector or flash stands in the picture
	burden   Burden
}

// Burden is what speaks against a method that brings the picture off, each by
// its own measure; see Weights.
type Burden struct {
	Aperture   float64 // stops from the wanted one
	Background float64 // stops above its limit
	HardSun    float64 // share of minutes with direct sun on the face, or in the sitter's eyes
	Wait       float64 // s that recycling takes beyond the pace
	Batteries  float64 // sets per flash beyond the first
	Heat       float64 // share of minutes at which ten minutes of frames are more than a head bears in a row
	Filter     float64 // 1 with one
	Scrim      float64 // 1 with one
	Reflector  float64 // 1 with one
	Shade      float64 // 1 in open shade
}

// Weights are what a unit of each burden counts, in stops of aperture. Common
// practice, no source: a stop of aperture changes the look of the background;
// a background a stop over its limit is as bad; hard sun makes a face squint and
// its skin shine, which is worse than a scrim to carry; every second of waiting
// loses an expression; a further set of batteries is weight and a pause; a hot
// head may stop the shoot; a filter is a dim finder and hunting focus; a scrim
// is a stand, bags and a pair of hands in the wind; a reflector is a hand or a
// stand; open shade is a walk.
var Weights = Burden{
	Aperture: 1, Background: 1, HardSun: 1.5, Wait: 0.3, Batteries: 0.1, Heat: 0.5, Filter: 0.8, Scrim: 1,
	Reflector: 0.9, Shade: 0.2,
}

// sum weighs a burden up.
func (b *Burden) sum() float64 {
	return b.Aperture*Weights.Aperture + b.Background*Weights.Background + b.HardSun*Weights.HardSun + b.Wait*Weights.Wait +
		b.Batteries*Weights.Batteries + b.Heat*Weights.Heat + b.Filter*Weights.Filter + b.Scrim*Weights.Scrim +
		b.Reflector*Weights.Reflector + b.Shade*Weights.Shade
}

// rule looks at candidates from one side: less is better, and what differs by
// less than can be seen or felt counts as equal. The least differences are
// common practice, no source.
type rule struct {
	kind  RuleKind
	value func(*candidate) float64
	least float64
}

// The last weighs what is carried.
var rules = [...]rule{
	{WindRule, func(c *candidate) float64 { return c.windy }, 0},
	{HoldsRule, func(c *candidate) float64 { return 1 - c.held }, 0.05},
	{SucceedsRule, func(c *candidate) float64 { return 1 - c.succeeds }, 0.05},
	{MissRule, func(c *candidate) float64 { return missOf(c) }, 0.1},
	{ComfortRule, func(c *candidate) float64 { return c.tight }, 0.05},
	{FrameRule, func(c *candidate) float64 { return c.inFrame }, 0.05},
	{WeightRule, func(c *candidate) float64 { return c.burden.sum() }, 0},
}

// missOf is how far a method misses that never succeeds; others miss nothing.
func missOf(c *candidate) float64 {
	if c.succeeds > 0 {
		return 0
	}
	return float64(c.short)
}

// judge takes the candidates, of which there is at least one, through the
// rules: each rule drops what is worse than the best left by more than counts.
func judge(list []candidate) Verdict {
	left, asked := sift(list, rules[:])
	best := &left[0]
	return Verdict{Best: best.method, Held: best.held, Succeeds: best.succeeds, Rules: asked}
}

// sift returns the candidates that no rule drops, in their order, and how the
// rules went until one was left.
func sift(list []candidate, rules []rule) (left []candidate, asked []Ruling) {
	left = slices.Clone(list)
	for _, r := range rules {
		least := math.Inf(1)
		for i := range left {
			least = min(least, r.value(&left[i]))
		}
		var kept []candidate
		ruling := Ruling{Rule: r.kind}
		for _, c := range left {
			// Two that cannot be had at all are infinitely short, and equal.
			if x := r.value(&c); x == least || x-least <= r.least {
				kept = append(kept, c)
			} else {
				ruling.Dropped = append(ruling.Dropped, Dropped{c.method, x, c.lacking, c.number})
			}
		}
		asked = append(asked, ruling)
		if left = kept; len(left) == 1 {
			break
		}
	}
	return left, asked
}

// carried is the burden of a method's aids.
func carried(m shoot.Method) Burden {
	var b Burden
	if m.UsesFilter() {
		b.Filter = 1
	}
	if m.UsesScrim() {
		b.Scrim = 1
	}
	if m.UsesReflector() {
		b.Reflector = 1
	}
	if m.UsesShade() {
		b.Shade = 1
	}
	return b
}

// candidate is one picture before the judge.
func (v *Solver) candidate(at *Moment, s *Solution) candidate {
	c := candidate{method: s.Method, burden: carried(s.Method)}
	b := &c.burden
	b.Aperture = math.Abs((s.Settings.Aperture - v.shoot.Lens.Wanted).Stops())
	if over := float64(s.Background - v.shoot.Look.AtMost); v.shoot.Look.Kind == shoot.RatioLook && over > 0 {
		b.Background = over
	}
	if s.Ambient.Beam > 0 && (at.Sight.InEyes || hardOnFace(at, s)) && !s.ScrimUp {
		b.HardSun = 1
	}
	if s.ScrimInFrame || s.FlashInFrame || s.Reflected.InFrame {
		c.inFrame = 1
	}
	switch s.Outcome {
	case Held:
		c.held, c.succeeds = 1, 1
	case Softer:
		c.succeeds = 1
	default:
		if s.Problem.Kind == TooWindy {
			c.windy = 1
		}
		if c.short = s.Problem.Misses; c.short == 0 {
			c.short = sky.Stops(math.Inf(1))
		}
	}
	if s.Role == None {
		return c
	}
	if s.Headroom < Comfortable-1e-9 {
		c.tight = 1
	}
	b.Wait = max(0, (s.Recycle - v.shoot.Pace.BetweenFrames()).Seconds())
	const heatedOver = 10 // minutes
	fast := s.Settings.Shutter > v.shoot.Camera.Sync
	if s.Fires() && v.shoot.Pace.FramesPerMinute*heatedOver > v.shoot.Flash.Unit.BurstFrames(s.Power, fast) {
		b.Heat = 1
	}
	if s.Fill.Fires() && v.shoot.Pace.FramesPerMinute*heatedOver > v.shoot.Fill.Unit.BurstFrames(s.Fill.Power, fast) {
		b.Heat = 1
	}
	return c
}

// hardOnFace reports whether direct sun is most of the light on the key side.
func hardOnFace(at *Moment, s *Solution) bool {
	beam := s.Ambient.Beam * sky.Lux(scene.BeamOnFace(scene.ToCamera(at.Sun, at.Stance.Facing)))
	return beam > s.Ambient.Key/2
}

// overall puts the methods of the whole window before the judge: means over
// the minutes that succeed, of one that never does over all.
func (p *Plan) overall(totals []Totals) []candidate {
	var list []candidate
	for n, m := range p.Shoot.Methods {
		sum := candidate{method: m, lacking: p.Lacks(n) != 0}
		all, done := 0.0, 0.0
		for _, r := range p.RunsOf(n) {
			for k := range r.Minutes {
				one := p.solver.candidate(r.Minutes[k].Moment, &r.Minutes[k].Solution)
				all++
				sum.windy = max(sum.windy, one.windy)
				sum.held += one.held
				sum.short = max(sum.short, one.short)
				if one.succeeds > 0 {
					done++
					sum.tight += one.tight
					sum.inFrame += one.inFrame
					sum.burden.add(&one.burden)
				}
			}
		}
		sum.held, sum.succeeds = sum.held/all, done/all
		if done > 0 {
			sum.tight, sum.inFrame = sum.tight/done, sum.inFrame/done
			sum.burden.divide(done)
		}
		sum.burden.Batteries = float64(max(0, totals[n].sets()-1))
		list = append(list, sum)
	}
	return list
}

// add adds another burden to b.
func (b *Burden) add(o *Burden) {
	b.Aperture += o.Aperture
	b.Background += o.Background
	b.HardSun += o.HardSun
	b.Wait += o.Wait
	b.Heat += o.Heat
	b.Filter += o.Filter
	b.Scrim += o.Scrim
	b.Reflector += o.Reflector
	b.Shade += o.Shade
}

// divide makes a mean of a sum.
func (b *Burden) divide(n float64) {
	*b = Burden{
		Aperture: b.Aperture / n, Background: b.Background / n, HardSun: b.HardSun / n, Wait: b.Wait / n,
		Batteries: b.Batteries / n, Heat: b.Heat / n, Filter: b.Filter / n, Scrim: b.Scrim / n,
		Reflector: b.Reflector / n, Shade: b.Shade / n,
	}
}

// Verdict says which method to take for the window.
func (p *Plan) Verdict() Verdict { return p.VerdictAmong(p.Shoot.Methods) }

// VerdictAmong is the verdict on the window among some of its methods, of which
// there is at least one.
func (p *Plan) VerdictAmong(methods []shoot.Method) Verdict {
	var list []candidate
	for _, c := range p.overall(p.totals()) {
		if slices.Contains(methods, c.method) {
			list = append(list, c)
		}
	}
	d := judge(list)
	d.From, d.Until = p.span(d.Best)
	return d
}

// outcomes returns what a method comes to at every minute: of the two cases of
// a broken sky the worse.
func (p *Plan) outcomes(m shoot.Method) (list []Outcome, times []time.Time) {
	for i := range p.Runs {
		r := &p.Runs[i]
		if r.Method != m {
			continue
		}
		if list == nil {
			list, times = make([]Outcome, len(r.Minutes)), make([]time.Time, len(r.Minutes))
		}
		for k := range r.Minutes {
			list[k], times[k] = max(list[k], r.Minutes[k].Outcome), r.Minutes[k].Time
		}
	}
	return list, times
}

// span returns when a method's success begins and ends, where it is one stretch
// that does not fill the window: zero at an end of the window.
func (p *Plan) span(m shoot.Method) (from, until time.Time) {
	list, times := p.outcomes(m)
	starts := 0
	for k, o := range list {
		switch was := k > 0 && list[k-1].Succeeds(); {
		case o.Succeeds() && !was:
			if starts++; k > 0 {
				from = times[k]
			}
		case was && !o.Succeeds():
			until = times[k-1]
		}
	}
	if starts != 1 {
		return time.Time{}, time.Time{}
	}
	return from, until
}
