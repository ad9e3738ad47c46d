package gearing

import "math"

// Trade dimensions by number of cogs (common practice, no source; see
// testdata/trade_dims.csv). Index is the count of cogs; counts under 5 use
// the row of 5, counts over 12 that of 12.
var (
	cogSpacing   = [...]MM{5: 5.5, 6: 5.5, 7: 5.0, 8: 4.8, 9: 4.34, 10: 3.95, 11: 3.74, 12: 3.575}
	cogThickness = [...]MM{5: 1.85, 6: 1.85, 7: 1.85, 8: 1.8, 9: 1.78, 10: 1.6, 11: 1.6, 12: 1.6}
	chainWidth   = [...]MM{5: 7.8, 6: 7.8, 7: 7.2, 8: 7.2, 9: 6.65, 10: 5.9, 11: 5.55, 12: 5.25}
)

func byCogs(table []MM, cogs int) MM { return table[min(max(cogs, 5), len(table)-1)] }

// WithDefaults fills every unknown line of a build with the trade's usual
// value for its number of rings and cogs and its axle (common practice, no
// source; testdata/trade_dims.csv).
func (l Lines) WithDefaults(rings, cogs int) Lines {
	l.AxleEndWidth = orDefault(l.AxleEndWidth, 135)
	l.AxleFaceGap = orDefault(l.AxleFaceGap, defaultFaceGap(l.AxleEndWidth))
	l.FrontChainLine = orDefault(l.FrontChainLine, defaultChainLine(rings, l.AxleEndWidth))
	l.RingSpacing = orDefault(l.RingSpacing, 5)
	l.RingThickness = orDefault(l.RingThickness, 2)
	l.CogSpacing = orDefault(l.CogSpacing, byCogs(cogSpacing[:], cogs))
	l.CogThickness = orDefault(l.CogThickness, byCogs(cogThickness[:], cogs))
	l.ChainWidth = orDefault(l.ChainWidth, byCogs(chainWidth[:], cogs))
	return l
}

// defaultFaceGap is 3 mm from the axle face to the smallest cog; through axles
// whose ends sit in recesses of the frame (142, 148, 157, 177, 197 mm) have
// 3.5 mm more on either side (from memory).
func defaultFaceGap(axle MM) MM {
	switch axle {
	case 142, 148, 157, 177, 197:
		return 6.5
	}
	return 3
}

// defaultChainLine picks a front chain line from testdata/trade_dims.csv: road
// values up to 130 mm of axle width, mountain and touring values above.
func defaultChainLine(rings int, axle MM) MM {
	road := axle <= 132
	switch {
	case rings == 1 && axle >= 148:
		return 52
	case rings == 1 && road:
		return 43.5
	case rings == 1:
		return 49.5
	case rings == 2 && road:
		return 43.5
	case rings == 2:
		return 47.5
	case road:
		return 45
	default:
		return 49
	}
}

// FrontChainLine is the chain line of a ring from a ruler on the seat tube:
// half the tube plus the distance from tube to teeth.
func FrontChainLine(seatTube, tubeToTeeth MM) MM { return seatTube/2 + tubeToTeeth }

// RearChainLine is the chain line of a cog: half the axle-end width less the
// distance from the axle face to the middle of its teeth.
func RearChainLine(axleEndWidth, faceToTeeth MM) MM { return axleEndWidth/2 - faceToTeeth }

// CogOffset is the chain line of the cog that is i places in from the
// smallest (0 for the smallest).
func (l Lines) CogOffset(i int) MM {
	return RearChainLine(l.AxleEndWidth, l.AxleFaceGap+l.CogThickness/2) - MM(i)*l.CogSpacing
}

// RingOffset is the chain line of ring i (0 for the smallest) of n.
func (l Lines) RingOffset(i, n int) MM {
	return l.FrontChainLine + (MM(i)-MM(n-1)/2)*l.RingSpacing
}

