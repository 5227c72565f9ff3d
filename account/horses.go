package account

import (
	"rowen/farm"
	"rowen/herd"
)

// KeepsHorses tells whether horses are among a farm's animals: sorghums and sudangrass
// are then never theirs to graze.
func KeepsHorses(f *farm.Farm) bool {
	for i := range f.Groups {
		class, err := herd.ParseClass(f.Groups[i].Class)
		if f.Groups[i].Horses || err == nil && class == herd.Horse {
			return true
		}
	}
	return false
}
