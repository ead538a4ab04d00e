package season

import "evenfall/sky"

// Highest is the highest true altitude of the sun in the window.
func (w *Window) Highest() sky.Angle {
	highest := max(w.Start.Altitude, w.End.Altitude)
	minutes := w.Plan.RunsOf(w.Plan.Index(w.Method))[0].Minutes
	for i := range minutes {
		highest = max(highest, minutes[i].Sun.TrueAltitude)
	}
	return highest
}