// CassetteWidth is the distance over the outer faces of n cogs.
func (l Lines) CassetteWidth(n int) MM { return MM(n-1)*l.CogSpacing + l.CogThickness }

// GearLine is the chain line of one gear.
type GearLine struct {
	GearID
	// Offset is the ring's chain line less the cog's: positive when the
	// chain runs inwards towards the wheel.
	Offset MM `json:"offset_mm"`
	// Angle is the slant of the upper run, with the sign of Offset.
	Angle Degrees `json:"angle_deg"`
	// NextRing is the least gap across the bike between the chain and the
	// next larger ring where the upper run passes it, or its overlap when
	// negative; HasNextRing is false on the largest ring.
	NextRing    MM   `json:"next_ring_clearance_mm"`
	HasNextRing bool `json:"has_next_ring"`
}

// LinePlan holds the positions across the bike and the slant of every gear.
type LinePlan struct {
	Lines Lines      `json:"-"` // with defaults filled in
	Rings []MM       `json:"ring_chain_lines_mm"`
	Cogs  []MM       `json:"cog_chain_lines_mm"`
	Gears []GearLine `json:"gears"` // in the order of Table.Gears
}

// ChainLines finds the slant of every gear's upper run, atan(dz / span), at
// the shortest chainstay, where the slant is greatest (derived here). It fails
// with ErrNoChainstay or when wheels do not clear.
func ChainLines(b Build) (LinePlan, error) {
	if b.Frame.Chainstay <= 0 {
		return LinePlan{}, ErrNoChainstay
	}
	l := b.Lines.WithDefaults(len(b.Rings), len(b.Cogs))
	p := LinePlan{Lines: l, Rings: make([]MM, len(b.Rings)), Cogs: make([]MM, len(b.Cogs))}
	for i := range p.Rings {
		p.Rings[i] = l.RingOffset(i, len(b.Rings))
	}
	for i := range p.Cogs {
		p.Cogs[i] = l.CogOffset(i)
	}
	p.Gears = make([]GearLine, 0, len(p.Rings)*len(p.Cogs))
	for i := range b.Rings {
		for j := len(b.Cogs) - 1; j >= 0; j-- {
			g, err := p.gear(b, i, j)
			if err != nil {
				return LinePlan{}, err
			}
			p.Gears = append(p.Gears, g)
		}
	}
	return p, nil
}

func (p LinePlan) gear(b Build, i, j int) (GearLine, error) {
	g := GearLine{GearID: GearID{b.Rings[i], b.Cogs[j]}, Offset: p.Rings[i] - p.Cogs[j]}
	loop, err := NewLoop(g.Ring, g.Cog, b.Frame.Chainstay)
	if err != nil {
		return GearLine{}, err
	}
	g.Angle = SlantAngle(g.Offset, loop.Strand)
	if i+1 < len(b.Rings) {
		g.HasNextRing = true
		g.NextRing = p.nextRing(b, i, g, loop.Strand)
	}
	return g, nil
}

// SlantAngle is the angle of a run of the given length whose ends lie offset
// apart across the bike.
func SlantAngle(offset, run MM) Degrees {
	return DegreesOf(math.Atan2(float64(offset), float64(run)))
}

// nextRing is the gap to the next larger ring. The run leaves the small ring
// at its pitch circle and stays beside the larger one until it is a tip radius
// away from the crank axis, sqrt(tip^2 - r^2) along the run (derived here).
func (p LinePlan) nextRing(b Build, i int, g GearLine, run MM) MM {
	r, tip := float64(g.Ring.Radius()), float64(b.Rings[i+1].TipRadius())
	beside := min(MM(math.Sqrt(max(0, tip*tip-r*r))), run)
	outwards := max(0, -g.Offset/run*beside) // how far the chain moves towards the ring
	between := p.Rings[i+1] - p.Rings[i]
	return between - outwards - p.Lines.ChainWidth/2 - p.Lines.RingThickness/2
}
