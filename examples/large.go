package examples

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

var (
	names = regexp.MustCompile(`(?m)^(name|field) = "([^"]*)"`)
	heads = regexp.MustCompile(`(?m)^head = (\d+)$`)
)

// LargeDairy is the invented dairy with its ten fields and their sowings several times
// over, and as many times the animals: a farm to measure by.
func LargeDairy(times int) (string, error) {
	text, err := Files.ReadFile("dairy.toml")
	if err != nil {
		return "", err
	}
	head, rest, _ := strings.Cut(string(text), "[[field]]")
	fields, rest, _ := strings.Cut("[[field]]"+rest, "# --- Animals")
	stock, sowings, _ := strings.Cut("# --- Animals"+rest, "[[sowing]]")
	sowings = "[[sowing]]" + sowings
	all, more := fields, sowings
	for k := 2; k <= times; k++ {
		other := fmt.Sprintf(`$1 = "$2 %d"`, k)
		all += names.ReplaceAllString(fields, other)
		more += names.ReplaceAllString(sowings, other)
	}
	stock = heads.ReplaceAllStringFunc(stock, func(line string) string {
		n, _ := strconv.Atoi(heads.FindStringSubmatch(line)[1])
		return fmt.Sprintf("head = %d", times*n)
	})
	return head + all + stock + more, nil
}
