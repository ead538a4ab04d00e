package exposure

// Camera is what the body can set.
type Camera struct {
	Name     string
	Click    Increment // of aperture and shutter
	ISOClick Increment
	Sync     Shutter // fastest time with a normal flash
	Fastest  Shutter
	Lowest   ISO
	Highest  ISO // as high as the photographer will go
}

// Millimetres are lengths inside camera, lens and flash head: focal lengths,
// frames, zoom positions. Lengths in the scene are plain numbers of metres.
type Millimetres float64

// Metres returns the length in m.
func (l Millimetres) Metres() float64 { return float64(l) / 1000 }

// Lens is what the lens can set, and what the photographer wants of it.
type Lens struct {
	Name        string
	FocalLength Millimetres
	Widest      Aperture
	Narrowest   Aperture
	Wanted      Aperture
	Slowest     Shutter // slowest time held by hand
}
