package sky_test

import (
	"fmt"
	"time"

	"evenfall/sky"
)

// The examples stand at one place on the Atlantic, on one evening in June.
var (
	place   = sky.Place{Latitude: sky.Degrees(38.7), Longitude: sky.Degrees(-9.4)}
	evening = time.Date(2027, time.June, 19, 18, 0, 0, 0, time.UTC)
)

// The couple looks away from the sea; the camera looks west, past them.
var west = sky.View{
	Facing: sky.Degrees(90),
	Frame:  sky.Frame{Altitude: sky.Degrees(5), Width: sky.Degrees(40), Height: sky.Degrees(27)},
}

func Example() {
	sun := sky.NewObserver(place).Sun(evening)
	light := sky.NewDaylight(place, 0.2, nil).At(sky.Described(sky.Clear), sky.SunOut, sun, west)
	fmt.Println("sun", sun.Altitude, "high at", sun.Azimuth)
	fmt.Printf("on the lit side %v, EV %.1f\n", light.Lit, light.Lit.EV100())
	// Output:
	// sun 21.7° high at 283.3°
	// on the lit side 77000 lx, EV 14.9
}

func ExampleObserver_Sun() {
	sun := sky.NewObserver(place).Sun(evening)
	fmt.Println("altitude", sun.Altitude)
	fmt.Println("azimuth", sun.Azimuth)
	fmt.Println("without air", sun.TrueAltitude)
	// Output:
	// altitude 21.7°
	// azimuth 283.3°
	// without air 21.7°
}

func ExampleObserver_Day() {
	lisbon := time.FixedZone("WEST", 3600)
	day := sky.NewObserver(place).Day(2027, time.June, 19, lisbon)
	for _, e := range day.Events {
		if e.Time.Hour() >= 12 {
			fmt.Println(e.Time.Format("15:04"), e.Name)
		}
	}
	// Output:
	// 13:38 solar noon
	// 20:25 golden hour begins
	// 21:05 sunset
	// 21:24 golden hour ends
	// 21:24 blue hour begins
	// 21:37 blue hour ends
	// 21:37 civil dusk
	// 22:17 nautical dusk
	// 23:03 astronomical dusk
}

func ExampleDay_First() {
	day := sky.NewObserver(place).Day(2027, time.June, 19, time.UTC)
	if sunset, ok := day.First(sky.Sunset); ok {
		fmt.Println(sunset.Time.Format("15:04:05"), "at", sunset.Azimuth)
	}

	north := sky.NewObserver(sky.Place{Latitude: sky.Degrees(70)}).Day(2027, time.June, 19, time.UTC)
	_, ok := north.First(sky.Sunset)
	fmt.Println(ok, north.SunNeverSets)
	// Output:
	// 20:05:13 at 301.4°
	// false true
}

// A name from elsewhere is an event's when it equals one.
func ExampleEventName() {
	day := sky.NewObserver(place).Day(2027, time.June, 19, time.UTC)
	for _, typed := range []string{"civil dusk", "teatime"} {
		_, ok := day.First(sky.EventName(typed))
		fmt.Println(typed, ok)
	}
	// Output:
	// civil dusk true
	// teatime false
}

// A clear afternoon: what meters on the lit side and in the shade read.
func ExampleDaylight_At() {
	sun := sky.NewObserver(place).Sun(time.Date(2027, time.June, 19, 16, 0, 0, 0, time.UTC))
	daylight := sky.NewDaylight(place, 0.2, nil)
	light := daylight.At(sky.Described(sky.Clear), sky.SunOut, sun, west)
	fmt.Println("lit side", light.Lit)
	fmt.Println("shade", light.Shade)
	fmt.Println("sky in the picture", light.Backdrop)
	fmt.Println("eight of ten lit sides lie from", light.LitBand.Low, "to", light.LitBand.High)
	// Output:
	// lit side 81900 lx
	// shade 11900 lx
	// sky in the picture 10100 cd/m²
	// eight of ten lit sides lie from -0.2 stop to 0.2 stop
}

// The two skies of broken cloud are planned for one by one.
func ExampleCondition_Cases() {
	sun := sky.NewObserver(place).Sun(evening)
	daylight := sky.NewDaylight(place, 0.2, nil)
	broken := sky.Described(sky.Broken)
	for k := range broken.Cases() {
		which := sky.Case(k)
		fmt.Println(which, daylight.At(broken, which, sun, west).Lit)
	}
	// Output:
	// sun 71700 lx
	// cloud 16300 lx
}

// What the sky alone gives to upright planes all round.
func ExampleLight_SkyOn() {
	sun := sky.NewObserver(place).Sun(evening)
	light := sky.NewDaylight(place, 0, nil).At(sky.Described(sky.Clear), sky.SunOut, sun, west)
	for _, fromSun := range []float64{0, 90, 180} {
		fmt.Println(sky.Degrees(fromSun), light.SkyOn(sky.Degrees(fromSun)))
	}
	// Output:
	// 0.0° 14700 lx
	// 90.0° 6340 lx
	// 180.0° 4610 lx
}

func ExampleLight_Colour() {
	sun := sky.NewObserver(place).Sun(evening)
	light := sky.NewDaylight(place, 0.2, nil).At(sky.Described(sky.Clear), sky.SunOut, sun, west)
	colour := light.Colour()
	fmt.Println("lit side", colour.Lit)
	fmt.Println("shade", colour.Shade)
	fmt.Println("apart by", colour.Lit.Mired()-colour.Shade.Mired())
	// Output:
	// lit side 4997 K
	// shade 7446 K
	// apart by 66 mired
}

// A skyline hides the sun and cuts the sky behind the subject.
func ExampleHorizon_Visible() {
	roofs := sky.Horizon{ // by rising azimuth
		{Azimuth: sky.Degrees(230), Altitude: 0},
		{Azimuth: sky.Degrees(240), Altitude: sky.Degrees(12)},
		{Azimuth: sky.Degrees(300), Altitude: sky.Degrees(12)},
		{Azimuth: sky.Degrees(310), Altitude: 0},
	}
	o := sky.NewObserver(place)
	for _, hour := range []int{18, 19} {
		sun := o.Sun(time.Date(2027, time.June, 19, hour, 0, 0, 0, time.UTC))
		fmt.Println(sun.Altitude, roofs.At(sun.Azimuth), roofs.Visible(sun))
	}
	// Output:
	// 21.7° 12.0° 1
	// 10.6° 12.0° 0
}

func ExampleLux_EV100() {
	fmt.Println(sky.Lux(81920).EV100())
	fmt.Println(sky.Luminance(4096).EV100())
	// Output:
	// 15
	// 15
}

func ExampleStops() {
	half := sky.StopsOf(0.5)
	fmt.Println(half, half.Factor(), half.Abs())
	// Output:
	// -1.0 stop 0.5 1.0 stop
}
