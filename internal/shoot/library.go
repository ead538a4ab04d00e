package shoot

import (
	"slices"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
)

// KitKind is a kind of kit.
type KitKind string

// The kinds, called as their tables in a file.
const (
	CameraKit    KitKind = "camera"
	FlashKit     KitKind = "flash"
	ModifierKit  KitKind = "modifier"
	GelKit       KitKind = "gel"
	ScrimKit     KitKind = "scrim"
	ReflectorKit KitKind = "reflector"
	FilterKit    KitKind = "filter"
)

// KitKinds lists all kinds of kit.
var KitKinds = [...]KitKind{CameraKit, FlashKit, ModifierKit, GelKit, ScrimKit, ReflectorKit, FilterKit}

// Body is a camera with the size of its picture.
type Body struct {
	exposure.Camera
	FrameHeight exposure.Millimetres // the short side
}

// Library is kit by name. Each list is in the order of its file, own
// definitions last; one of the same name stands in the place of the other.
type Library struct {
	Cameras   []Body
	Flashes   []flash.Unit
	Modifiers []flash.Modifier
	Gels      []flash.Gel
	Scrims    []scene.Scrim // neither height nor distance: how they are set up is not kit
	// Reflectors have neither distance nor angle.
	Reflectors []scene.Reflector
	Filters    []Filter

	origins map[KitKind]map[string]origin
}

// Count returns how many things there are to choose from.
func (l *Library) Count() int {
	return len(l.Cameras) + len(l.Flashes) + len(l.Modifiers) + len(l.Gels) + len(l.Scrims) + len(l.Reflectors) + len(l.Filters)
}

// origin is where a definition was written, and what it says of the origin of
// its figures.
type origin struct{ file, source string }

// StandardKitName is how the embedded library is called in place of a file.
const StandardKitName = "kit library"

// Camera returns the camera of a name.
func (l *Library) Camera(name string) (Body, bool) {
	return find(l.Cameras, name, func(b Body) string { return b.Name })
}

// Flash returns the flash of a name.
func (l *Library) Flash(name string) (flash.Unit, bool) {
	return find(l.Flashes, name, func(u flash.Unit) string { return u.Name })
}

// Modifier returns the modifier of a name.
func (l *Library) Modifier(name string) (flash.Modifier, bool) {
	return find(l.Modifiers, name, func(m flash.Modifier) string { return m.Name })
}

// Gel returns the gel of a name.
func (l *Library) Gel(name string) (flash.Gel, bool) {
	return find(l.Gels, name, func(g flash.Gel) string { return g.Name })
}

// Scrim returns the scrim of a name.
func (l *Library) Scrim(name string) (scene.Scrim, bool) {
	return find(l.Scrims, name, func(s scene.Scrim) string { return s.Name })
}

// Reflector returns the reflector of a name.
func (l *Library) Reflector(name string) (scene.Reflector, bool) {
	return find(l.Reflectors, name, func(r scene.Reflector) string { return r.Name })
}

// Filter returns the neutral-density filter of a name.
func (l *Library) Filter(name string) (Filter, bool) {
	return find(l.Filters, name, func(f Filter) string { return f.Name })
}

// Names lists the kit of a kind.
func (l *Library) Names(kind KitKind) []string {
	switch kind {
	case CameraKit:
		return names(l.Cameras, func(b Body) string { return b.Name })
	case FlashKit:
		return names(l.Flashes, func(u flash.Unit) string { return u.Name })
	case ModifierKit:
		return names(l.Modifiers, func(m flash.Modifier) string { return m.Name })
	case GelKit:
		return names(l.Gels, func(g flash.Gel) string { return g.Name })
	case ScrimKit:
		return names(l.Scrims, func(s scene.Scrim) string { return s.Name })
	case ReflectorKit:
		return names(l.Reflectors, func(r scene.Reflector) string { return r.Name })
	case FilterKit:
		return names(l.Filters, func(f Filter) string { return f.Name })
	}
	return nil
}

// Note remembers the file that a piece of kit is defined in, and what its
// definition says of the source of its figures.
func (l *Library) Note(kind KitKind, name, file, source string) {
	if l.origins == nil {
		l.origins = map[KitKind]map[string]origin{}
	}
	if l.origins[kind] == nil {
		l.origins[kind] = map[string]origin{}
	}
	l.origins[kind][name] = origin{file, source}
}

// Source says where the figures of a piece of kit come from; empty where its
// definition does not say.
func (l *Library) Source(kind KitKind, name string) string { return l.origins[kind][name].source }

// File returns the file that a piece of kit is defined in, StandardKitName
// for the embedded library.
func (l *Library) File(kind KitKind, name string) string { return l.origins[kind][name].file }

// Has reports whether there is kit of a kind and name.
func (l *Library) Has(kind KitKind, name string) bool { return slices.Contains(l.Names(kind), name) }

func find[T any](kit []T, name string, nameOf func(T) string) (T, bool) {
	for _, one := range kit {
		if nameOf(one) == name {
			return one, true
		}
	}
	var none T
	return none, false
}

func names[T any](kit []T, nameOf func(T) string) []string {
	list := make([]string, len(kit))
	for i, one := range kit {
		list[i] = nameOf(one)
	}
	return list
}

// shadow appends own kit, in the place of what has the same name.
func shadow[T any](kit, own []T, nameOf func(T) string) []T {
	for _, one := range own {
		i := slices.IndexFunc(kit, func(old T) bool { return nameOf(old) == nameOf(one) })
		if i >= 0 {
			kit[i] = one
		} else {
			kit = append(kit, one)
		}
	}
	return kit
}

// Add takes definitions in, each in the place of what has its name.
func (l *Library) Add(own *Library) {
	l.Cameras = shadow(l.Cameras, own.Cameras, func(b Body) string { return b.Name })
	l.Flashes = shadow(l.Flashes, own.Flashes, func(u flash.Unit) string { return u.Name })
	l.Modifiers = shadow(l.Modifiers, own.Modifiers, func(m flash.Modifier) string { return m.Name })
	l.Gels = shadow(l.Gels, own.Gels, func(g flash.Gel) string { return g.Name })
	l.Scrims = shadow(l.Scrims, own.Scrims, func(s scene.Scrim) string { return s.Name })
	l.Reflectors = shadow(l.Reflectors, own.Reflectors, func(r scene.Reflector) string { return r.Name })
	l.Filters = shadow(l.Filters, own.Filters, func(f Filter) string { return f.Name })
	for _, kind := range KitKinds {
		for _, name := range own.Names(kind) {
			l.Note(kind, name, own.File(kind, name), own.Source(kind, name))
		}
	}
}
