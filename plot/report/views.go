package report

import (
	"html/template"
	"slices"

	"cagewise/gearing"
	"cagewise/plot"
)

// pageViews are the views in the page: the picker's rows of gears, each with
// its drawing, and what the drawings share.
type pageViews struct {
	ID     string
	Shared template.HTML
	Rows   []viewRow
}

// viewRow is the gears of one ring.
type viewRow struct {
	Ring  gearing.Teeth
	Gears []viewGear
}

type viewGear struct {
	Cog         gearing.Teeth
	Name, State string
	Sign        string // of the state, on the button
	Drawing     template.HTML
	Figures     []Figure
}

// newViews draws the views for the page, under an id of its own.
func newViews(id string, v *Views) *pageViews {
	sides := make([]plot.SideView, len(v.Gears))
	for i := range v.Gears {
		sides[i] = v.Gears[i].SideView
	}
	drawn := plot.NewGearViews(id, sides)
	return &pageViews{ID: id, Shared: template.HTML(drawn.Shared()), Rows: v.rows(drawn)}
}

// rows are in the order of the buttons: the largest ring on top, the largest
// cog on the left.
func (v *Views) rows(drawn *plot.GearViews) []viewRow {
	var rows []viewRow
	for i := range v.Gears {
		f := &v.Gears[i].Fit
		if len(rows) == 0 || rows[0].Ring != f.Ring {
			rows = append([]viewRow{{Ring: f.Ring}}, rows...)
		}
		state, sign := v.Gears[i].told()
		rows[0].Gears = append(rows[0].Gears, viewGear{
			Cog: f.Cog, Name: f.String(), State: state, Sign: sign,
			Drawing: template.HTML(drawn.SVG(i)), Figures: v.Gears[i].Figures,
		})
	}
	return rows
}

// told is the state of a gear in words and as a sign, and whether it is in doubt.
func (v *View) told() (state, sign string) {
	state = v.Fit.State.String()
	switch {
	case v.Fit.State.Dangerous():
		sign = "!"
	case !v.Fit.State.Runs():
		sign = "~"
	}
	if v.Advice != nil && slices.Contains(v.Advice.Doubtful(), v.Fit.GearID) {
		state, sign = state+", doubtful", sign+"?"
	}
	return state, sign
}
