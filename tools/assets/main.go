// Command assets puts the third-party files that the program embeds where its
// packages look for them. They come from node_modules, as the lock file names
// them, and are not committed; each is held against its known hash, so that a
// build never carries a file that nobody has looked at.
package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
)

// asset is one file: where npm put it, where a package embeds it, and its hash.
type asset struct{ from, to, sha256 string }

var assets = []asset{
	{"highs/build/highs.wasm", "internal/solver/assets/highs.wasm", "528be4365bea1d4188988646b244263f50320df55782e14d6af5bce7cd45c840"},
	{"htmx.org/dist/htmx.min.js", "internal/web/assets/vendor/htmx.min.js", "a0abb04f2f45a1f89d1d4844023245537e5e6014c87b144553e0607b4cc32130"},
}

func main() {
	root := ".."
	if len(os.Args) > 1 {
		root = os.Args[1]
	}
	failed := false
	for _, a := range assets {
		if err := put(root, a); err != nil {
			fmt.Fprintln(os.Stderr, "assets:", err)
			failed = true
		}
	}
	if failed {
		os.Exit(1)
	}
}

// put copies one file if it is the file that was asked for.
func put(root string, a asset) error {
	text, err := os.ReadFile(filepath.Join(root, "node_modules", a.from))
	if err != nil {
		return fmt.Errorf("%w; run npm ci --ignore-scripts", err)
	}
	sum := sha256.Sum256(text)
	if got := hex.EncodeToString(sum[:]); got != a.sha256 {
		return fmt.Errorf("%s: sha256 %s, want %s; look at what changed before its hash is written here", a.from, got, a.sha256)
	}
	to := filepath.Join(root, a.to)
	if old, err := os.ReadFile(to); err == nil && string(old) == string(text) {
		return nil
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return err
	}
	return os.WriteFile(to, text, 0o644)
}
