package solver

import "embed"

// assets holds highs.wasm once `make assets` has put it there. The folder's README
// is always in it, so that the room compiles without.
//
//go:embed assets
var assets embed.FS

// program is the solver's code, or ErrAbsent.
func program() ([]byte, error) {
	code, err := assets.ReadFile("assets/highs.wasm")
	if err != nil {
		return nil, ErrAbsent
	}
	return code, nil
}
