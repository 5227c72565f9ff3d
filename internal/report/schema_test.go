package report_test

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"github.com/google/jsonschema-go/jsonschema"

	"rowen/internal/report"
	"rowen/say"
)

var write = flag.Bool("write", false, "write docs/plan.schema.json anew")

// docs/plan.schema.json is generated from the page model and is current.
func TestSchemaIsCurrent(t *testing.T) {
	schema, err := jsonschema.For[report.Plan](&jsonschema.ForOptions{TypeSchemas: map[reflect.Type]*jsonschema.Schema{reflect.TypeFor[say.Line](): {Type: "string"}}})
	if err != nil {
		t.Fatal(err)
	}
	schema.Schema = "https://json-schema.org/draft/2020-12/schema"
	schema.Title = "A season plan as rowen plan writes it"
	want, err := json.MarshalIndent(schema, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	want = append(want, '\n')
	path := filepath.Join("..", "..", "docs", "plan.schema.json")
	if *write {
		if err := os.WriteFile(path, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != string(want) {
		t.Error("docs/plan.schema.json is not what the page model says; run: go test ./internal/report -run Schema -write")
	}
}
