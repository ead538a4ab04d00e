package report

import (
	"evenfall/internal/flash"
	"evenfall/internal/shoot"
)

// kitSchema names the contract of kit. It only ever grows.
const kitSchema = "evenfall/kit/1"

// The document of kit, its keys called as in a kit file.
type kitDocument struct {
	Schema     string         `json:"schema" csv:"-"`
	Cameras    []kitCamera    `json:"cameras" csv:"rows"`
	Flashes    []kitFlash     `json:"flashes" csv:"rows"`
	Modifiers  []kitModifier  `json:"modifiers" csv:"rows"`
	Gels       []kitGel       `json:"gels" csv:"rows"`
	Scrims     []kitScrim     `json:"scrims" csv:"rows"`
	Reflectors []kitReflector `json:"reflectors" csv:"rows"`
	Filters    []kitFilter    `json:"filters" csv:"rows"`
}

type kitNamed struct {
	Kind   string  `json:"kind"`
	Name   string  `json:"name"`
	Source *string `json:"source"`     // of the figures
	File   string  `json:"defined_in"` // "kit library" or a file
}

type kitCamera struct {
	kitNamed
	Sync     string `json:"sync"`
	SyncS    figure `json:"sync_s"`
	Fastest  string `json:"fastest"`
	FastestS figure `json:"fastest_s"`
	Lowest   figure `json:"lowest_iso"` // exact
	Highest  figure `json:"highest_iso"`
	Steps    string `json:"steps"`
	ISOSteps string `json:"iso_steps"`
	Frame    figure `json:"frame_height_mm"`
}

type kitFlash struct {
	kitNamed
	Guide      []kitGuide `json:"guide_numbers"`
	Lowest     string     `json:"lowest_power"`
	LowestPart figure     `json:"lowest_power_fraction"`
	Steps      string     `json:"steps"`
	Derate     figure     `json:"derate_stops"`
	Colour     figure     `json:"colour_k"`
	HighSpeed  bool       `json:"high_speed_sync"`
	Plateau    figure     `json:"plateau_ms"`        // null where the losses are stated
	Losses     []kitLoss  `json:"high_speed_losses"` // stated, else by the plateau; empty without high-speed sync
	Recycle    figure     `json:"recycle_full_s"`
	Floor      figure     `json:"recycle_floor_s"`
	Set        figure     `json:"flashes_per_set"`
	Burst      figure     `json:"burst_flashes"`
	Rest       figure     `json:"burst_rest_minutes"`
}

type kitGuide struct {
	Zoom     figure `json:"zoom_mm"` // null for a head without zoom
	Number   figure `json:"number_m"`
	Outdoors figure `json:"outdoor_number_m"`
	Reach    figure `json:"reach_f8_iso100_m"` // outdoors
}

type kitLoss struct {
	Shutter  string `json:"shutter"`
	ShutterS figure `json:"shutter_s"`
	Loss     figure `json:"loss_stops"`
}

type kitModifier struct {
	kitNamed
	Loss          figure `json:"loss_stops"`           // against the bare head
	ReflectorLoss figure `json:"reflector_loss_stops"` // against a guide number with a reflector; null where it is the same
	Size          figure `json:"size_m"`               // of a rectangular one the mean of its sides
	Width         figure `json:"width_m"`              // null for a round one
	Length        figure `json:"length_m"`
	Zoom          figure `json:"inside_zoom_mm"`
	Grid          figure `json:"grid_deg"` // null of anything but a grid
}

type kitGel struct {
	kitNamed
	Loss  figure `json:"loss_stops"`
	Shift figure `json:"shift_mired"`
}

type kitScrim struct {
	kitNamed
	Width  figure `json:"width_m"`
	Length figure `json:"length_m"`
	Loss   figure `json:"loss_stops"`
	// Straight is the share of what passes that goes straight through.
	Straight figure `json:"straight_share"`
}

type kitReflector struct {
	kitNamed
	Surface     string `json:"surface"` // white or silver
	Width       figure `json:"width_m"`
	Length      figure `json:"length_m"`
	Reflectance figure `json:"reflectance"`
	Gain        figure `json:"gain"` // 1 of a white one
}

