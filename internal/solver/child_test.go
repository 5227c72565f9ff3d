package solver

import (
	"bytes"
	"context"
	"encoding/gob"
	"errors"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// small is a model whose best point, 21, has a name: Taha's paints.
func small() *Model {
	m := NewModel("paints")
	m.Maximise()
	x, y := m.Var("x", 0, math.Inf(1), 5), m.Var("y", 0, math.Inf(1), 4)
	for _, r := range [][3]float64{{6, 4, 24}, {1, 2, 6}, {-1, 1, 1}, {0, 1, 2}} {
		row := m.Row("r", math.Inf(-1), r[2])
		m.Set(row, x, r[0])
		m.Set(row, y, r[1])
	}
	return m
}

func needProgram(tb testing.TB) {
	tb.Helper()
	if _, err := program(); err != nil {
		tb.Skip(err)
	}
}

// A child that dies while it solves is an error, and the next solve has another.
func TestChildThatDies(t *testing.T) {
	needProgram(t)
	c, err := children.take(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if err := c.process.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	<-c.dead
	talk := &talk{model: small(), solution: newSolution(small())}
	err = talk.with(context.Background(), c)
	if err == nil || !strings.Contains(err.Error(), "ended without an answer (signal: killed") {
		t.Errorf("got %v, want an error that tells of the end", err)
	}
	if s, err := Solve(context.Background(), small(), Options{}); err != nil || s.Objective != 21 {
		t.Errorf("the next solve: %v, %v", s, err)
	}
}

// A child that died while nothing was asked of it is not noticed by anybody.
func TestIdleChildThatDies(t *testing.T) {
	needProgram(t)
	if _, err := Solve(context.Background(), small(), Options{}); err != nil {
		t.Fatal(err)
	}
	children.mu.Lock()
	idle := append([]*child(nil), children.idle...)
	children.mu.Unlock()
	if len(idle) == 0 {
		t.Fatal("no child is kept")
	}
	for _, c := range idle {
		_ = c.process.Process.Kill()
		<-c.dead
	}
	if s, err := Solve(context.Background(), small(), Options{}); err != nil || s.Objective != 21 {
		t.Errorf("got %v, %v", s, err)
	}
}

// One child serves many requests, the good after the bad.
func TestServe(t *testing.T) {
	needProgram(t)
	in, tell := io.Pipe()
	hear, out := io.Pipe()
	gone := make(chan struct{})
	go func() { _ = serve(context.Background(), in, out, func() { close(gone) }) }()
	encoder, decoder := gob.NewEncoder(tell), gob.NewDecoder(hear)
	next := func() (r reply) {
		t.Helper()
		if err := decoder.Decode(&r); err != nil {
			t.Fatal(err)
		}
		return r
	}
	if r := next(); r.Hello != protocol {
		t.Fatalf("first word: %+v", r)
	}
	for _, limit := range []int64{defaultMemory, 1 << 20, defaultMemory} {
		if err := encoder.Encode(small().request(Options{MemoryLimit: limit})); err != nil {
			t.Fatal(err)
		}
		answered := false
		for {
			r := next()
			if r.Answer != nil {
				answered = r.Answer.Status == highsOptimal && r.Answer.HasPoint
			}
			if r.Done || r.Fault != "" {
				if answered != (limit == defaultMemory) || r.NoMemory == answered {
					t.Errorf("limit %d: answered %v, last word %+v", limit, answered, r)
				}
				break
			}
		}
	}
	_ = tell.Close()
	<-gone
}

// What was compiled is kept for the next process; a spoilt or impossible cache
// costs time and nothing else.
func TestCache(t *testing.T) {
	needProgram(t)
	if testing.Short() {
		t.Skip("it compiles three times")
	}
	dir := t.TempDir()
	t.Setenv("XDG_CACHE_HOME", dir)
	if found, err := os.UserCacheDir(); err != nil || found != dir {
		t.Skip("this system's cache folder cannot be moved")
	}
	solve := func(when string) {
		t.Helper()
		h, err := newHost(context.Background())
		if err != nil {
			t.Fatal(when, err)
		}
		defer h.runtime.Close(context.Background())
		optimal := false
		err = h.solve(context.Background(), small().request(Options{MemoryLimit: defaultMemory}), func(r reply) {
			optimal = optimal || r.Answer != nil && r.Answer.Status == highsOptimal
		})
		if err != nil || !optimal {
			t.Errorf("%s: optimal %v, %v", when, optimal, err)
		}
	}
	solve("first")
	kept := 0
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		kept++
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(path, text[:len(text)/2], 0o600)
	})
	if err != nil || kept == 0 {
		t.Fatalf("%d files kept, %v", kept, err)
	}
	solve("spoilt cache")
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	t.Setenv("XDG_CACHE_HOME", file)
	solve("no folder")
}

