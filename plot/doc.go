// Package plot draws the charts of a drivetrain as SVG and PNG.
//
// A Picture knows what to draw: Ladder and SpeedBands of a gearing.Table;
// SideView, ContactSheet, LengthWindow and GearMap of a sim.Study; Comparison of
// sim.Compare; ClimbChart of road.NewClimb; WearChart of wear.AnalyseChain;
// ChoiceChart of a search. WriteSVG and WritePNG put it on a page of Options:
// millimetres, dots an inch and one of three themes. A picture renders a result
// and computes nothing; one that cannot be drawn is refused with an error that
// says why. What a gear is and whether that is in doubt, what is lost and which
// chain to have is the Advice of the study in every picture, said with the same
// words and marks.
//
// Every picture carries its title and a description in words for readers who
// cannot see it, and says nothing by colour alone. The output depends on
// nothing but the picture and the options, byte for byte.
//
// Sizes on the page are millimetres. Drawing rests on gonum/plot's vg canvas;
// its fonts are parsed when the first text is drawn, so that a program which
// draws nothing does not pay for them. Package plot/report puts pictures into a
// page.
package plot
