package shootfile

import (
	"fmt"
	"strconv"
	"strings"

	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
)

// Block returns the definition of a piece of kit as text to paste into a shoot
// file, every key with its value; in a kit file of one's own the table's name
// goes without "kit.". It is false where there is no such kit.
func Block(l *shoot.Library, kind shoot.KitKind, name string) (string, bool) {
	b := blockText{lines: []string{"[[kit." + string(kind) + "]]"}}
	b.text("name", name)
	known := false
	switch kind {
	case shoot.CameraKit:
		var c shoot.Body
		if c, known = l.Camera(name); known {
			b.camera(&c)
		}
	case shoot.FlashKit:
		var u flash.Unit
		if u, known = l.Flash(name); known {
			b.flash(&u)
		}
	case shoot.ModifierKit:
		var m flash.Modifier
		if m, known = l.Modifier(name); known {
			b.modifier(&m)
		}
	case shoot.GelKit:
		var g flash.Gel
		if g, known = l.Gel(name); known {
			b.number("loss_stops", float64(g.Loss))
			b.number("shift_mired", float64(g.Shift))
		}
	case shoot.ScrimKit:
		var s scene.Scrim
		if s, known = l.Scrim(name); known {
			b.scrim(&s)
		}
	case shoot.ReflectorKit:
		var r scene.Reflector
		if r, known = l.Reflector(name); known {
			b.reflector(&r)
		}
	case shoot.FilterKit:
		var f shoot.Filter
		if f, known = l.Filter(name); known {
			b.number("loss_stops", float64(f.Loss))
		}
	}
	if !known {
		return "", false
	}
	if source := l.Source(kind, name); source != "" {
		b.text("source", source)
	}
	return strings.Join(b.lines, "\n") + "\n", true
}

// blockText is a table of TOML while it is written.
type blockText struct{ lines []string }

func (b *blockText) line(key, value string) { b.lines = append(b.lines, key+" = "+value) }

// blockWidth is the most columns that a line of text takes in a block.
const blockWidth = 58

// text writes text, which a library holds no control characters in: of such
// Go's quotes are TOML's. Long text is broken where TOML takes the break out
// again.
func (b *blockText) text(key, value string) {
	quoted := strconv.Quote(value)
	if len(key)+len(" = ")+mostColumns(quoted) <= blockWidth {
		b.line(key, quoted)
		return
	}
	b.line(key, `"""`)
	line := ""
	for _, word := range strings.SplitAfter(quoted[1:len(quoted)-1], " ") {
		if line != "" && mostColumns(line+word) >= blockWidth {
			b.lines = append(b.lines, line+`\`)
			line = ""
		}
		line += word
	}
	b.lines = append(b.lines, line+`"""`)
}

// mostColumns is no fewer than the columns that a text takes on a screen: from the
// first wide script on (Hangul Jamo; Unicode Standard Annex 11) two a character.
func mostColumns(text string) int {
	const firstWide = '\u1100'
	sum := 0
	for _, r := range text {
		if sum++; r >= firstWide {
			sum++
		}
	}
	return sum
}

func (b *blockText) number(key string, v float64) { b.line(key, written(v)) }

// some writes a number, of which 0 means that there is none.
func (b *blockText) some(key string, v float64) {
	if v != 0 {
		b.number(key, v)
	}
}

// written returns a number as it is typed, without what arithmetic leaves
// behind its twelfth digit.
func written(v float64) string {
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		short = v
	}
	return plain(short)
}

func (b *blockText) camera(c *shoot.Body) {
	b.text("steps", c.Click.String())
	b.text("iso_steps", c.ISOClick.String())
	b.text("sync", c.Sync.String())
	b.text("fastest", c.Fastest.String())
	b.line("lowest_iso", c.Lowest.String())
	b.line("highest_iso", c.Highest.String())
	b.number("frame_height_mm", float64(c.FrameHeight))
}

func (b *blockText) flash(u *flash.Unit) {
	b.guide(u.Guide)
	b.text("lowest_power", u.LowestPower.String())
	b.text("steps", u.Click.String())
	b.line("high_speed_sync", strconv.FormatBool(u.HighSpeed))
	if len(u.Losses) > 0 {
		rows := make([]string, len(u.Losses))
		for i, l := range u.Losses {
			rows[i] = fmt.Sprintf("{shutter = %q, loss_stops = %s}", l.Shutter, written(float64(l.Loss)))
		}
		b.rows("high_speed_losses", rows)
	} else {
		b.number("plateau_ms", u.Plateau.Seconds()*1000)
	}
	b.number("derate_stops", float64(u.Derate))
	b.number("recycle_full_s", u.RecycleFull.Seconds())
	b.number("recycle_floor_s", u.RecycleFloor.Seconds())
	b.number("flashes_per_set", u.FlashesPerSet)
	b.number("burst_flashes", u.BurstLimit)
	b.number("burst_rest_minutes", u.BurstRest.Minutes())
}

// guide writes a single number with its zoom, or the table.
func (b *blockText) guide(guide []flash.GuideNumber) {
	if len(guide) == 1 {
		b.number("guide_number_m", guide[0].Number)
		b.number("guide_number_zoom_mm", guide[0].Zoom)
		return
	}
	rows := make([]string, len(guide))
	for i, g := range guide {
		rows[i] = fmt.Sprintf("{zoom_mm = %s, number_m = %s}", written(g.Zoom), written(g.Number))
	}
	b.rows("guide_numbers", rows)
}

// rows writes a list of tables, one a line.
func (b *blockText) rows(key string, rows []string) {
	b.line(key, "[")
	for _, row := range rows {
		b.lines = append(b.lines, "  "+row+",")
	}
	b.lines = append(b.lines, "]")
}

func (b *blockText) modifier(m *flash.Modifier) {
	b.number("loss_stops", float64(m.Loss))
	b.some("reflector_loss_stops", float64(m.ReflectorLoss))
	if m.Width > 0 {
		b.number("width_m", m.Width)
		b.number("length_m", m.Length)
	} else {
		b.some("size_m", m.Size)
	}
	b.some("inside_zoom_mm", m.Zoom)
	b.some("grid_deg", m.Grid.Degrees())
}

func (b *blockText) scrim(s *scene.Scrim) {
	b.number("width_m", s.Width)
	b.number("length_m", s.Length)
	b.number("loss_stops", float64(s.Loss))
	b.number("straight_share", s.StraightShare)
}

func (b *blockText) reflector(r *scene.Reflector) {
	b.text("surface", r.Surface())
	b.number("width_m", r.Width)
	b.number("length_m", r.Length)
	b.number("reflectance", r.Reflectance)
	if !r.Matt() {
		b.number("gain", r.Gain)
	}
}
