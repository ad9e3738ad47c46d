package gearing

import "testing"

func TestLongestChainstay(t *testing.T) {
	tests := []struct {
		name  string
		frame Frame
		want  float64
		tol   float64
	}{
		{"rigid", Frame{Chainstay: 430, BottomBracketDrop: 70}, 430, 0},
		{"dropout", Frame{Chainstay: 430, DropoutRange: 15}, 445, 0},
		{"measured over the travel", Frame{Chainstay: 430, Suspension: Suspension{Chainstays: []MM{431, 438, 436}}}, 438, 0},
		{"pivot on the crank", Frame{Chainstay: 430, BottomBracketDrop: 30, Suspension: Suspension{Travel: 140}}, 430, 1e-9},
		// Pivot 100 mm over the crank, axle level with the crank and 400
		// behind: arm sqrt(400^2 + 100^2); risen by 100 it is level with the
		// pivot, 412.3 behind and 100 over the crank: 424.26 (derived here).
		{"high pivot", Frame{Chainstay: 400, Suspension: Suspension{PivotAbove: 100, Travel: 100}}, 424.264, 0.001},
	}
	for _, tt := range tests {
		if got := float64(tt.frame.LongestChainstay()); !near(got, tt.want, tt.tol) {
			t.Errorf("%s: %.3f mm, want %.3f", tt.name, got, tt.want)
		}
	}
}
