package plot

// under gives a picture another heading.

func (c ChoiceChart) under(title string) Picture  { c.Name = title; return c }
func (c ClimbChart) under(title string) Picture   { c.Name = title; return c }
func (c Comparison) under(title string) Picture   { c.Name = title; return c }
func (c ContactSheet) under(title string) Picture { c.Name = title; return c }
func (m GearMap) under(title string) Picture      { m.Name = title; return m }
func (l Ladder) under(title string) Picture       { l.Name = title; return l }
func (l LengthWindow) under(title string) Picture { l.Name = title; return l }
func (v SideView) under(title string) Picture     { v.Name = title; return v }
func (b SpeedBands) under(title string) Picture   { b.Name = title; return b }
func (w WearChart) under(title string) Picture    { w.Name = title; return w }
