package web

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"fmt"
	"hash/crc32"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

const someKey = "0123456789abcdef"

// coded writes lines as the field page does.
func coded(key, how, lines string) string {
	data := []byte(lines)
	if how == "z" {
		var b bytes.Buffer
		w, _ := flate.NewWriter(&b, flate.BestCompression)
		_, _ = w.Write(data)
		_ = w.Close()
		data = b.Bytes()
	}
	code := fmt.Sprintf("rowen-notes:1:%s:%s:%s", key, how, base64.RawURLEncoding.EncodeToString(data))
	return fmt.Sprintf("%s:%08x", code, crc32.Checksum([]byte(code), castiron))
}

// A code comes through whatever a mail program does to its lines.
func TestCodesComeThroughMail(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := strings.TrimRight(rapid.String().Draw(t, "lines"), "\n")
		code := coded(someKey, rapid.SampledFrom([]string{"p", "z"}).Draw(t, "how"), lines)
		width := rapid.IntRange(1, 100).Draw(t, "width")
		broken := ""
		for len(code) > width {
			broken += code[:width] + rapid.SampledFrom([]string{"\n", "\r\n", "\n> ", "\n>> ", " \n", "\u00a0"}).Draw(t, "break")
			code = code[width:]
		}
		got, problems := codes("Hello,\n"+broken+code+"\n\nsent from my phone", someKey)
		if len(problems) > 0 || got != lines+"\n" {
			t.Fatalf("%q, %v; want %q", got, problems, lines)
		}
	})
}

func TestCodesRefused(t *testing.T) {
	good := coded(someKey, "z", `{"v":1}`)
	bomb := coded(someKey, "z", strings.Repeat("0", 64<<20))
	for name, c := range map[string]struct{ text, want string }{
		"cut off":          {good[:len(good)-9], "not whole"},
		"one letter":       {strings.Replace(good, ":z:", ":p:", 1), "changed on its way"},
		"another farm's":   {coded("fedcba9876543210", "p", "x"), "of another farm"},
		"plain":            {coded(someKey, "p", "nonsense"), ""},
		"a bomb":           {bomb, "longer than any notes"},
		"small bombs":      {strings.Repeat(coded(someKey, "z", strings.Repeat("0", 2<<20))+"\n", 100), "all codes together are longer"},
		"a later version":  {strings.Replace(good, ":1:", ":2:", 1), "not whole"},
		"two, one damaged": {good + "\n" + good[:30], "not whole"},
	} {
		lines, problems := codes(c.text, someKey)
		if c.want == "" {
			if len(problems) > 0 || lines != "nonsense\n" {
				t.Errorf("%s: %q, %v", name, lines, problems)
			}
			continue
		}
		if len(problems) != 1 || !strings.Contains(problems.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, problems, c.want)
		}
	}
	if len(bomb) > 200<<10 {
		t.Errorf("the bomb is %d bytes: it tests nothing", len(bomb))
	}
}

func FuzzCodes(f *testing.F) {
	f.Add(coded(someKey, "z", `{"v":1}`))
	f.Add(coded(someKey, "p", "x") + "rowen-notes:")
	f.Fuzz(func(t *testing.T, text string) {
		lines, problems := codes(text, someKey)
		if lines == "" && len(problems) == 0 && strings.Contains(text, "rowen-notes:") {
			t.Fatalf("a code is neither read nor told of")
		}
	})
}