// A program that forgets the hook must not start itself over and over.
func TestForgottenHook(t *testing.T) {
	t.Setenv(childMarker, "1")
	if _, err := startChild(); !errors.Is(err, errNoHook) {
		t.Errorf("got %v", err)
	}
	if IsChild() {
		t.Error("the environment alone makes no child")
	}
}

// The short names must be those of the package that the assets come from.
func TestNamesAreThoseOfThePackage(t *testing.T) {
	text, err := os.ReadFile("../../node_modules/highs/build/highs.js")
	if err != nil {
		t.Skipf("%v: run make assets to compare the names", err)
	}
	js := string(text)
	for name, short := range exportNames {
		var want string
		switch name {
		case "malloc", "free":
			want = `Module["_` + name + `"]=wasmExports["` + short + `"]`
		case "table":
			want = `wasmTable=wasmExports["` + short + `"]`
		case "constructors":
			want = `wasmExports["` + short + `"]();FS.ignorePermissions`
		default:
			want = `Module["_` + name + `"]=wasmExports["` + short + `"]`
		}
		if !strings.Contains(js, want) {
			t.Errorf("%s is not %q", name, short)
		}
	}
	imports := regexp.MustCompile(`var wasmImports=\{([^}]*)\}`).FindStringSubmatch(js)
	if imports == nil {
		t.Fatal("no list of imports found")
	}
	pairs := strings.Split(imports[1], ",")
	for _, pair := range pairs {
		if short, name, _ := strings.Cut(pair, ":"); importNames[short] != name {
			t.Errorf("import %s is %s, not %q", short, name, importNames[short])
		}
	}
	if len(pairs) != len(importNames) {
		t.Errorf("%d imports, %d names", len(pairs), len(importNames))
	}
}

func encoded(tb testing.TB, v any) []byte {
	var b bytes.Buffer
	if err := gob.NewEncoder(&b).Encode(v); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

// Whatever comes in, a request that passes its check can be handed to code that
// trusts every index.
func FuzzRequest(f *testing.F) {
	f.Add(encoded(f, small().request(Options{})))
	whole := small()
	whole.Int("n", 0, 5, 1)
	f.Add(encoded(f, whole.request(Options{Start: []float64{1, 2, math.NaN()}, Basis: &Basis{Col: make([]int8, 3), Row: make([]int8, 4)}})))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		q, err := readRequest(gob.NewDecoder(bytes.NewReader(data)))
		if err != nil {
			return
		}
		entries := 0
		for c := range q.Cost {
			_, _ = q.ColLo[c], q.ColUp[c]
			for i := q.Starts[c]; i < q.Starts[c+1]; i++ {
				_, _ = q.RowLo[q.Index[i]], q.RowUp[q.Index[i]]
				_ = q.Value[i]
				entries++
			}
		}
		if entries != len(q.Value) {
			t.Fatalf("%d of %d coefficients have a column", entries, len(q.Value))
		}
	})
}

// Whatever a child says, the parent does not fall over and never calls a point
// feasible that is not.
func FuzzReplies(f *testing.F) {
	for _, r := range []reply{{Hello: 1}, {Progress: &Progress{Objective: 1}}, {Point: []float64{1, 2}}, {Log: []byte("words")},
		{Answer: &answer{Status: highsOptimal, HasPoint: true, X: []float64{3, 1.5}}}, {Answer: &answer{Status: highsInfeasible}},
		{Price: &price{X: []float64{1}, Reduced: []float64{1}}}, {Done: true}, {Fault: "why"}, {NoMemory: true}} {
		f.Add(encoded(f, r))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		m := small()
		talk := &talk{model: m, solution: newSolution(m)}
		for d := gob.NewDecoder(bytes.NewReader(data)); ; {
			var r reply
			if d.Decode(&r) != nil {
				break
			}
			_, _ = talk.hear(r)
		}
		s := talk.solution
		if s.Feasible() != (s.X != nil) || s.Status == Optimal && !s.Feasible() {
			t.Fatalf("%+v", s)
		}
		if s.Feasible() && !m.allows(s.X, s.Activity) {
			t.Fatalf("%v is not feasible", s.X)
		}
		if s.Reduced != nil && (len(s.Reduced) != m.Cols() || len(s.Dual) != m.Rows()) {
			t.Fatalf("%d and %d prices", len(s.Reduced), len(s.Dual))
		}
	})
}
