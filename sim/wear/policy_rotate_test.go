package wear

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

// Three new chains within 0.1 %: turns of 0.1 % of wear, all at
// the limit together, three chain lives in all.
func TestRotateThree(t *testing.T) {
	shape := WearShape{Rate: 0.25}
	s, err := Rotate(RotateInput{Chains: []InTurn{{ID: "a"}, {ID: "b"}, {ID: "c"}}, Shape: shape, Limit: 0.75})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(s.KM-3*shape.KM(0.75)) > 1e-6 || s.Cut {
		t.Errorf("ends after %v km, want %v", s.KM, 3*shape.KM(0.75))
	}
	for i, x := range s.Turns {
		if x.Spread > s.Band+1e-12 || x.KM > 2*400+1e-9 {
			t.Errorf("turn %d: %+v", i, x)
		}
	}
	if s.Turns[0].ID != "a" || s.Turns[1].ID != "b" || s.Turns[2].ID != "c" {
		t.Errorf("first turns %+v", s.Turns[:3])
	}
}

// A far worn chain rests until the others have caught up; one past the limit
// is never fitted; nothing is left to do when all are.
func TestRotateUnlike(t *testing.T) {
	shape := WearShape{Rate: 0.2, Accel: 0.05}
	s, err := Rotate(RotateInput{Chains: []InTurn{{"old", 0.6}, {"new", 0}, {"gone", 0.9}}, Shape: shape})
	if len(s.LeftOut) != 1 || s.LeftOut[0].ID != "gone" || s.Chains != 2 || !s.Together || s.TogetherFrom != 1 {
		t.Errorf("%+v", s)
	}
	if err != nil || s.Turns[0].ID != "new" || math.Abs(float64(s.Turns[0].Elongation)-0.7) > 1e-9 {
		t.Fatalf("%+v, %v", s.Turns, err)
	}
	for _, x := range s.Turns {
		if x.ID == "gone" || x.Spread > s.Band+1e-9 {
			t.Errorf("a chain past the limit is fitted or counted: %+v", x)
		}
	}
	if s, err := Rotate(RotateInput{Chains: []InTurn{{"x", 0.75}}, Shape: shape}); err != nil || len(s.Turns) != 0 || s.KM != 0 || len(s.LeftOut) != 1 || s.Together {
		t.Errorf("%+v, %v", s, err)
	}
	if s, err := Rotate(RotateInput{Chains: []InTurn{{ID: "x"}}, Shape: shape}); err != nil || len(s.Turns) != 1 || math.Abs(s.KM-shape.KM(0.75)) > 1e-9 {
		t.Errorf("one chain: %+v, %v", s, err)
	}
}

// That all come together is said from the turn on at which they do, and not
// when the turns listed never get there.
func TestRotateTogether(t *testing.T) {
	shape := WearShape{Rate: 0.2}
	for name, c := range map[string]struct {
		chains []InTurn
		from   int
		want   bool
	}{
		"new ones":   {[]InTurn{{"a", 0}, {"b", 0}}, 0, true},
		"one behind": {[]InTurn{{"a", 0.5}, {"b", 0}}, 1, true},
		"two behind": {[]InTurn{{"a", 0.5}, {"b", 0}, {"c", 0.1}}, 4, true},
		"far apart":  {farApart(), 0, false},
	} {
		in := RotateInput{Chains: c.chains, Shape: shape, Limit: 5, Band: 0.1}
		if !c.want {
			in.Band = 0.02
		}
		s, err := Rotate(in)
		if err != nil || s.Together != c.want || s.TogetherFrom != c.from {
			t.Errorf("%s: together %v from turn %d, %v; want %v, %d", name, s.Together, s.TogetherFrom, err, c.want, c.from)
		}
		for i, x := range s.Turns {
			if in := x.Spread <= s.Band+1e-9; s.Together && in != (i+1 >= s.TogetherFrom) {
				t.Errorf("%s: spread %v after turn %d", name, x.Spread, i+1)
			}
		}
	}
}

// farApart needs more turns to come together than are listed.
func farApart() []InTurn {
	list := []InTurn{{"worn", 4.9}}
	for range 19 {
		list = append(list, InTurn{ID: "new"})
	}
	return list
}

// A rotation of more turns than anybody lists is cut short, and says so.
func TestRotateCut(t *testing.T) {
	in := RotateInput{Shape: WearShape{Rate: 0.2}, Band: 0.02, Limit: 5}
	for range 20 {
		in.Chains = append(in.Chains, InTurn{ID: "x"})
	}
	if s, err := Rotate(in); err != nil || !s.Cut || len(s.Turns) != mostTurns {
		t.Errorf("%d turns, cut %v, %v", len(s.Turns), s.Cut, err)
	}
}

func TestRotateRefused(t *testing.T) {
	good := RotateInput{Chains: []InTurn{{ID: "a"}}, Shape: WearShape{Rate: 0.2}}
	for name, change := range map[string]func(*RotateInput){
		"no chain": func(in *RotateInput) { in.Chains = nil },
		"no wear":  func(in *RotateInput) { in.Shape = WearShape{} },
		"band":     func(in *RotateInput) { in.Band = 0.001 },
		"limit":    func(in *RotateInput) { in.Limit = -1 },
		"reading":  func(in *RotateInput) { in.Chains = []InTurn{{"a", gearing.Percent(math.NaN())}} },
	} {
		in := good
		change(&in)
		if _, err := Rotate(in); !errors.Is(err, ErrPolicy) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The spread never grows beyond the band once it is in it, and never grows
// before; the distance is that of all wear.
func TestRotateProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := RotateInput{
			Shape: WearShape{Rate: rapid.Float64Range(0.05, 1).Draw(t, "rate"), Accel: rapid.Float64Range(0, 0.5).Draw(t, "accel")},
			Band:  gearing.Percent(rapid.Float64Range(0.05, 0.3).Draw(t, "band")), Limit: 1,
		}
		for i := range rapid.IntRange(1, 5).Draw(t, "chains") {
			in.Chains = append(in.Chains, InTurn{ID: string(rune('a' + i)), Elongation: gearing.Percent(rapid.Float64Range(0, 1).Draw(t, "e"))})
		}
		s, err := Rotate(in)
		if err != nil {
			t.Fatal(err)
		}
		start, sum := make([]gearing.Percent, len(in.Chains)), 0.0
		for i, c := range in.Chains {
			start[i] = c.Elongation
			sum += in.Shape.KM(1) - in.Shape.KM(c.Elongation)
		}
		before := spread(start)
		for _, x := range s.Turns {
			if x.Spread > max(before, in.Band)+1e-9 {
				t.Fatalf("spread %v after %v, band %v", x.Spread, before, in.Band)
			}
			before = x.Spread
		}
		if !s.Cut && math.Abs(s.KM-sum) > 1e-6*(1+sum) {
			t.Fatalf("%v km in all, the chains have %v left", s.KM, sum)
		}
	})
}