type kitFilter struct {
	kitNamed
	Loss figure `json:"loss_stops"`
}

// known returns a size, of which 0 means that there is none.
func known(v float64) figure {
	if v == 0 {
		return nil
	}
	return exact(v)
}

func newKitDocument(k *Kit) *kitDocument {
	l := k.Library
	d := &kitDocument{Schema: kitSchema, Cameras: []kitCamera{}, Flashes: []kitFlash{}, Modifiers: []kitModifier{},
		Gels: []kitGel{}, Scrims: []kitScrim{},
		Reflectors: []kitReflector{}, Filters: []kitFilter{}}
	for _, kind := range shoot.KitKinds {
		for _, name := range k.names(kind) {
			as := kitNamed{Kind: string(kind), Name: name, File: l.File(kind, name)}
			if source := l.Source(kind, name); source != "" {
				as.Source = &source
			}
			switch kind {
			case shoot.CameraKit:
				c, _ := l.Camera(name)
				d.Cameras = append(d.Cameras, kitCamera{as, c.Sync.String(), exact(c.Sync.Seconds()),
					c.Fastest.String(), exact(c.Fastest.Seconds()),
					exact(c.Lowest.Speed()), exact(c.Highest.Speed()), c.Click.String(), c.ISOClick.String(),
					exact(float64(c.FrameHeight))})
			case shoot.FlashKit:
				u, _ := l.Flash(name)
				d.Flashes = append(d.Flashes, newKitFlash(as, &u))
			case shoot.ModifierKit:
				m, _ := l.Modifier(name)
				d.Modifiers = append(d.Modifiers, kitModifier{as, exact(float64(m.Loss)), known(float64(m.ReflectorLoss)),
					known(m.Size), known(m.Width), known(m.Length), known(m.Zoom),
					known(m.Grid.Degrees())})
			case shoot.GelKit:
				g, _ := l.Gel(name)
				d.Gels = append(d.Gels, kitGel{as, exact(float64(g.Loss)), exact(float64(g.Shift))})
			case shoot.ScrimKit:
				s, _ := l.Scrim(name)
				d.Scrims = append(d.Scrims, kitScrim{as, exact(s.Width), exact(s.Length), exact(float64(s.Loss)), exact(s.StraightShare)})
			case shoot.ReflectorKit:
				r, _ := l.Reflector(name)
				d.Reflectors = append(d.Reflectors, kitReflector{as, r.Surface(), exact(r.Width), exact(r.Length),
					exact(r.Reflectance), exact(r.Gain)})
			case shoot.FilterKit:
				f, _ := l.Filter(name)
				d.Filters = append(d.Filters, kitFilter{as, exact(float64(f.Loss))})
			}
		}
	}
	return d
}

func newKitFlash(as kitNamed, u *flash.Unit) kitFlash {
	f := kitFlash{kitNamed: as, Lowest: u.LowestPower.String(), LowestPart: exact(u.LowestPower.Fraction()),
		Steps:  u.Click.String(),
		Derate: exact(float64(u.Derate)), Colour: fixed(u.ColourTemperature(), 0), HighSpeed: u.HighSpeed,
		Losses:  []kitLoss{},
		Recycle: exact(u.RecycleFull.Seconds()), Floor: exact(u.RecycleFloor.Seconds()), Set: exact(u.FlashesPerSet),
		Burst: exact(u.BurstLimit), Rest: exact(u.BurstRest.Minutes())}
	for _, g := range u.Guide {
		f.Guide = append(f.Guide, kitGuide{known(g.Zoom), exact(g.Number), fixed(u.Reach(g.Zoom, 0), 3),
			fixed(u.Reach(g.Zoom, reachAperture), 3)})
	}
	if u.HighSpeed {
		for _, l := range speedLosses(u) {
			f.Losses = append(f.Losses, kitLoss{l.Shutter.String(), exact(l.Shutter.Seconds()), fixed(l.Loss, 3)})
		}
		if len(u.Losses) == 0 {
			f.Plateau = exact(u.Plateau.Seconds() * 1000)
		}
	}
	return f
}
