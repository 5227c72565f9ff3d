package season

import (
	"rowen/feed"
	"rowen/handbook"
	"rowen/stand"
)

// Engine names the version of the engine. A snapshot from another version is
// refused: its numbers mean something else.
const Engine = "rowen-season-1"

// Snapshot is everything a run has to know to go on from a morning: fields,
// swaths, stores and where each group grazes. It is plain data.
type Snapshot struct {
	Engine string
	// Day counts from the first day of the feed year: 0 is its first morning.
	Day    int
	Plots  []PlotState // in the model's order
	Lots   []feed.Lot
	Groups []GroupState
}

// Opening is a snapshot on the first morning of a feed year.
type Opening = Snapshot

// PlotState is one plot's state.
type PlotState struct {
	Stand   stand.State
	Phase   int16 // which stand of the programme is there
	Uses    int16 // of this stand so far
	Rest    int16 // days since it was last used
	Settled int16 // days on which the soil has held the next sowing's temperature
	Group   int16 // group grazing it now; -1 none
	Tries   int16 // times that this stand was drilled again after it failed
	// HeldSince is the last day on which a Hold kept animals off ground that
	// was ready, in days of the feed year; before any, a day long past.
	HeldSince int16
	Swath     Swath
}

// Swath is a mown crop lying on the ground.
type Swath struct {
	DM       float64 // what lies there now, g/m²; 0 when nothing does
	Moisture float64 // wet basis, 0..1
	Days     int16   // since mowing
	Use      uint8   // crop.Use it was mown for
	Gate     handbook.Answer
	Herbage  stand.Herbage // as it was mown
}

// GroupState is where a group grazes.
type GroupState struct {
	Plot   int16 // index of the plot; -1 none
	OnPlot int16 // days on it
}

// clone copies a snapshot so that a run never writes into its opening.
func (s *Snapshot) clone() Snapshot {
	c := *s
	c.Plots = append([]PlotState(nil), s.Plots...)
	c.Lots = append([]feed.Lot(nil), s.Lots...)
	c.Groups = append([]GroupState(nil), s.Groups...)
	return c
}
