package picture

import (
	"evenfall/internal/plan"
	"evenfall/internal/report"
)

// Draw returns the picture of a plan that a document has a place for, as SVG;
// nothing for a picture that there is none of.
func Draw(p *plan.Plan, of *report.Picture) string {
	var d *drawing
	switch of.Name {
	case report.LightPicture:
		d = light(p)
	case report.PowerPicture:
		d = power(p)
	case report.PlacesPicture:
		d = places(p)
	default:
		return ""
	}
	return d.svg(of.Name, of.Title, of.Alt)
}
