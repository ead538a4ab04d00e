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

// Lens is what the lens can set, and what the photographer wants of it.
type Lens struct {
	Name        string
	FocalLength float64 // mm
	Widest      Aperture
	Narrowest   Aperture
	Wanted      Aperture
	Slowest     Shutter // slowest time held by hand
}
