package plan

import (
	"fmt"
	"slices"
	"sort"
	"time"
)

// MostPictures is the most pictures that are worked out for one answer: some
// seconds of work, and more than anybody's day asks for.
const MostPictures = 60_000

// TooLarge is the error of what would take too long to plan.
type TooLarge struct {
	Pictures int
	ByOne    int // of them under each method
}

// Error says how many pictures it would take.
func (e TooLarge) Error() string {
	return fmt.Sprintf("to plan this works %d pictures out, more than %d", e.Pictures, MostPictures)
}

// small returns the error of sessions that take too many pictures together.
func small(sessions ...*session) error {
	var e TooLarge
	for _, n := range sessions {
		one := n.pictures()
		e.Pictures, e.ByOne = e.Pictures+one*len(n.shoot.Methods), e.ByOne+one
	}
	if e.Pictures > MostPictures {
		return e
	}
	return nil
}

// pictures counts those of each method that the session's plan works out: one for
// each minute and case of the sky, and all that are left again for every time of
// the window at which readings were taken.
func (n *session) pictures() int {
	minutes := func(from time.Time) int { return int(n.to.Sub(from)/time.Minute) + 1 }
	sum := minutes(n.from)
	for _, at := range n.taken() {
		sum += minutes(at)
	}
	return sum * n.shoot.Cases()
}

// taken lists the times within the window from which on the plan goes by
// readings, each once, in order.
func (n *session) taken() []time.Time {
	var list []time.Time
	for i := range n.shoot.Learned {
		if at := n.shoot.Learned[i].From; at.After(n.from) && !at.After(n.to) {
			list = append(list, at)
		}
	}
	sort.Slice(list, func(i, j int) bool { return list[i].Before(list[j]) })
	return slices.CompactFunc(list, time.Time.Equal)
}
